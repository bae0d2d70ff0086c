package firstbass

import "undersong/internal/music/meter"

// SpeaksFor lists the note of the tune that speaks most for bass i in a stretch:
// the first that belongs to its chord, one on a strong beat where there is one.
func (t *Theory) SpeaksFor(i int, from, to meter.Ticks) []int {
	b := &t.primary[i]
	for _, strong := range []bool{true, false} {
		for _, r := range t.runs(from, to) {
			if b.Has(t.s.Melody[r.first].Key().Class()) && (!strong || t.strong(r.at)) {
				return []int{r.first}
			}
		}
	}
	return nil
}

// Notes names the notes of the tune that sound in a stretch.
func (t *Theory) Notes(s *Stretch) []string {
	var all []string
	for _, r := range t.runs(s.From, s.To) {
		all = append(all, t.s.Melody[r.first].Pitch.Note.String())
	}
	return all
}

// Beat is where a stretch begins in its bar, from 1.
func (t *Theory) Beat(s *Stretch) float64 { return beatIn(t.s, s.Bar, s.From) }
