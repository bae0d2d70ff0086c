package finding

import (
	"math"
	"slices"
	"sort"

	"undersong/internal/sheet/score"
)

// BarCount is what was found in one bar, by its printed number.
type BarCount struct {
	Bar    int
	Counts [KindCount]int
}

// Trouble is something worth practising.
type Trouble struct {
	Kind  Kind
	Part  Part
	Bars  []int // printed numbers, rising
	Count int
}

// Summary is a performance in short.
type Summary struct {
	Counts   [KindCount]int
	Bars     []BarCount // bars with any finding, by their numbers
	Timing   [2]Timing  // left, right
	Troubles []Trouble  // at most three, the worst first

	parts [KindCount]uint8 // bits: which parts a kind concerned
}

// Count is how often a kind was found.
func (s *Summary) Count(k Kind) int { return s.Counts[k] }

// Wrong is how many findings were not Right.
func (s *Summary) Wrong() int {
	n := 0
	for k := Right + 1; k < KindCount; k++ {
		n += s.Counts[k]
	}
	return n
}

// mostTroubles is how many things a student can take to the next practice.
const mostTroubles = 3

// Summary sums up what was found so far.
func (t *Tally) Summary() Summary {
	s := Summary{Counts: t.counts, Timing: [2]Timing{t.timings[0].timing(), t.timings[1].timing()}, parts: t.parts}
	for i := range t.perBar {
		if t.perBar[i] != [KindCount]int{} {
			s.addBar(BarCount{t.score.Bars[i].Number, t.perBar[i]})
		}
	}
	s.rank()
	return s
}

// Join sums up two performances of one score as one.
func (s Summary) Join(t Summary) Summary {
	s.Bars = slices.Clone(s.Bars)
	for k := range s.Counts {
		s.Counts[k] += t.Counts[k]
		s.parts[k] |= t.parts[k]
	}
	for _, b := range t.Bars {
		s.addBar(b)
	}
	for h := range s.Timing {
		s.Timing[h] = s.Timing[h].join(t.Timing[h])
	}
	s.rank()
	return s
}

// addBar adds a bar's counts in the order of numbers.
func (s *Summary) addBar(b BarCount) {
	i := sort.Search(len(s.Bars), func(i int) bool { return !score.Earlier(s.Bars[i].Bar, b.Bar) })
	if i == len(s.Bars) || s.Bars[i].Bar != b.Bar {
		s.Bars = slices.Insert(s.Bars, i, BarCount{Bar: b.Bar})
	}
	for k, n := range b.Counts {
		s.Bars[i].Counts[k] += n
	}
}

// join is the mean and spread over the strokes of both.
func (a Timing) join(b Timing) Timing {
	n := float64(a.Strokes + b.Strokes)
	if n == 0 {
		return Timing{}
	}
	squares := func(t Timing) float64 {
		return float64(t.Strokes) * (t.MeanMs*t.MeanMs + t.SpreadMs*t.SpreadMs)
	}
	mean := (float64(a.Strokes)*a.MeanMs + float64(b.Strokes)*b.MeanMs) / n
	spread := (squares(a)+squares(b))/n - mean*mean
	longer := a // a tendency belongs to one take: the longer one's is told
	if b.Strokes > a.Strokes {
		longer = b
	}
	return Timing{
		Strokes: a.Strokes + b.Strokes, MeanMs: mean, SpreadMs: math.Sqrt(max(0, spread)),
		DriftMs: longer.DriftMs,
	}
}

// rank finds the troubles: the more important a kind, the more each of its
// findings weighs.
func (s *Summary) rank() {
	var all []Trouble
	for k := Right + 1; k < KindCount; k++ {
		t := Trouble{Kind: k, Part: partIn(s.parts[k]), Count: s.Counts[k]}
		for _, b := range s.Bars {
			if b.Counts[k] > 0 {
				t.Bars = append(t.Bars, b.Bar)
			}
		}
		if t.Count > 0 {
			all = append(all, t)
		}
	}
	sort.SliceStable(all, func(i, j int) bool {
		return all[i].Count*int(all[i].Kind) > all[j].Count*int(all[j].Kind)
	})
	s.Troubles = all[:min(mostTroubles, len(all))]
}

// partIn is the only part in a set of bits, or both hands.
func partIn(bits uint8) Part {
	for p := LeftHand; p <= Foot; p++ {
		if bits == 1<<p {
			return p
		}
	}
	return BothHands
}
