// Package coach compares what is played with what is wanted. It wires: timing opens
// strokes, the hands are separated, and what is over is put before the rules.
package coach

import (
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/judge/rules"
	"undersong/internal/judge/timing"
	"undersong/internal/listen/chordid"
	"undersong/internal/listen/follow"
	"undersong/internal/listen/handsep"
	"undersong/internal/listen/keyboard"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

// Coach judges one performance against a score, in time with a click or led by
// the player. Feed it strikes and ends of notes in the order of their times; it
// answers with findings. It knows no clock: what is due is worked out from the
// times it is given, so the same notes bring the same findings however often
// Advance is called.
type Coach struct {
	score  *score.Score
	level  rules.Level
	keys   *keyboard.Keys
	ear    *chordid.Recognizer
	timing timing.Timing
	sep    *handsep.Separator

	out     []finding.Finding
	tally   finding.Tally
	telling finding.Finding
	lastOn  time.Duration

	streak rules.Streak
	shorts rules.Shorts
	habit  rules.Habit
	pedal  pedalWatch
	bars   barWatch
}

// New makes a coach for a score whose time a click gives. It looks at keys,
// which the caller keeps up to date, to see what the pedal holds.
func New(s *score.Score, click *follow.Click, l rules.Level, keys *keyboard.Keys, ear *chordid.Recognizer) *Coach {
	c := newCoach(s, l, keys, ear)
	return c.keepTime(timing.NewClick(s, click, l, c))
}

// NewLed makes a coach for a player who leads and is followed by f.
func NewLed(s *score.Score, f *follow.Follower, o timing.LeadOptions, l rules.Level, keys *keyboard.Keys, ear *chordid.Recognizer) *Coach {
	c := newCoach(s, l, keys, ear)
	return c.keepTime(timing.NewLead(s, f, o, c))
}

// outRoom is how many findings one call may bring without asking for memory.
const outRoom = 64

func newCoach(s *score.Score, l rules.Level, keys *keyboard.Keys, ear *chordid.Recognizer) *Coach {
	c := &Coach{score: s, level: l, keys: keys, ear: ear, out: make([]finding.Finding, 0, outRoom)}
	c.tally = finding.NewTally(s)
	return c
}

func (c *Coach) keepTime(t timing.Timing) *Coach {
	c.timing, c.sep = t, t.Separator()
	c.watchPedal(t.NextChange(0, 0))
	return c
}

// Take hands over the findings since the last call; the slice is good until the
// next.
func (c *Coach) Take() []finding.Finding {
	out := c.out
	c.out = c.out[:0]
	return out
}

// Summary sums up what was found so far.
func (c *Coach) Summary() finding.Summary { return c.tally.Summary() }

// Advance deals with everything that was due before now.
func (c *Coach) Advance(now time.Duration) {
	for c.next(now) {
	}
}

// next deals with the earliest thing due before now and reports whether there
// was one. At one time an onset ends first, then strokes left before right.
func (c *Coach) next(now time.Duration) bool {
	due, what := now, nothing
	take := func(t time.Duration, w int) {
		if t < due {
			due, what = t, w
		}
	}
	if c.sep.Onset.Active() {
		take(c.sep.Onset.Ends(), onset)
	}
	take(c.timing.Closes(c.sep.Hands[pattern.Left]), leftStroke)
	take(c.timing.Closes(c.sep.Hands[pattern.Right]), rightStroke)
	take(c.pedal.due(), pedal)
	take(c.timing.BarEnds(c.bars.next), bar)
	take(c.shorts.Due(), short)
	switch what {
	case onset:
		c.closeOnset()
	case leftStroke, rightStroke:
		c.Close(c.sep.Hands[what-leftStroke], due)
	case pedal:
		c.checkPedal(due)
	case bar:
		c.bars.next++
		c.EndBar(c.bars.next-1, due)
	case short:
		c.Tell(c.shorts.Pop())
	}
	return what != nothing
}

// What may be due, in the order in which it is dealt with at one time.
const (
	nothing = iota
	onset
	leftStroke
	rightStroke
	pedal
	bar
	short
)

// Strike takes a key struck with a velocity.
func (c *Coach) Strike(key pitch.Num, velocity uint8, at time.Duration) {
	c.Advance(at)
	c.shorts.Restruck(key)
	c.sep.Struck(key)
	c.lastOn = at
	if !c.timing.Strike(key, velocity, at) {
		return
	}
	if !c.sep.Onset.Add(handsep.Strike{Key: key, Velocity: velocity, At: at}) {
		return
	}
	c.sep.Assign()
	for _, h := range c.sep.Hands {
		c.tellIfSure(h, at)
	}
}

// End takes a key that stopped sounding, and tells of a stroke cut short.
func (c *Coach) End(key pitch.Num, at time.Duration) {
	c.Advance(at)
	if h, j := c.sep.Release(key); h != nil && h.Stroke(j).Complete {
		c.checkLength(h, j, at)
	}
}

// Release forgets what sounds without judging it, as when a cable is pulled.
func (c *Coach) Release() { c.sep.ReleaseAll() }

// Finish ends the performance at a time and tells what is left to tell.
func (c *Coach) Finish(at time.Duration) { c.timing.Finish(at) }
