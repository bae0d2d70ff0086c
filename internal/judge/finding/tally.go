package finding

import (
	"time"

	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

// Tally counts findings.
type Tally struct {
	score   *score.Score
	totals  Totals
	perBar  []Counts // by index into the score's bars
	timings [2]spread
}

// NewTally makes a tally for a score.
func NewTally(s *score.Score) Tally {
	return Tally{score: s, perBar: make([]Counts, len(s.Bars))}
}

// Count takes a finding.
func (t *Tally) Count(f *Finding) {
	of := &t.totals[f.Kind]
	of.Count++
	of.Parts |= 1 << f.Part
	aspect, lacked := f.Aspect(t.score)
	of.Aspects[aspect]++
	of.Lacked |= lacked
	t.perBar[f.Bar][f.Kind]++
}

// Time takes how far from its beat a hand's stroke was, early negative.
func (t *Tally) Time(h pattern.Hand, at, off time.Duration) { t.timings[h].add(at, off) }

// TimeOf takes how far from its beat the stroke of a finding was.
func (t *Tally) TimeOf(f *Finding) { t.timings[f.Part].add(f.At, f.Offset) }

// Summary sums up what was found so far.
func (t *Tally) Summary() Summary {
	s := Summary{Totals: t.totals, Timing: [2]Timing{t.timings[0].timing(), t.timings[1].timing()}}
	for i := range t.perBar {
		if t.perBar[i] != (Counts{}) {
			s.addBar(BarCount{t.score.Bars[i].Number, t.perBar[i]})
		}
	}
	s.rank()
	return s
}
