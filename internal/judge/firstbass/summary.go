package firstbass

import (
	"sort"

	"undersong/internal/sheet/score"
)

// BarResult is how a printed bar went the last time it was played.
type BarResult struct {
	Bar  int // number as printed
	Last Kind
	Bass int // of the stock, where it was right; else -1
}

// Summary is what came of it.
type Summary struct {
	Counts [len(kindNames)]int
	Bars   []BarResult // those judged, by number
	All    int         // printed bars in which the tune moves
	// Leading is the bar before the last one where another bass was chosen though
	// the dominant fits, which leads home more strongly; -1 for none.
	Leading int
}

// Right is how many bars were right the last time.
func (s *Summary) Right() int {
	n := 0
	for _, b := range s.Bars {
		if b.Last == Right {
			n++
		}
	}
	return n
}

// ToPractise lists the bars that were not right the last time.
func (s *Summary) ToPractise() []int {
	var all []int
	for _, b := range s.Bars {
		if b.Last != Right {
			all = append(all, b.Bar)
		}
	}
	return all
}

// Done reports that every bar was played and went right the last time.
func (s *Summary) Done() bool { return s.All > 0 && s.Right() == s.All }

// tally gathers a Summary.
type tally struct {
	counts [len(kindNames)]int
	last   map[int]BarResult // by printed number
	turn   map[int]turnOf
	ends   map[int]int // the last bass of a bar, by index
	lost   int
}

// turnOf is one time of playing one of the bars that bear a number.
type turnOf struct{ turn, bar int }

func (t *tally) add(s *score.Score, f *Finding) {
	if t.last == nil {
		t.last, t.turn, t.ends = map[int]BarResult{}, map[int]turnOf{}, map[int]int{}
	}
	t.counts[f.Kind]++
	n := s.Bars[f.Bar].Number
	now := turnOf{f.Turn, f.Bar}
	if old, known := t.turn[n]; known && old == now && t.last[n].Last >= f.Kind {
		return
	}
	t.turn[n] = now
	r := BarResult{Bar: n, Last: f.Kind, Bass: -1}
	if f.Kind == Right {
		r.Bass = f.Bass
	}
	t.last[n] = r
}

// bass keeps the bass with which a right bar ended.
func (t *tally) bass(v *visit) { t.ends[v.bar] = v.last().stock }

// Summary is what came of it so far.
func (l *Listener) Summary() Summary {
	s := Summary{Counts: l.summary.counts, Leading: -1}
	s.Counts[Lost] = l.summary.lost
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
	return s
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
