package score

import "undersong/internal/music/meter"

// Swung is where a place of the score sounds under its pattern's feel: in a swung
// one the second of two even notes comes late, and triplets stay where they are.
func (s *Score) Swung(at meter.Ticks) meter.Ticks {
	i := s.BarAt(at)
	p := s.Bars[i].Pattern
	if p == nil || p.Swing.Straight() {
		return at
	}
	sw := p.Swing
	bar := s.begins(i)
	half := p.Grid.Ticks(s.Meter)
	within := (at - bar) % (2 * half)
	if within%half != 0 && 3*within%(2*half) == 0 {
		return at
	}
	long := 2 * half * meter.Ticks(sw.Long) / meter.Ticks(sw.Long+sw.Short)
	if within <= half {
		return at - within + within*long/half
	}
	return at - within + long + (within-half)*(2*half-long)/half
}

// begins is where a bar begins, or would where it is an upbeat.
func (s *Score) begins(bar int) meter.Ticks {
	b := &s.Bars[bar]
	if b.Number == 0 {
		return b.At + b.Len - s.Meter.Bar()
	}
	return b.At
}
