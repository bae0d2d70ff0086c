package coach

import (
	"math"
	"sort"
	"time"

	"undersong/internal/pattern"
	"undersong/internal/score"
)

// spread is mean and standard deviation, kept as running sums.
type spread struct {
	n           int
	sum, square float64 // milliseconds
}

func (s *spread) add(d time.Duration) {
	ms := float64(d) / float64(time.Millisecond)
	s.n++
	s.sum += ms
	s.square += ms * ms
}

// Timing is how a hand's strokes lie against the beat.
type Timing struct {
	Strokes  int
	MeanMs   float64 // early negative
	SpreadMs float64 // standard deviation
}

func (s *spread) timing() Timing {
	if s.n == 0 {
		return Timing{}
	}
	m := s.sum / float64(s.n)
	return Timing{s.n, m, math.Sqrt(max(0, s.square/float64(s.n)-m*m))}
}

// Tally counts findings.
type Tally struct {
	counts  [kindCount]int
	perBar  [][kindCount]int // by index into the score's bars
	parts   [][kindCount]int // bits: which parts, by bar
	timings [2]spread
}

func newTally(s *score.Score) Tally {
	return Tally{perBar: make([][kindCount]int, len(s.Bars)), parts: make([][kindCount]int, len(s.Bars))}
}

func (t *Tally) count(f *Finding) {
	t.counts[f.Kind]++
	t.perBar[f.Bar][f.Kind]++
	t.parts[f.Bar][f.Kind] |= 1 << f.Part
}

func (t *Tally) time(h pattern.Hand, off time.Duration) { t.timings[h].add(off) }

// BarCount is what was found in one bar, by its printed number.
type BarCount struct {
	Bar    int
	Counts [kindCount]int
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
	Counts   [kindCount]int
	Bars     []BarCount // bars with any finding
	Timing   [2]Timing  // left, right
	Troubles []Trouble  // at most three, the worst first
}

// Count is how often a kind was found.
func (s *Summary) Count(k Kind) int { return s.Counts[k] }

// Wrong is how many findings were not Right.
func (s *Summary) Wrong() int {
	n := 0
	for k := Right + 1; k < kindCount; k++ {
		n += s.Counts[k]
	}
	return n
}

// mostTroubles is how many things a student can take to the next practice.
const mostTroubles = 3

// Summary sums up what was found so far.
func (c *Coach) Summary() Summary {
	t := &c.tally
	s := Summary{Counts: t.counts, Timing: [2]Timing{t.timings[0].timing(), t.timings[1].timing()}}
	byNumber := map[int]*BarCount{}
	for i := range t.perBar {
		n := c.score.Bars[i].Number
		b := byNumber[n]
		if b == nil {
			b = &BarCount{Bar: n}
			byNumber[n] = b
		}
		for k, v := range t.perBar[i] {
			b.Counts[k] += v
		}
	}
	for _, b := range byNumber {
		if b.Counts != [kindCount]int{} {
			s.Bars = append(s.Bars, *b)
		}
	}
	sort.Slice(s.Bars, func(i, j int) bool { return s.Bars[i].Bar < s.Bars[j].Bar })
	s.Troubles = c.troubles(s.Bars)
	return s
}

// troubles ranks the kinds by how much they weigh: the more important a kind,
// the more each of its findings counts.
func (c *Coach) troubles(bars []BarCount) []Trouble {
	var all []Trouble
	for k := Right + 1; k < kindCount; k++ {
		t := Trouble{Kind: k, Part: c.partFor(k)}
		for _, b := range bars {
			if b.Counts[k] > 0 {
				t.Bars = append(t.Bars, b.Bar)
				t.Count += b.Counts[k]
			}
		}
		if t.Count > 0 {
			all = append(all, t)
		}
	}
	sort.SliceStable(all, func(i, j int) bool {
		return all[i].Count*int(all[i].Kind) > all[j].Count*int(all[j].Kind)
	})
	return all[:min(mostTroubles, len(all))]
}

// partFor is the part that a kind was found in, or both hands.
func (c *Coach) partFor(k Kind) Part {
	seen := 0
	for i := range c.tally.parts {
		seen |= c.tally.parts[i][k]
	}
	for p := LeftHand; p <= Foot; p++ {
		if seen == 1<<p {
			return p
		}
	}
	return BothHands
}
