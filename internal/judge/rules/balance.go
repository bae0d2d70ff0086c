package rules

import (
	"undersong/internal/judge/finding"
	"undersong/internal/listen/handsep"
	"undersong/internal/sheet/score"
)

// mean is a running mean.
type mean struct{ sum, n int }

func (m *mean) add(v int) { m.sum += v; m.n++ }

func (m *mean) value() float64 { return float64(m.sum) / float64(m.n) }

// over reports that both are heard, and this one is louder than the other by more
// than a step.
func (m *mean) over(other *mean, step float64) bool {
	return m.n > 0 && other.n > 0 && m.value() > other.value()+step
}

// Loudness is how loud the strokes of a bar were. The zero value has heard none.
type Loudness struct {
	accented, plain, bass, chords mean
	tune, under                   mean // under: what lies beneath the tune, and the other hand's chords
}

// Add takes a stroke that was right, or nearly.
func (b *Loudness) Add(w *score.Want, s *handsep.Stroke) {
	velocity := s.Velocity / s.Struck
	if w.Accent {
		b.accented.add(velocity)
	} else {
		b.plain.add(velocity)
	}
	switch w.Role {
	case score.Bass:
		b.bass.add(velocity)
	case score.Block:
		b.chords.add(velocity)
		b.under.add(velocity)
	case score.Melody:
		if s.Buried {
			return // another note was on top: that is told already
		}
		b.tune.add(s.TopVelocity)
		if s.Struck > 1 {
			b.under.add((s.Velocity - s.TopVelocity) / (s.Struck - 1))
		}
	}
}

// Balance is what was out of balance in a bar.
type Balance uint8

// What may be out of balance.
const (
	Balanced Balance = iota
	TuneBuried
	AccentsSoft
	ChordsLoud
)

// Balance weighs a bar for a touch; oneHand says that one hand alone is judged,
// which has nothing to be balanced with but its own tune.
func (l *Level) Balance(b *Loudness, t *Touch, oneHand bool) Balance {
	stretch := t.stretch()
	if b.under.over(&b.tune, stretch*l.Sung) {
		return TuneBuried
	}
	if oneHand {
		return Balanced
	}
	if b.plain.over(&b.accented, -stretch*l.Accent) {
		return AccentsSoft
	}
	if b.accented.n == 0 && b.chords.over(&b.bass, stretch*l.Louder) {
		return ChordsLoud
	}
	return Balanced
}

// Place fills in who is out of balance in a bar of a score, and where.
func (b Balance) Place(f *finding.Finding, s *score.Score) {
	f.Part, f.Beat = finding.BothHands, 1
	switch b {
	case TuneBuried:
		f.Sung, f.Part = true, finding.RightHand
	case ChordsLoud:
		f.Part = finding.RightHand
	case AccentsSoft:
		f.Accent = true
		for i := range s.Wants {
			if w := &s.Wants[i]; w.Bar == f.Bar && w.Accent {
				f.Part, f.Beat, f.Want = finding.PartOf(w.Hand), w.Beat, i
				return
			}
		}
	}
}
