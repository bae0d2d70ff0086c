package score

import (
	"fmt"
	"sort"

	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
)

// MeterError is a pattern that cannot be played in a chart's meter.
type MeterError struct {
	Pattern *pattern.Pattern
	Meter   meter.Meter
}

func (e *MeterError) Error() string {
	text := fmt.Sprintf("pattern %q is in %s and cannot be played in %s; \"undersong patterns --meter %s\" lists those that can",
		e.Pattern.Name, e.Pattern.Meter, e.Meter, e.Meter)
	if e.Meter == (meter.Meter{Num: 4, Den: 4}) {
		text += ", and a chart in another meter says so in its heading, as in meter: " + e.Pattern.Meter.String()
	}
	return text
}

// SpanError is a span of bars that the chart does not have.
type SpanError struct {
	Span Span
	Last int // the chart's last bar
}

func (e *SpanError) Error() string {
	switch {
	case e.Span == IntroBars:
		return "this chart has no intro"
	case e.Span.From == e.Span.To:
		return fmt.Sprintf("%s is not in this chart, which has bars 1 to %d", e.Span, e.Last)
	}
	return fmt.Sprintf("%s are not in this chart, which has bars 1 to %d", e.Span, e.Last)
}

// cut takes the bars of a span: from the first time its first bar comes to the
// next time that its last bar comes. Bars of an ending come after the last time.
func cut(all []bar, span Span) ([]bar, error) {
	if span == (Span{}) {
		return all, nil
	}
	if span == IntroBars {
		return cutIntro(all)
	}
	last, late := 0, false
	for _, b := range all {
		late = late || b.added && b.Bar.Number == span.To
	}
	from, to := -1, -1
	for i, b := range all {
		last = max(last, b.Bar.Number)
		if (from < 0 || late && to < 0) && b.Bar.Number == span.From {
			from = i
		}
		if from >= 0 && to < 0 && b.Bar.Number == span.To {
			to = i
		}
	}
	if span.From < 1 || span.From > span.To || from < 0 || to < 0 {
		return nil, &SpanError{span, last}
	}
	return all[from : to+1], nil
}

// cutIntro takes the bars of the intro.
func cutIntro(all []bar) ([]bar, error) {
	n := 0
	for n < len(all) && all[n].Bar.Number < 0 {
		n++
	}
	if n == 0 {
		return nil, &SpanError{Span: IntroBars}
	}
	return all[:n], nil
}

func sortWants(wants []Want) {
	sort.SliceStable(wants, func(i, j int) bool {
		a, b := &wants[i], &wants[j]
		if a.At != b.At {
			return a.At < b.At
		}
		return a.Hand < b.Hand
	})
}

// check refuses notes off the keyboard, which only an own pattern can ask for.
func (s *Score) check() error {
	for i := range s.Wants {
		w := &s.Wants[i]
		for _, t := range w.Tones {
			if t.Key < pitch.PianoLow || t.Key > pitch.PianoHigh {
				return fmt.Errorf("pattern %q leaves the keyboard in %s, beat %g (%s hand, %s): use fewer octave marks or another %s-low",
					s.Bars[w.Bar].Pattern.Name, BarName(s.Bars[w.Bar].Number), w.Beat, w.Hand, w.Chord, w.Hand)
			}
		}
	}
	return nil
}

// Part is the score from bar first to bar last, indices into Bars. Strokes and
// harmonies keep what their neighbours made of them; a note of the tune that is
// tied over the end is still as long as it was.
func (s *Score) Part(first, last int) *Score {
	start := s.Bars[first].At
	end := s.Bars[last].At + s.Bars[last].Len
	p := *s
	p.Length = end - start
	p.Slowing.From, p.Slowing.To = s.Slowing.From-start, s.Slowing.To-start
	p.Bars, p.Harmonies, p.Wants, p.Melody = nil, nil, nil, nil
	for _, b := range s.Bars[first : last+1] {
		b.At -= start
		p.Bars = append(p.Bars, b)
	}
	skipped := s.HarmonyAt(start)
	for _, h := range s.Harmonies[skipped:] {
		if h.At >= end {
			break
		}
		h.At, h.End = max(0, h.At-start), min(h.End, end)-start
		p.Harmonies = append(p.Harmonies, h)
	}
	for _, n := range s.Melody {
		if n.Bar >= first && n.Bar <= last {
			n.At -= start
			n.Bar -= first
			p.Melody = append(p.Melody, n)
		}
	}
	for _, w := range s.Wants {
		if w.Bar >= first && w.Bar <= last {
			w.At -= start
			w.Bar -= first
			w.Harmony -= skipped
			p.Wants = append(p.Wants, w)
		}
	}
	return &p
}
