package firstbass

import (
	"time"

	"undersong/internal/listen/keyboard"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
)

// role is what a struck key was in the best hypothesis so far.
type role uint8

// The roles.
const (
	other  role = iota // no note of the tune: a bass, an inner note, a slip
	tune               // a note of the tune
	unsure             // the tune's last note again, or a slip in its place
)

// octaves are where the tune may be played, in octaves from the chart.
var octaves = [...]int{0, 1, -1, 2, -2}

// shift is how many semitones octave o lies from the chart.
func shift(o int) pitch.Num { return pitch.Num(12 * octaves[o]) }

// hopeless is costlier than anything that may be heard.
const hopeless = 1 << 20

// remembered is how many struck keys back a role can be asked for.
const remembered = 32

// hypothesis is one way to have heard what was played: up to note j of the tune in
// one octave.
type hypothesis struct {
	cost   int
	at     time.Duration // of its last note of the tune
	roles  uint64        // of the last keys, two bits each, the latest lowest
	doubts int8          // slips and jumps lately, 0 to mostDoubt; half of it is too many
}

// lately has the bits of roles that tell a note of the tune among the recent keys:
// the lower one of each.
const lately = (1<<(2*recent) - 1) / 3

// tracker knows where in the tune the player is, among all that is played with
// it. It keeps the likeliest way to have come to each note of the tune in each
// octave.
type tracker struct {
	s         *score.Score
	now, next [len(octaves)][]hypothesis // by notes heard, 0 for none
	bestO     int
	bestJ     int       // notes heard
	lowest    pitch.Num // of the tune, as written
	perTick   float64   // time of a tick, in nanoseconds
	written   float64   // the same at the chart's tempo
	known     int       // how often it was measured
}

func newTracker(s *score.Score) *tracker {
	t := &tracker{s: s, written: float64(s.Tempo.Duration(meter.Quarter, s.Meter)) / float64(meter.Quarter)}
	t.perTick, t.lowest = t.written, s.Melody[0].Key()
	for _, n := range s.Melody {
		t.lowest = min(t.lowest, n.Key())
	}
	for o := range octaves {
		t.now[o] = make([]hypothesis, len(s.Melody)+1)
		t.next[o] = make([]hypothesis, len(s.Melody)+1)
		for j := range t.now[o] {
			t.now[o][j].cost = hopeless
		}
		t.now[o][0].cost = octaveAway * max(octaves[o], -octaves[o])
	}
	return t
}

// position is how many notes of the tune were heard, 0 before the first.
func (t *tracker) position() int { return t.bestJ }

// best is the likeliest hypothesis.
func (t *tracker) best() *hypothesis { return &t.now[t.bestO][t.bestJ] }

// sure reports that the tune is recognized.
func (t *tracker) sure() bool { return t.best().doubts < mostDoubt/2 }

// role is what the key struck n keys ago was, 0 for the latest; false where that
// is forgotten.
func (t *tracker) role(n int) (role, bool) {
	if n >= remembered {
		return other, false
	}
	return role(t.best().roles >> (2 * n) & 3), true
}

// key is the key of note j, counted from 1, in an octave.
func (t *tracker) key(o, j int) pitch.Num {
	return t.s.Melody[j-1].Key() + shift(o)
}

// tuneKey is the key of note j, counted from 1, where the player has the tune.
func (t *tracker) tuneKey(j int) pitch.Num { return t.key(t.bestO, j) }

// strike takes a key that was struck.
func (t *tracker) strike(k pitch.Num, at time.Duration) {
	was, paused := *t.best(), t.stopped(at)
	for o := range octaves {
		for j := range t.now[o] {
			t.next[o][j] = t.stay(o, j, k)
			if j > 0 {
				t.arrive(o, j, k, at, &was, paused)
			}
		}
	}
	t.now, t.next = t.next, t.now
	t.choose(&was, at)
}

// stay hears a key as no new note of the tune.
func (t *tracker) stay(o, j int, k pitch.Num) hypothesis {
	h := t.now[o][j]
	if j == 0 {
		return h.with(notBegun, other, 0)
	}
	if k == t.key(o, j) {
		return h.with(again, unsure, 0)
	}
	low := t.lowNear(o, j)
	if k >= low {
		return h.with(notBelow, other, 1)
	}
	return h.with(t.below(o, k, low), other, 0)
}

// below is what a key costs that lies under the tune as it is here, where low is
// its lower note.
func (t *tracker) below(o int, k, low pitch.Num) int {
	if k >= low-slipNear {
		return closeBelow
	}
	if k > low-aFifthBelow {
		return justBelow
	}
	if k >= t.lowest+shift(o) {
		return amidTune
	}
	return clearlyBelow
}

// lowNear is the lower of the note heard last and the next one.
func (t *tracker) lowNear(o, j int) pitch.Num {
	n := len(t.s.Melody)
	return min(t.key(o, max(j, 1)), t.key(o, min(j+1, n)))
}

// arrive hears a key as note j, where that is likelier. was is the best hypothesis
// before it.
func (t *tracker) arrive(o, j int, k pitch.Num, at time.Duration, was *hypothesis, paused bool) {
	take := func(h hypothesis) {
		if h.cost < t.next[o][j].cost {
			h.at = at
			t.next[o][j] = h
		}
	}
	if d := k - t.key(o, j); d != 0 {
		if d >= -slipSize && d <= slipSize {
			h := &t.now[o][j-1]
			take(h.with(slipped+t.timing(h, j-1, j, at), unsure, 1))
		}
		return
	}
	for i := j - 1; i >= max(0, j-1-mostLeftOut); i-- {
		h := &t.now[o][i]
		out := j - 1 - i
		cost := leftOut * out
		if i == 0 && out > 0 {
			cost = goesBack - afterPause - atBarStart // begins within the tune
		}
		take(h.with(cost+t.timing(h, i, j, at), tune, sign(out)))
	}
	take(t.leap(o, j, was, paused))
}

// leap is the best hypothesis, begun again at note j.
func (t *tracker) leap(o, j int, was *hypothesis, paused bool) hypothesis {
	cost, doubt := goesBack, int8(1)
	if paused {
		cost -= afterPause
	}
	if j == 1 || t.s.Melody[j-1].Bar != t.s.Melody[j-2].Bar {
		cost -= atBarStart
	}
	if o != t.bestO {
		cost += elsewhere
		doubt = mostDoubt / 2 // the next note has to speak for it
	}
	return was.with(cost, tune, doubt)
}

func sign(n int) int8 {
	if n > 0 {
		return 1
	}
	return 0
}

// with is the hypothesis with one key more.
func (h *hypothesis) with(cost int, r role, doubt int8) hypothesis {
	n := *h
	n.cost += cost
	n.roles = n.roles<<2 | uint64(r)
	if n.roles&lately == 0 {
		doubt = max(doubt, 1)
	}
	if doubt > 0 {
		n.doubts = min(mostDoubt, n.doubts+doubt)
	} else if r == tune && n.doubts > 0 {
		n.doubts--
	}
	return n
}

// timing is the cost of going from note i to note j in the time since i, as the
// tempo has been.
func (t *tracker) timing(h *hypothesis, i, j int, at time.Duration) int {
	if i == 0 {
		return 0
	}
	passed := at - h.at
	if passed < keyboard.Together {
		return hopeless // two notes of the tune are never struck together
	}
	share := float64(passed) / t.wanted(i, j)
	if share < tooSoonOf {
		return tooSoon
	}
	if t.known < enoughKnown {
		return 0
	}
	return uneven(share)
}

// uneven is the cost of a note that comes after a share of its time, where the
// tempo is known.
func uneven(share float64) int {
	if share < earlyOf {
		return early
	}
	if share > veryLateOf {
		return veryLate
	}
	if share > lateOf {
		return late
	}
	return 0
}

// wanted is how long it is from note i to note j, both counted from 1.
func (t *tracker) wanted(i, j int) float64 {
	return t.perTick * float64(t.s.Melody[j-1].At-t.s.Melody[i-1].At)
}

// stopped reports a pause long after the time that the last note was to have.
func (t *tracker) stopped(at time.Duration) bool {
	if t.bestJ == 0 {
		return false
	}
	n := &t.s.Melody[t.bestJ-1]
	return float64(at-t.best().at) > stoppedAfter*t.perTick*float64(n.Dur)
}

// choose finds the best hypothesis, makes the costs small again and follows the
// tempo.
func (t *tracker) choose(was *hypothesis, at time.Duration) {
	before := t.bestJ
	best := hopeless * 4
	for o := range octaves {
		for j, h := range t.now[o] {
			if h.cost < best {
				best, t.bestO, t.bestJ = h.cost, o, j
			}
		}
	}
	for o := range octaves {
		for j := range t.now[o] {
			t.now[o][j].cost = min(hopeless, t.now[o][j].cost-best)
		}
	}
	if b := t.best(); before > 0 && t.bestJ == before+1 && b.at == at {
		t.follow(float64(at-was.at) / float64(t.s.Melody[before].At-t.s.Melody[before-1].At))
	}
}

// follow lets the tempo come nearer to what was just played; pauses and slips
// move it a little only.
func (t *tracker) follow(perTick float64) {
	perTick = min(max(perTick, t.perTick/mostTurn), mostTurn*t.perTick)
	t.known++
	t.perTick = min(max(keepTempo*t.perTick+(1-keepTempo)*perTick, t.written/mostBend), t.written*mostBend)
}
