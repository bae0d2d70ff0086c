package finding

import (
	"math"
	"time"
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
	Strokes  int     `json:"strokes"`
	MeanMs   float64 `json:"mean_ms"`   // early negative
	SpreadMs float64 `json:"spread_ms"` // standard deviation
	DriftMs  float64 `json:"drift_ms"`  // from the first stroke to the last, on the straight line that fits best: negative rushes, positive drags
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
