package follow

import (
	"math"
	"time"

	"undersong/internal/listen/keyboard"
	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
)

// together is keyboard.Together in seconds.
const together = float64(keyboard.Together) / float64(time.Second)

// path is how a place was reached, along the most likely sequence of transitions.
type path struct {
	weight float64 // of the path; 0 the best, less the others
	event  int32
	pass   int32
	leap   uint32 // the note with which it came here by a jump; 0 if by none

	// The event, as it was struck.
	begunAt float64   // its stroke's first note
	lastAt  float64   // its stroke's last
	struck  tones     // of its stroke
	wrong   float64   // what notes that do not belong to the stroke have cost
	foreign chord.Set // the classes of wrong notes in its bar
	new     bool      // nothing but the stroke since begunAt
	by      transition

	// The event before, which a note may belong to that comes late.
	before   int32 // -1 where there is none
	beforeAt float64
	lacking  tones // of its stroke

	// Time.
	struckAt      float64 // when its event was struck
	retimed       float64 // when something after it was, that stood for no event, or see sameEvent; else struckAt
	sameEvent     bool    // retimed is of the same event, struck again, or when it was due
	perTick       float64 // seconds an elapsed tick: what the score slows down is taken off
	tempoVariance float64 // variance of perTick as a share of it
	odd           float64 // perTick by the last interval, where that was out of all proportion; else 0

	// What stands for nothing.
	extraAt float64 // the last onset of it
	extra   float64 // what that has cost

	bar        int32
	wrongSoFar float64 // what wrong notes have cost in its bar before
	resting    uint8   // hands, by bit, that leave out what they should play
}

// transition is how a note leads on.
type transition uint8

const (
	enter      transition = iota // the first note of all
	advance                      // to one of the next events
	rebased                      // the same, in time with what stood for no event
	repeat                       // the event struck again, or the one before
	jump                         // elsewhere
	completion                   // one more note of the event
	within                       // a wrong note beside its notes
	belonging                    // a note of the event before, that comes late
	addition                     // a note that stands for no event
)

// timing is the cost of an interval of dt seconds over a number of ticks: that of
// a normal distribution, beside one of a note in time a short way off; far from
// what is expected the player paused or slipped, and how far does not matter.
func (p *path) timing(dt, ticks float64) (cost, usual float64) {
	expected := ticks * p.perTick
	off := dt - expected
	most := costLate
	if off < 0 {
		most = costEarly
	}
	v := p.variance(expected)
	usual = 0.5 * logOf(v/(unevenness*unevenness))
	return usual + min(most, off*off/(2*v)), usual
}

// logOf is a natural logarithm, to a hundredth, of a number above 0: the follower
// asks for hundreds with each note.
func logOf(x float64) float64 {
	bits := math.Float64bits(x)
	return float64(int(bits>>52)-1023)*math.Ln2 + logs[bits>>(52-logBits)&(1<<logBits-1)]
}

const logBits = 6

// logs are the logarithms of numbers from 1 to 2, each for the middle of its part.
var logs = func() (all [1 << logBits]float64) {
	for i := range all {
		all[i] = math.Log1p((float64(i) + 0.5) / float64(len(all)))
	}
	return all
}()

// variance is that of an interval, in seconds squared.
func (p *path) variance(expected float64) float64 {
	return unevenness*unevenness + (ofInterval*ofInterval+p.tempoVariance)*expected*expected
}

// learn takes an interval into the tempo.
func (f *Follower) learn(p *path, dt, ticks float64) {
	expected := ticks * p.perTick
	off, v := dt-expected, p.variance(expected)
	beats := ticks / float64(f.score.Meter.Beat())
	if off*off > surprise*v {
		f.startle(p, dt/ticks)
		return
	}
	p.odd = 0
	gain := expected * expected * p.tempoVariance / v
	p.perTick *= 1 + gain*off/expected
	p.perTick = max(f.fastest, min(f.slowest, p.perTick))
	p.tempoVariance = min(firstVariance, p.tempoVariance*(1-gain)+drift*beats+restless*max(0, off*off/v-1)*gain)
}

// startle takes an interval that the tempo does not explain. Two in a row that
// agree are another tempo.
func (f *Follower) startle(p *path, perTick float64) {
	p.tempoVariance = max(p.tempoVariance, breakVariance)
	perTick = max(f.fastest, min(f.slowest, perTick))
	if p.odd > 0 && math.Abs(math.Log(perTick/p.odd)) < oddAgree {
		p.perTick, p.odd = math.Sqrt(perTick*p.odd), 0
		return
	}
	p.odd = perTick
}

// slipped reports a stroke out of time by off seconds, after an interval of so
// many ticks, that yet is no pause.
func (p *path) slipped(off, ticks float64) bool {
	off = max(off, -off)
	return off > slip && off < slipMost*ticks*p.perTick
}

// wrongIn is what wrong notes have cost in a bar so far, with what the stroke
// lacked.
func (p *path) wrongIn(bar int32, left float64) float64 {
	if p.bar != bar {
		return 0
	}
	return p.wrongSoFar + p.wrong + left
}

// most is what the stroke of the event may cost by wrong notes and by what it lacks.
func (p *path) most() float64 { return max(costStill, costWrong-p.wrongSoFar) }

// mostOf is what a stroke may cost in a bar where a note is wrong, of which so much
// has been counted already. That a wrong chord goes on says little; other wrong
// notes say more.
func (p *path) mostOf(bar int32, soFar float64, key pitch.Num) float64 {
	still := costOther
	if p.bar == bar && p.foreign != 0 && chordal(p.foreign, key.Class()) {
		still = costStill
	}
	return max(still, costWrong-soFar)
}

// chordal reports a class that may be of one chord with the others: none of them is
// a step or a tritone from it.
func chordal(others chord.Set, c pitch.Class) bool {
	near := others.Up(1) | others.Up(2) | others.Up(6) | others.Up(10) | others.Up(11)
	return others.Has(c) || !near.Has(c)
}

// rebase is the cost of counting time from an onset after the event's own.
func (p *path) rebase() float64 {
	if p.sameEvent {
		return costRebaseOwn
	}
	return costRebase
}
