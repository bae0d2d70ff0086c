package firstbass

import (
	"sort"

	"undersong/internal/judge/finding"
	"undersong/internal/sheet/score"
)

// tally gathers a Summary.
type tally struct {
	totals finding.Totals
	last   map[int]finding.BassBar // by printed number
	turn   map[int]turnOf
	ends   map[int]int // the last bass of a bar, by index
}

// turnOf is one time of playing one of the bars that bear a number.
type turnOf struct{ turn, bar int }

func (t *tally) add(s *score.Score, f *finding.Finding) {
	if t.last == nil {
		t.last, t.turn, t.ends = map[int]finding.BassBar{}, map[int]turnOf{}, map[int]int{}
	}
	t.totals[f.Kind].Count++
	n := s.Bars[f.Bar].Number
	now := turnOf{f.Pass, f.Bar}
	if old, known := t.turn[n]; known && old == now && t.last[n].Last >= f.Kind {
		return
	}
	t.turn[n] = now
	r := finding.BassBar{Bar: n, Last: f.Kind, Bass: -1}
	if f.Kind == finding.Right {
		r.Bass = f.Bass.Chord
	}
	t.last[n] = r
}

// bass keeps the bass with which a right bar ended.
func (t *tally) bass(v *visit) { t.ends[v.bar] = v.last().chord }

// Summary is what came of it so far.
func (l *Listener) Summary() finding.Summary {
	sum := finding.Summary{Totals: l.summary.totals}
	s := &sum.Basses
	for _, r := range l.summary.last {
		s.Bars = append(s.Bars, r)
	}
	sort.Slice(s.Bars, func(i, j int) bool { return s.Bars[i].Bar < s.Bars[j].Bar })
	numbers := map[int]bool{}
	for i, b := range l.s.Bars {
		if b.Number > 0 && l.first[i] > 0 {
			numbers[b.Number] = true
		}
	}
	s.All = len(numbers)
	s.Leading = l.leading()
	return sum
}

// leading looks at the bar before the last: V to I closes (Open Music Theory v1,
// "Classical cadence types").
func (l *Listener) leading() int {
	last := l.s.Melody[len(l.s.Melody)-1].Bar
	for b := last - 1; b >= 0; b-- {
		if l.first[b] == 0 {
			continue
		}
		chosen, known := l.summary.ends[b]
		if home, right := l.summary.ends[last]; !known || !right || Degree(home) != Tonic || Degree(chosen) == Dominant {
			return -1
		}
		at := l.s.Melody[l.lastIn[b]-1].At
		if l.th.Reach(int(Dominant), at) < l.barEnd(b) {
			return -1
		}
		return l.s.Bars[b].Number
	}
	return -1
}
