package practice

import (
	"time"

	"undersong/internal/coach"
	"undersong/internal/engine"
	"undersong/internal/meter"
	"undersong/internal/score"
)

// take is one stretch of playing without a break, from a count-in on.
type take struct {
	score  *score.Score // from its first bar to the end of the piece
	first  int          // that bar's index in the piece
	engine *engine.Engine
	voice  *coach.Voice
	clicks *clicks
	loop   bool
	passes int // gone before this take
	over   bool
}

// newTake begins at a bar of the piece after a count-in that starts at a time.
func newTake(o Options, first, countIn int, at time.Duration, passes int) *take {
	t := &take{score: from(o.Score, first), first: first, loop: o.Loop, passes: passes}
	lead := leadIn(t.score, countIn)
	music := at + t.score.Tempo.Duration(lead, t.score.Meter)
	t.engine = engine.New(t.score, engine.Options{Level: o.Level, Start: music, Loop: o.Loop})
	t.voice = t.engine.Voice()
	t.clicks = newClicks(t.score, &t.engine.Click, lead)
	return t
}

// end is when the take is over: a bar after its last beat.
func (t *take) end() time.Duration {
	if t.loop {
		return 1<<63 - 1
	}
	return t.engine.Click.TimeOf(0, t.score.Length+t.score.Meter.Bar())
}

// resume is the bar, as an index into the piece, that practice takes up again
// after a break at a time.
func (t *take) resume(now time.Duration, loop bool) int {
	if loop {
		return 0
	}
	return t.first + t.position(now).Bar
}

// count adds the passes that a loop has begun by now.
func (t *take) count(now time.Duration) {
	if t.loop {
		t.passes += t.position(now).Pass + 1 // none during the count-in
	}
}

// from is the score from a bar on. Only the last bars of a piece are ever left,
// so its harmonies and strokes keep their neighbours.
func from(s *score.Score, bar int) *score.Score {
	if bar == 0 {
		return s
	}
	start := s.Bars[bar].At
	rest := *s
	rest.Length -= start
	rest.Bars = nil
	for _, b := range s.Bars[bar:] {
		b.At -= start
		rest.Bars = append(rest.Bars, b)
	}
	skipped := s.HarmonyAt(start)
	rest.Harmonies = nil
	for _, h := range s.Harmonies[skipped:] {
		h.At, h.End = max(0, h.At-start), h.End-start
		rest.Harmonies = append(rest.Harmonies, h)
	}
	rest.Wants = nil
	for _, w := range s.Wants {
		if w.Bar >= bar {
			w.At -= start
			w.Bar -= bar
			w.Harmony -= skipped
			rest.Wants = append(rest.Wants, w)
		}
	}
	return &rest
}

// leadIn is how long the count-in is: whole bars, and before an upbeat the part
// of its bar that comes before it, as a teacher counts it.
func leadIn(s *score.Score, bars int) meter.Ticks {
	if bars < 1 {
		return 0
	}
	bar := s.Meter.Bar()
	return meter.Ticks(bars)*bar + bar - s.Bars[0].Len
}
