package finding

import (
	"math"
	"time"

	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

// spread is how a hand's strokes lie against the beat, as running sums: offsets
// in milliseconds, times in seconds.
type spread struct {
	n                int
	sum, square      float64 // of the offsets
	time, timeSquare float64 // of when they came
	product          float64 // of both
	first, last      float64
}

func (s *spread) add(at, off time.Duration) {
	ms, t := float64(off)/float64(time.Millisecond), at.Seconds()
	if s.n == 0 {
		s.first = t
	}
	s.n++
	s.last = t
	s.sum += ms
	s.square += ms * ms
	s.time += t
	s.timeSquare += t * t
	s.product += t * ms
}

// Timing is how a hand's strokes lie against the beat.
type Timing struct {
	Strokes  int
	MeanMs   float64 // early negative
	SpreadMs float64 // standard deviation
	DriftMs  float64 // from the first stroke to the last, on the straight line that fits best: negative rushes, positive drags
}

func (s *spread) timing() Timing {
	if s.n == 0 {
		return Timing{}
	}
	n := float64(s.n)
	m := s.sum / n
	t := Timing{Strokes: s.n, MeanMs: m, SpreadMs: math.Sqrt(max(0, s.square/n-m*m))}
	if along := s.timeSquare - s.time*s.time/n; s.n >= fewestForDrift && along > 0 {
		t.DriftMs = (s.product - s.time*m) / along * (s.last - s.first)
	}
	return t
}

// fewestForDrift is how many strokes a tendency needs: fewer are chance.
const fewestForDrift = 16

// Tally counts findings.
type Tally struct {
	score   *score.Score
	counts  [KindCount]int
	perBar  [][KindCount]int // by index into the score's bars
	parts   [KindCount]uint8 // bits: which parts
	timings [2]spread
}

// NewTally makes a tally for a score.
func NewTally(s *score.Score) Tally {
	return Tally{score: s, perBar: make([][KindCount]int, len(s.Bars))}
}

// Count takes a finding.
func (t *Tally) Count(f *Finding) {
	t.counts[f.Kind]++
	t.perBar[f.Bar][f.Kind]++
	t.parts[f.Kind] |= 1 << f.Part
}

// Time takes how far from its beat a hand's stroke was, early negative.
func (t *Tally) Time(h pattern.Hand, at, off time.Duration) { t.timings[h].add(at, off) }
