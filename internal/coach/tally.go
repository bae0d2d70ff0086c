package coach

import (
	"math"
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
	parts   [kindCount]uint8 // bits: which parts
	timings [2]spread
}

func newTally(s *score.Score) Tally {
	return Tally{perBar: make([][kindCount]int, len(s.Bars))}
}

func (t *Tally) count(f *Finding) {
	t.counts[f.Kind]++
	t.perBar[f.Bar][f.Kind]++
	t.parts[f.Kind] |= 1 << f.Part
}

func (t *Tally) time(h pattern.Hand, off time.Duration) { t.timings[h].add(off) }
