package review

import (
	"fmt"
	"time"

	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
	"undersong/internal/sheet/score"
)

// passage is a part of a chart as it is played in the whole: the pattern goes on
// into it from the bars before.
type passage struct {
	score       *score.Score
	whole       *score.Score
	start       meter.Ticks // in the whole
	from, after meter.Ticks // strokes from here on, and before there, are its own; in the whole
	part        bool        // false where it is the whole
}

// passageOf takes the bars of a span, which was laid by itself, out of the whole.
func passageOf(span *score.Score, o Options) (passage, error) {
	whole, err := score.Build(o.Chart, o.Pattern, score.Options{Key: o.Key, Tempo: o.Tempo, Only: o.Only, Parts: o.Parts, Keyboard: o.Keyboard})
	if err != nil {
		return passage{}, err
	}
	first := 0
	for !alike(whole.Bars[first:], span.Bars) {
		first++
	}
	last := first + len(span.Bars) - 1
	p := passage{score: whole.Part(first, last), whole: whole, start: whole.Bars[first].At, part: true}
	end := p.start + p.score.Length
	p.from, p.after = between(whole, p.start, end)
	return p, nil
}

// alike reports bars that begin with those of a span.
func alike(bars, span []score.Bar) bool {
	for i := range span {
		if bars[i].Number != span[i].Number {
			return false
		}
	}
	return true
}

// between parts the strokes of a stretch from their neighbours, halfway: fingers
// may be early or late.
func between(s *score.Score, start, end meter.Ticks) (from, after meter.Ticks) {
	bar := s.Meter.Bar()
	before, last := start-2*bar, start
	for i := range s.Wants {
		switch at := s.Wants[i].At; {
		case at < start:
			before = at
		case at < end:
			last = at
		default:
			return (before + start) / 2, (last + at) / 2
		}
	}
	return (before + start) / 2, end + bar
}

// cut leaves out the strokes that are no part of what is judged, by their times
// in the file.
type cut struct{ from, after time.Duration }

// cut is nil where the passage is the whole.
func (p *passage) cut(sounds func(meter.Ticks) time.Duration) *cut {
	if !p.part {
		return nil
	}
	return &cut{sounds(p.from), sounds(p.after)}
}

func (c *cut) drops(at time.Duration) bool { return c != nil && (at < c.from || at >= c.after) }

// ShortError is a file that is over before what is to be judged begins.
type ShortError struct {
	Bars int // of the file
	Skip int // Options.SkipBars
	Bar  int // the span's first, or 0
}

func (e *ShortError) Error() string {
	has := fmt.Sprintf("the file has %d bars", e.Bars)
	if e.Bars == 1 {
		has = "the file has 1 bar"
	}
	switch {
	case e.Bar == 0:
		return fmt.Sprintf("%s, and nothing is left with %d passed over", has, e.Skip)
	case e.Skip == 0:
		return fmt.Sprintf("%s and is over before bar %d comes", has, e.Bar)
	}
	return fmt.Sprintf("%s and is over before bar %d comes, with %d passed over", has, e.Bar, e.Skip)
}

// short is a *ShortError where the last stroke comes before the passage. Where
// nothing is passed over there is none.
func (r *Review) short(o Options) error {
	last := -1
	for i, ev := range r.performance.Events {
		if ev.IsNoteOn() && ev.Channel() != event.Percussion {
			last = i
		}
	}
	begins := r.start
	if r.cut != nil {
		begins = r.cut.from
	}
	if last < 0 || r.start == 0 || r.warp.toEngine(r.performance.Events[last].At) >= r.warp.toEngine(begins) {
		return nil
	}
	return &ShortError{Bars: r.barsTo(last, o), Skip: o.SkipBars, Bar: o.Span.From}
}

// barsTo counts the bars up to an event.
func (r *Review) barsTo(event int, o Options) int {
	s, p := r.Score, r.performance
	at := s.Tempo.Ticks(p.Events[event].At, s.Meter)
	if o.Tempo == 0 && p.TicksPerQuarter > 0 {
		at = float64(p.Ticks[event]) / float64(p.TicksPerQuarter) * float64(meter.Quarter)
	}
	return int(at/float64(s.Meter.Bar())) + 1
}
