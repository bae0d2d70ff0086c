// Package follow knows where in the score the music is.
package follow

import (
	"time"

	"undersong/internal/music/meter"
	"undersong/internal/sheet/score"
)

// Click is the place in the score where a click gives the time: the beat never
// waits. The zero value is not ready for use; see NewClick.
type Click struct {
	Start time.Duration // when tick 0 of the first pass sounds
	Loop  bool          // the score begins again without a pause
	pass  time.Duration // length of one pass
	score *score.Score
}

// NewClick starts s at a time.
func NewClick(s *score.Score, start time.Duration, loop bool) Click {
	return Click{Start: start, Loop: loop, pass: s.Time(s.Length), score: s}
}

// Pass is how long one pass through the score lasts.
func (c *Click) Pass() time.Duration { return c.pass }

// Beat is how long one felt beat lasts in the score's tempo.
func (c *Click) Beat() time.Duration {
	return c.score.Tempo.Duration(c.score.Meter.Beat(), c.score.Meter)
}

// PassStart is when a pass, counted from 0, begins.
func (c *Click) PassStart(pass int) time.Duration { return c.Start + time.Duration(pass)*c.pass }

// TimeOf is when a place of the score sounds in a pass, counted from 0.
func (c *Click) TimeOf(pass int, at meter.Ticks) time.Duration {
	return c.PassStart(pass) + c.score.Time(at)
}

// Position is a place in the music.
type Position struct {
	Pass  int         // from 0; -1 before the start
	At    meter.Ticks // within the score; negative before the start
	Bar   int         // index into the score's bars
	Beat  float64     // in that bar, from 1
	Ended bool
}

// PositionAt is the place at a time.
func (c *Click) PositionAt(now time.Duration) Position {
	since := now - c.Start
	if since < 0 {
		return Position{Pass: -1, At: -meter.Ticks(c.score.Tempo.Ticks(-since, c.score.Meter)), Beat: 1}
	}
	p := Position{}
	if c.pass > 0 {
		p.Pass = int(since / c.pass)
	}
	if p.Pass > 0 && !c.Loop {
		last := len(c.score.Bars) - 1
		return Position{At: c.score.Length, Bar: last, Beat: 1, Ended: true}
	}
	p.At = meter.Ticks(c.score.At(since-time.Duration(p.Pass)*c.pass) + placeRounding)
	p.Bar = c.score.BarAt(p.At)
	p.Beat = c.score.Meter.BeatAt(p.At - c.score.Bars[p.Bar].At)
	return p
}

// placeRounding brings a time that was rounded to whole nanoseconds back onto
// its tick, which at the fastest tempo lasts some 200 microseconds.
const placeRounding = 1e-2 // ticks
