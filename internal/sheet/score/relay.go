package score

import (
	"slices"

	"undersong/internal/sheet/pattern"
)

// Relaid is the same music with another accompaniment in place of its own, plainly in all
// bars that have it. Errors are *MeterError, *TuneError where the accompaniment plays a
// tune and there is none, and those of strokes that leave the keyboard.
func (s *Score) Relaid(p *pattern.Pattern) (*Score, error) {
	if !p.Fits(s.Meter) {
		return nil, &MeterError{Pattern: p, Meter: s.Meter}
	}
	if p.PlaysTune() && s.Melody == nil {
		return nil, &TuneError{Pattern: p}
	}
	c := *s
	c.Pattern, c.Wants = p, nil
	c.Bars = slices.Clone(s.Bars)
	for i := range c.Bars {
		if b := &c.Bars[i]; b.Pattern == s.Pattern {
			b.Pattern = p
		}
	}
	return &c, c.layHands()
}
