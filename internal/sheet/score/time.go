package score

import (
	"math"
	"time"

	"undersong/internal/music/meter"
)

// Slowing is a ritardando to the end. The zero value is none: the tempo stays.
//
// Between From and To the tempo falls as Friberg and Sundberg found it in final
// ritardandi ("Does music performance allude to locomotion? A model of final
// ritardandi derived from measurements of stopping runners", Journal of the
// Acoustical Society of America 105, 1999): v(x) = (1 + (w³ - 1) x)^(1/3), where
// x is the part of the way, w the tempo at the end of it and both tempi shares of
// the tempo before. Their exponent q is 3 for runners, and listeners liked 2 and
// 3 best. After To the tempo stays.
type Slowing struct {
	From, To meter.Ticks // in the score; From lies before 0 in a part that begins within
	Beat     float64     // how much longer a beat is at To, above 1; 0 where there is none
}

// none reports a tempo that stays.
func (r *Slowing) none() bool { return r.Beat == 0 }

// elapsed is how far the music would have come by a place at an even tempo, in
// ticks: the integral of 1/v.
func (r *Slowing) elapsed(at meter.Ticks) float64 {
	if r.none() || at <= r.From {
		return float64(at)
	}
	way := float64(r.To - r.From)
	lost := r.lost()
	v := math.Cbrt(1 - lost*min(1, float64(at-r.From)/way))
	return float64(r.From) + way*1.5*(1-v*v)/lost + r.Beat*float64(max(0, at-r.To))
}

// placeAfter is the place by which so much has elapsed, and between.
func (r *Slowing) placeAfter(elapsed float64) float64 {
	gone := elapsed - float64(r.From)
	if r.none() || gone <= 0 {
		return elapsed
	}
	way := float64(r.To - r.From)
	lost := r.lost()
	v := math.Sqrt(max(0, 1-lost*gone/(1.5*way)))
	if v*r.Beat > 1 {
		return float64(r.From) + way*(1-v*v*v)/lost
	}
	return float64(r.To) + (elapsed-r.elapsed(r.To))/r.Beat
}

// lost is 1 - w³.
func (r *Slowing) lost() float64 { return 1 - 1/(r.Beat*r.Beat*r.Beat) }

// Slows reports a score that ends with a ritardando.
func (s *Score) Slows() bool { return !s.Slowing.none() }

// Elapsed is the time until a place, in ticks of the written tempo. Without a
// ritardando it is the place itself.
func (s *Score) Elapsed(at meter.Ticks) float64 { return s.Slowing.elapsed(at) - s.Slowing.elapsed(0) }

// Ahead is how many ticks music gets from a place on, in a time that is told in
// ticks of the written tempo, 0 or more.
func (s *Score) Ahead(from meter.Ticks, elapsed float64) float64 {
	if s.Slowing.none() {
		return elapsed
	}
	return s.Slowing.placeAfter(s.Slowing.elapsed(from)+elapsed) - float64(from)
}

// Time is when a place sounds, at the score's tempo, from the beginning on.
func (s *Score) Time(at meter.Ticks) time.Duration { return s.Lasts(0, at) }

// Lasts is how long the music takes from one place to another.
func (s *Score) Lasts(from, to meter.Ticks) time.Duration {
	if s.Slowing.none() {
		return s.Tempo.Duration(to-from, s.Meter)
	}
	return s.slowly(from, to)
}

// slowly is Lasts where the music slows down.
func (s *Score) slowly(from, to meter.Ticks) time.Duration {
	beat := float64(s.Tempo.Duration(s.Meter.Beat(), s.Meter))
	return time.Duration((s.Elapsed(to)-s.Elapsed(from))*beat/float64(s.Meter.Beat()) + 0.5)
}

// At is the place that the music has reached after a time.
func (s *Score) At(d time.Duration) float64 { return s.Ahead(0, s.Tempo.Ticks(d, s.Meter)) }

// Stretch is how much longer than at the written tempo a stretch of music lasts;
// 1 without a ritardando. to lies after from.
func (s *Score) Stretch(from, to meter.Ticks) float64 {
	if s.Slowing.none() {
		return 1
	}
	return (s.Elapsed(to) - s.Elapsed(from)) / float64(to-from)
}
