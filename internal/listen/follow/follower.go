package follow

import (
	"math"
	"time"

	"undersong/internal/listen/keyboard"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
)

// FollowOptions say how a Follower listens. The zero value follows one pass at
// about the score's tempo.
type FollowOptions struct {
	Loop bool // after the end the score begins again
}

// Follower finds the place in the score of a player who leads: no click, a
// tempo that bends, pauses, mistakes, bars left out or played again, jumps.
//
// It is a hidden Markov model over the events of the score. The idea is that
// of the outer-product hidden Markov model (Nakamura, Nakamura, Saito, Ono and
// Sagayama 2014, arXiv 1404.2313): a player either goes on to a place near by,
// or goes on anywhere, and where to does not depend much on where from; so all
// jumps together cost one step for each place they may lead to, and not one for
// each pair of places. Unlike there, the time between onsets counts: each place
// keeps the most likely path that led to it, with the time of its last stroke
// and its own estimate of the tempo, a Kalman filter of one number. Places are
// weighed by the best path to them alone (Viterbi), which is what makes that
// possible.
//
// An onset, the notes struck within 50 ms, is weighed anew with each of its
// notes, so that there is an answer from its first note on.
//
// What nobody could hear it cannot know: of bars that sound alike one may be left
// out unheard, and the place told is then behind until the music differs. A jump
// to a place farther away is taken for a wrong chord until more than one stroke
// speaks for it. Where several places are about as likely, Lost says so.
//
// A Follower reads no clock and allocates nothing after it was made.
type Follower struct {
	score            *score.Score
	loop             bool
	events           []scoreEvent
	strokes          []stroke
	tune             [128]float32
	entry            []float64 // per bar, the cost of jumping there because a section begins; else toAny
	written          float64   // the score's tempo, in seconds a tick
	slowest, fastest float64   // seconds a tick at the tempi that the program takes
	length           float64   // of the score, in elapsed ticks
	first            []int32   // per bar, its first event or the first after it

	// Before the open onset.
	weight  []float64 // per event; 0 the best, less the others
	paths   []path
	alive   []int32 // events within the beam
	best    int32
	restart int32 // where playing last began anew
	mean    float64

	// The open onset.
	open  bool
	start float64
	last  float64

	startBefore float64 // of the onset before
	classes     uint16
	keys        []float64 // per stroke, the cost of the notes so far
	extra       float64   // the cost of the notes if they stand for no event
	move        []step
	stay        []float64
	touched     []int32  // events that move or stay reach
	choices     []choice // the same, ready to be weighed
	marked      []bool
	next        []path // room for the paths to come

	place   guess
	before  int32 // the event told after the onset before
	jumped  bool
	lost    bool
	weighed bool // whether sure is up to date
	sure    float64
	heard   []float64 // per event, when it was last struck
}

// path is how a place was reached, along the most likely sequence of transitions.
type path struct {
	struckAt      float64 // when its event was struck
	retimed       float64 // when something after it was, that stood for no event, or see sameEvent; else struckAt
	perTick       float64 // seconds an elapsed tick: what the score slows down is taken off
	tempoVariance float64 // variance of perTick as a share of it
	wrongSoFar    float64 // what wrong notes have cost in its bar
	bar           int32
	pass          int32
	sameEvent     bool // retimed is of the same event, struck again, or when it was due
}

// transition is how a step leads on.
type transition uint8

const (
	enter      transition = iota // the first onset of all
	advance                      // to one of the next events
	rebased                      // the same, in time with an extra onset
	repeat                       // the same event struck again
	completion                   // the rest of the same event
	jump                         // elsewhere
)

// step is the best transition to an event that is struck now.
type step struct {
	weight     float64
	from       int32
	by         transition
	wrongSoFar float64 // what wrong notes have cost in this bar before
}

// guess is the best place so far.
type guess struct {
	event  int32
	stay   bool // the open onset stands for no event
	weight float64
}

// NewFollower makes a follower that waits for the first stroke of s.
func NewFollower(s *score.Score, o FollowOptions) *Follower {
	f := &Follower{score: s, loop: o.Loop, before: -1}
	perTick := func(t meter.Tempo) float64 { return seconds(t.Duration(meter.Whole, s.Meter)) / float64(meter.Whole) }
	f.written, f.slowest, f.fastest = perTick(s.Tempo), perTick(meter.SlowestTempo), perTick(meter.FastestTempo)
	f.length = s.Elapsed(s.Length)
	if len(s.Wants) == 0 {
		return f
	}
	f.events, f.strokes = layEvents(s)
	f.tune = tuneCosts(s)
	n := len(f.events)
	f.weight, f.stay, f.heard = make([]float64, n), make([]float64, n), make([]float64, n)
	f.paths, f.next = make([]path, n), make([]path, n)
	f.alive, f.touched, f.marked = make([]int32, 0, n), make([]int32, 0, n), make([]bool, n)
	f.choices = make([]choice, 0, n)
	f.move = make([]step, n)
	f.keys = make([]float64, len(f.strokes))
	for i := range f.move {
		f.move[i].weight, f.stay[i] = math.Inf(-1), math.Inf(-1)
	}
	f.layBars()
	f.layEntries()
	return f
}

func (f *Follower) layBars() {
	f.first = make([]int32, len(f.score.Bars))
	m := 0
	for b := range f.score.Bars {
		for m < len(f.events) && f.events[m].at < f.score.Bars[b].At {
			m++
		}
		f.first[b] = int32(min(m, len(f.events)-1))
	}
}

// layEntries says how likely a jump leads to each bar for what the bar is.
func (f *Follower) layEntries() {
	f.entry = make([]float64, len(f.first))
	for b := range f.entry {
		f.entry[b] = toAny
		switch {
		case b == 0 || b == 1 && f.score.Bars[0].Len < f.score.Meter.Bar():
			f.entry[b] = toTop
		case f.opensSection(b):
			f.entry[b] = toSection
		}
	}
}

// opensSection reports the first bar of a section, or of a repeat.
func (f *Follower) opensSection(bar int) bool {
	a, b := &f.score.Bars[bar-1], &f.score.Bars[bar]
	return a.Section != b.Section || b.Number > 0 && b.Number <= a.Number
}

// Strike takes a key struck. Times that run backwards are taken as the last one.
func (f *Follower) Strike(key pitch.Num, velocity uint8, at time.Duration) {
	if !key.Valid() || velocity == 0 || len(f.events) == 0 {
		return
	}
	t := seconds(at)
	if f.open {
		t = max(t, f.last)
	}
	if !f.open || !f.sounds(t) {
		if f.open {
			f.before, f.startBefore = f.place.event, f.start
		}
		f.close()
		f.begin(t)
	}
	f.last = t
	f.add(key)
	f.decide()
}

// sounds reports whether a note at t belongs to the open onset.
func (f *Follower) sounds(t float64) bool {
	if t-f.start <= seconds(keyboard.Together) {
		return true
	}
	return f.events[f.place.event].roll && t-f.last <= rollGap && t-f.start <= (fingers-1)*rollGap
}

// fingers of a hand: it rolls no chord of more notes.
const fingers = 5

// add weighs one more note of the open onset at every stroke.
func (f *Follower) add(key pitch.Num) {
	f.classes |= 1 << uint(key.Class())
	for i := range f.strokes {
		f.keys[i] += float64(min(f.strokes[i].cost[key], f.tuneOf(key)))
	}
	f.extra += float64(f.tune[key])
}

// tuneOf is the cost of a key as a note of the tune, struck with the rest.
func (f *Follower) tuneOf(key pitch.Num) float32 {
	if f.tune[key] < costExtraKey {
		return f.tune[key]
	}
	return math.MaxFloat32
}

// decide finds the best place, given the notes so far.
func (f *Follower) decide() {
	f.place = f.search()
	f.jumped = f.before >= 0 && !f.near(f.before, f.place.event)
	f.weighed = false
	f.judgeSurely()
}

// near reports that b is a or one of the events after it.
func (f *Follower) near(a, b int32) bool {
	d := b - a
	if d < 0 && f.loop {
		d += int32(len(f.events))
	}
	return d >= 0 && d <= reach
}

// choice is an event that the open onset may stand for.
type choice struct {
	moved, stayed float64 // weights before anything was struck
	most          float64 // what wrong notes may cost
	now           float64 // weight with the notes so far
	event         int32
	stroke        int32
}

// choose lists what the open onset may stand for.
func (f *Follower) choose() {
	f.choices = f.choices[:0]
	for _, j := range f.touched {
		f.choices = append(f.choices, choice{
			moved: f.move[j].weight, stayed: f.stay[j],
			most:  max(costStill, costWrong-f.move[j].wrongSoFar),
			event: j, stroke: f.events[j].stroke,
		})
	}
}

// search weighs every choice and returns the best. Of equals the first offered
// is taken.
func (f *Follower) search() guess {
	best := guess{weight: math.Inf(-1)}
	extra := min(f.extra, costMost)
	for i := range f.choices {
		c := &f.choices[i]
		moved, stayed := c.moved-min(c.most, f.keys[c.stroke]), c.stayed-extra
		c.now = max(moved, stayed)
		if c.now > best.weight {
			best = guess{event: c.event, stay: stayed > moved, weight: c.now}
		}
	}
	return best
}

// struck is the cost of the notes so far as a stroke at event j.
func (f *Follower) struck(j int32) float64 {
	return min(f.keys[f.events[j].stroke], max(costStill, costWrong-f.move[j].wrongSoFar))
}

// seconds is a time as the model counts it.
func seconds(d time.Duration) float64 { return float64(d) / float64(time.Second) }

func duration(s float64) time.Duration { return time.Duration(s * float64(time.Second)) }
