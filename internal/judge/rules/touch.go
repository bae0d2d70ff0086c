package rules

import (
	"math"
)

// Touch is how loud and how unevenly a player strikes: what is a great difference
// for one keyboard and hand is none for another. The zero value knows nothing yet.
type Touch struct {
	n            int
	mean, square float64 // running mean, and mean square distance from it
}

// Add takes how hard a stroke was.
func (t *Touch) Add(velocity int) {
	t.n++
	weight := max(recentTouch, 1/float64(t.n))
	d := float64(velocity) - t.mean
	t.mean += weight * d
	t.square += weight * (d*d*(1-weight) - t.square)
}

// stretch is by what the levels' steps of velocity are multiplied for this player.
func (t *Touch) stretch() float64 {
	if t.n < knownTouch {
		return 1
	}
	return min(wideTouch, max(narrowTouch, math.Sqrt(t.square)/usualTouch))
}
