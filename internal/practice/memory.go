package practice

import (
	"math"
	"slices"
	"sort"

	"undersong/internal/coach"
)

// memory sums up takes that are over.
type memory struct {
	sum   coach.Summary
	takes int
	parts [16]uint8 // by kind, bits: which parts it concerned
}

// saw notes whom a finding concerns.
func (m *memory) saw(f *coach.Finding) { m.parts[f.Kind] |= 1 << f.Part }

// add takes in a take.
func (m *memory) add(s coach.Summary) { *m = m.with(s) }

// with is the memory with one more take.
func (m memory) with(s coach.Summary) memory {
	m.takes++
	if m.takes == 1 {
		m.sum = s
		return m
	}
	sum := m.sum
	for k := range sum.Counts {
		sum.Counts[k] += s.Counts[k]
	}
	sum.Bars = joinBars(sum.Bars, s.Bars)
	for h := range sum.Timing {
		sum.Timing[h] = joinTiming(sum.Timing[h], s.Timing[h])
	}
	m.sum = sum
	m.sum.Troubles = m.troubles()
	return m
}

func (m *memory) summary() coach.Summary { return m.sum }

func joinBars(a, b []coach.BarCount) []coach.BarCount {
	all := slices.Clone(a)
	for _, more := range b {
		i := slices.IndexFunc(all, func(c coach.BarCount) bool { return c.Bar == more.Bar })
		if i < 0 {
			all = append(all, more)
			continue
		}
		for k := range more.Counts {
			all[i].Counts[k] += more.Counts[k]
		}
	}
	sort.Slice(all, func(i, j int) bool { return all[i].Bar < all[j].Bar })
	return all
}

// joinTiming is the mean and spread over the strokes of both.
func joinTiming(a, b coach.Timing) coach.Timing {
	n := a.Strokes + b.Strokes
	if n == 0 {
		return coach.Timing{}
	}
	square := func(t coach.Timing) float64 {
		return float64(t.Strokes) * (t.MeanMs*t.MeanMs + t.SpreadMs*t.SpreadMs)
	}
	mean := (float64(a.Strokes)*a.MeanMs + float64(b.Strokes)*b.MeanMs) / float64(n)
	spread := (square(a)+square(b))/float64(n) - mean*mean
	return coach.Timing{Strokes: n, MeanMs: mean, SpreadMs: math.Sqrt(max(0, spread))}
}

// mostTroubles is how many things a student takes to the next practice, as in
// coach.
const mostTroubles = 3

// troubles ranks the kinds as coach does for one take.
func (m *memory) troubles() []coach.Trouble {
	var all []coach.Trouble
	for _, k := range coach.Kinds() {
		if k == coach.Right || m.sum.Counts[k] == 0 {
			continue
		}
		t := coach.Trouble{Kind: k, Part: m.part(k), Count: m.sum.Counts[k]}
		for _, b := range m.sum.Bars {
			if b.Counts[k] > 0 {
				t.Bars = append(t.Bars, b.Bar)
			}
		}
		all = append(all, t)
	}
	sort.SliceStable(all, func(i, j int) bool {
		return all[i].Count*int(all[i].Kind) > all[j].Count*int(all[j].Kind)
	})
	return all[:min(mostTroubles, len(all))]
}

func (m *memory) part(k coach.Kind) coach.Part {
	for p := coach.LeftHand; p <= coach.Foot; p++ {
		if m.parts[k] == 1<<p {
			return p
		}
	}
	return coach.BothHands
}
