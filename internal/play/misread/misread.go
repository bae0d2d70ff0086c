// Package misread makes a simulated pianist play a whole stretch wrong for one reason:
// in another key, say, or twice as slowly. The truth about it comes from the plan.
package misread

import (
	"slices"
	"time"

	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/play/mistakes"
	"undersong/internal/play/performer"
	"undersong/internal/sheet/score"
)

// Plan is one reason why all is played otherwise than written, from the first stroke of
// a bar on, to the end. The zero value is none.
type Plan struct {
	Bar int // index into the score's bars

	Semitones int           // all is so much higher
	Octaves   [2]int        // each hand lies so many octaves higher
	Silent    [2]bool       // nothing comes from the hand
	Pace      float64       // tempo played to tempo written, 0.25 to 4; 0 for 1
	Shift     time.Duration // all comes so much later, sooner where it is negative
	Pedal     bool          // the damper goes down half a beat before and is not lifted any more
	Instead   *score.Score  // what is played in place of the score, in the same bars; nil for the score
	Leap      mistakes.Item // a mistake in the order of things, after which all comes later or sooner; none without a kind
}

// Play plays s with mistakes besides, which stand in the truth; with a Pace of the plan's
// their tempo does not count. What would leave the piano is played octaves nearer.
func Play(s *score.Score, h performer.Habits, plan Plan, besides mistakes.Plan, seed uint64) (mistakes.Performance, error) {
	from := s.Bars[plan.Bar].At
	if plan.Leap.Kind != "" {
		besides.Items = append(slices.Clone(besides.Items), plan.Leap)
	}
	besides.Bend = func(strokes []performer.Stroke) { plan.bend(strokes, from) }
	if plan.Pace != 0 {
		besides.Tempo = []performer.TempoMark{{At: from - 1, Share: 1}, {At: from, Share: plan.Pace}}
	}
	p, err := mistakes.Play(s, h, besides, seed)
	if err != nil {
		return p, err
	}
	begins := besides.Start + s.Tempo.Duration(from, s.Meter) - s.Tempo.Duration(s.Meter.Beat(), s.Meter)/4
	if plan.Instead != nil {
		other, err := mistakes.Play(plan.Instead, h, mistakes.Plan{Start: besides.Start}, seed)
		if err != nil {
			return p, err
		}
		p.Events = spliced(p.Events, other.Events, begins)
		p.Truth = slices.DeleteFunc(p.Truth, func(f mistakes.Fault) bool { return f.Bar >= s.Bars[plan.Bar].Number })
	}
	p.Events = plan.shifted(p.Events, begins)
	if plan.Pedal {
		p.Events = pedalled(p.Events, begins-s.Tempo.Duration(s.Meter.Beat(), s.Meter)/4)
	}
	return p, nil
}

// spliced is one performance up to a time, and another from then on. What sounds of the
// first is let go.
func spliced(first, second []event.Event, at time.Duration) []event.Event {
	var all []event.Event
	down := map[uint8]bool{}
	for _, ev := range first {
		if ev.At >= at {
			break
		}
		all = append(all, ev)
		if ev.IsNoteOn() || ev.IsNoteOff() {
			down[ev.Data1] = ev.IsNoteOn()
		}
	}
	for key := range uint8(128) {
		if down[key] {
			all = append(all, event.Off(max(0, at), key))
		}
	}
	i := slices.IndexFunc(second, func(ev event.Event) bool { return ev.At >= at })
	if i < 0 {
		return all
	}
	return append(all, second[i:]...)
}

// pedalled is what is played with the damper down from a time on.
func pedalled(events []event.Event, from time.Duration) []event.Event {
	down := event.Event{At: max(0, from), Status: event.ControlChange, Data1: event.Damper, Data2: 127}
	i := slices.IndexFunc(events, func(ev event.Event) bool { return ev.At >= down.At })
	if i < 0 {
		i = len(events)
	}
	after := slices.DeleteFunc(slices.Clone(events[i:]), func(ev event.Event) bool {
		return ev.Kind() == event.ControlChange && ev.Data1 == event.Damper
	})
	return slices.Concat(events[:i], []event.Event{down}, after)
}

// bend changes what is struck from a place on.
func (p *Plan) bend(strokes []performer.Stroke, from meter.Ticks) {
	for i := range strokes {
		st := &strokes[i]
		if st.Pos < from {
			continue
		}
		st.Silent = st.Silent || p.Silent[st.Hand]
		keys := slices.Clone(st.Keys)
		for k := range keys {
			up := pitch.Num(p.Semitones + 12*p.Octaves[st.Hand])
			keys[k] = (keys[k] + up).Within(pitch.PianoLow, pitch.PianoHigh)
		}
		st.Set(keys)
	}
}

// shifted is what is played, the part from a time on shifted. What it would overtake is
// not played.
func (p *Plan) shifted(events []event.Event, from time.Duration) []event.Event {
	if p.Shift == 0 {
		return events
	}
	var before, after []event.Event
	for _, ev := range events {
		switch {
		case ev.At >= from:
			ev.At = max(0, ev.At+p.Shift)
			after = append(after, ev)
		case ev.At < from+p.Shift || p.Shift > 0 || !ev.IsNoteOn():
			ev.At = min(ev.At, max(0, from+min(0, p.Shift)))
			before = append(before, ev)
		}
	}
	return append(before, after...)
}
