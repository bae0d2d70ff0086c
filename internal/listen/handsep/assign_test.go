package handsep

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

// What it costs that the right hand struck the notes, over a bass C3 and under the
// chord C4 E4 G4 or the tune's E4; the reach is 375 ms wide.
func TestTheCostOfAHand(t *testing.T) {
	const sung = "| C | F |\nm: | E8 | F8 |"
	for _, c := range []struct {
		name, bars, pattern, notes string
		late                       time.Duration
		want                       int
	}{
		{"as written", "| C | F |", "block-whole", "C4 E4 G4", 0, 0},
		{"half the reach from its time", "| C | F |", "block-whole", "C4 E4 G4", 188 * ms, 72 * 50 / 100},
		{"nothing struck lacks three notes, and is out of time by nothing", "| C | F |", "block-whole", "", 188 * ms, 72},
		{"a note is missing", "| C | F |", "block-whole", "C4 G4", 0, 24},
		{"a note is doubled", "| C | F |", "block-whole", "C4 E4 G4 C5", 0, 24},
		{"a foreign note more", "| C | F |", "block-whole", "C4 E4 F4 G4", 0, 32},
		{"the tune", sung, "tune-and-bass", "E4", 0, 0},
		{"a foreign note beside the tune's", sung, "tune-and-bass", "E4 F4", 0, 32 + 16},
		{"a foreign note in place of the tune's", sung, "tune-and-bass", "F4", 0, 32 + 24},
		{"what may be left out of four notes, the root and fifth, left out", "| C7 | F |", "block-whole", "Bb3 E4", 0, 2 * 12},
	} {
		b := newBench(t, "4/4", c.bars, c.pattern).open(1, 1).late(c.late)
		for i, k := 0, keys(c.notes); i < k.Len(); i++ {
			b.Onset.Add(Strike{Key: k.At(i), Hand: right})
		}
		assert.Equal(t, c.want, b.cost(b.Hands[right], 0, b.Onset.n), c.name)
	}
}

// What is played after the end is near to the last stroke, F2, or to the first,
// C3, where all begins again.
func TestTheCostOfWhatNothingAsksFor(t *testing.T) {
	b := newBench(t, "4/4", "| C | F |", "block-whole")
	h := b.Hands[left]
	b.Onset.Open[left], h.Cursor = Nothing, h.Len()
	low, high := keys("F2"), keys("C3")
	cost := func(key int) int {
		b.Onset.n = 0
		b.Onset.Add(Strike{Key: low.At(0)})
		b.Onset.Add(Strike{Key: high.At(0)})
		return b.cost(h, key, key+1)
	}
	assert.Equal(t, 36, cost(0))
	assert.Equal(t, 36+7/4, cost(1), "a fifth higher")
	h.Loops = true
	assert.Equal(t, 36+7/4, cost(0), "a fifth lower")
	assert.Equal(t, 36, cost(1))
}

// Where nothing tells the hands apart the right one has all: the lowest cut.
func TestOfEqualsTheLowestCut(t *testing.T) {
	b := newBench(t, "4/4", "| N.C. | N.C. |", "broken-up").strike("C3 C5")
	assert.Equal(t, "| C3 C5", b.who())
}
