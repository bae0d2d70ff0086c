package firstbass

import (
	"fmt"

	"undersong/internal/music/meter"
)

// speaksFor lists the note of the tune that speaks most for bass i in a stretch:
// the first that belongs to its chord, one on a strong beat where there is one.
func (t *Theory) speaksFor(i int, from, to meter.Ticks) []int {
	b := &t.stock[i]
	for _, strong := range []bool{true, false} {
		for _, r := range t.runs(from, to) {
			if b.Has(t.s.Melody[r.first].Key().Class()) && (!strong || t.strong(r.at)) {
				return []int{r.first}
			}
		}
	}
	return nil
}

// because says what a note of the tune is over bass i.
func (t *Theory) because(i, note int) string {
	n := t.s.Melody[note].Pitch.Note
	if tone := t.stock[i].Tone(n); tone != "root" {
		return fmt.Sprintf("the tune's %s is its %s", n, tone)
	}
	return fmt.Sprintf("the tune has %s too", n)
}

// Why says why bass i fits a stretch.
func (t *Theory) Why(i int, s *Stretch) string {
	for _, note := range t.speaksFor(i, s.From, s.To) {
		return t.because(i, note)
	}
	if t.written(i, s.From) > s.From {
		return "the chart has it"
	}
	return "nothing in the tune is against it"
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
