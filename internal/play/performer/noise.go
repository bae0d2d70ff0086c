package performer

import (
	"math/rand/v2"
	"time"
)

// What chance is drawn for: each has streams of its own, so that one draw more
// in one place changes nothing in another.
const (
	forMoments = iota
	forStrokes
	forVoicing
	_ // two for those who alter a take; see Chance
	_
	forWander
	forTempo
	forRolls
)

func (t *Take) random(purpose, a, b int) *rand.Rand { return Chance(t.seed, purpose, a, b) }

// Chance is the stream of a seed for a purpose and two numbers that tell its
// place. A take draws for purposes 0 to 2 and from 5 on.
func Chance(seed uint64, purpose, a, b int) *rand.Rand {
	return rand.New(rand.NewPCG(scatter(seed, uint64(purpose)), scatter(uint64(a), uint64(b))))
}

// scatter makes one seed of two numbers, far apart even where they are close
// (the finalizer of SplitMix64; Steele, Lea and Flood 2014).
func scatter(a, b uint64) uint64 {
	z := a*0x9E3779B97F4A7C15 + b + 1
	for range 2 {
		z = (z ^ z>>30) * 0xBF58476D1CE4E5B9
		z = (z ^ z>>27) * 0x94D049BB133111EB
		z ^= z >> 31
	}
	return z
}

// normal is a standard normal value cut off at within.
func normal(r *rand.Rand) float64 {
	for {
		if v := r.NormFloat64(); v >= -within && v <= within {
			return v
		}
	}
}

// spread is a normal value with an sd in time.
func spread(r *rand.Rand, sd time.Duration) time.Duration {
	return time.Duration(normal(r) * float64(sd))
}

func clamp[T ~int | ~int64 | ~float64](v, low, high T) T { return max(low, min(v, high)) }
