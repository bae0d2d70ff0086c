package score

import "undersong/internal/meter"

// Felt is where a place of the score sounds under the pattern's feel: in a swung
// one the second of two even notes comes late, and triplets stay where they are.
func (s *Score) Felt(at meter.Ticks) meter.Ticks {
	if s.Pattern == nil || s.Pattern.Swing.Straight() {
		return at
	}
	sw := s.Pattern.Swing
	bar := s.Bars[s.BarAt(at)].At
	half := s.Pattern.Grid.Ticks(s.Meter)
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
