package cause

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/finding"
)

const ms = time.Millisecond

// Of distances in bins of 25 ms those are tried that most of what was struck speaks for,
// with what lies beside them; what lies two bins from one that is tried is the same.
func TestTheMostFrequentDistances(t *testing.T) {
	for name, c := range map[string]struct {
		votes map[int]int
		want  []int
	}{
		"none":                            {nil, nil},
		"the most first":                  {map[int]int{-40: 2, 0: 3, 40: 4}, []int{40, 0, -40}},
		"as many: the lower first":        {map[int]int{10: 3, -10: 3}, []int{-10, 10}},
		"three at most":                   {map[int]int{0: 9, 10: 8, 20: 7, 30: 6}, []int{0, 10, 20}},
		"beside a frequent one":           {map[int]int{0: 9, 1: 6, 10: 5}, []int{0, 10}},
		"two from it":                     {map[int]int{0: 9, 2: 6, -2: 6, 10: 5}, []int{0, 10}},
		"three from it":                   {map[int]int{0: 9, 3: 6, -3: 5}, []int{0, 3, -3}},
		"neighbours count half: above":    {map[int]int{0: 6, 10: 5, 11: 3}, []int{10, 0}},
		"neighbours count half: below":    {map[int]int{0: 6, 10: 5, 9: 3}, []int{10, 0}},
		"neighbours count half: too few":  {map[int]int{0: 6, 10: 5, 11: 1}, []int{0, 10}},
		"one further away does not count": {map[int]int{0: 6, 10: 5, 12: 4}, []int{0, 10}},
	} {
		assert.Equal(t, c.want, mostFrequent(c.votes), name)
	}
}

// The distance is the mean of a bin and its neighbours.
func TestTheMeanDistance(t *testing.T) {
	votes := map[int]int{3: 1, 4: 4, 5: 3, 7: 5}
	sums := map[int]time.Duration{3: 80 * ms, 4: 4 * 100 * ms, 5: 3 * 120 * ms, 7: 5 * 175 * ms}
	assert.Equal(t, 105*ms, meanAround(votes, sums, 4))
	assert.Equal(t, 175*ms, meanAround(votes, sums, 7))
}

// At 120: what is no delay is the nearest half beat.
func TestADelayOrSomeBeats(t *testing.T) {
	for off, want := range map[time.Duration]finding.Cause{
		150 * ms:   {Kind: finding.Delay, Offset: 150 * ms},
		-150 * ms:  {Kind: finding.Delay, Offset: -150 * ms},
		199 * ms:   {Kind: finding.Delay, Offset: 199 * ms},
		200 * ms:   {Kind: finding.LateStart, Beats: 0.5},
		-199 * ms:  {Kind: finding.Delay, Offset: -199 * ms},
		-200 * ms:  {Kind: finding.EarlyStart, Beats: -0.5},
		374 * ms:   {Kind: finding.LateStart, Beats: 0.5},
		376 * ms:   {Kind: finding.LateStart, Beats: 1},
		-500 * ms:  {Kind: finding.EarlyStart, Beats: -1},
		750 * ms:   {Kind: finding.LateStart, Beats: 1.5},
		-1010 * ms: {Kind: finding.EarlyStart, Beats: -2},
	} {
		want.Hand = finding.BothHands
		assert.Equal(t, reading{late: off, cause: want}, shifted(off, 500*ms), off.String())
	}
}

func TestATempoNearHalfOrTwice(t *testing.T) {
	for pace, want := range map[float64]float64{
		0.5: 0.5, 0.485: 0.5, 0.515: 0.5, 0.479: 0.479, 0.521: 0.521, 2.07: 2, 1.93: 2, 2.09: 2.09, 1.91: 1.91, 1: 1, 0.667: 0.667,
	} {
		assert.Equal(t, want, whole(pace), "%g of the tempo", pace)
	}
}

// steps are times in seconds, as music moves in half seconds.
func steps(at ...float64) (all []time.Duration) {
	for _, s := range at {
		all = append(all, time.Duration(s*float64(time.Second)))
	}
	return all
}

// How much longer than written it is from stroke to stroke, and when the place in the
// middle sounds.
func TestTheLineThroughStrokes(t *testing.T) {
	for name, c := range map[string]struct {
		onsets, places []time.Duration
		near           bool
		slope          float64
		middle, sounds time.Duration
		ok             bool
	}{
		"as written":                 {steps(4, 4.5, 5, 5.5), steps(4, 4.5, 5, 5.5), false, 1, 5 * time.Second, 5 * time.Second, true},
		"too few":                    {steps(4, 4.5, 5), steps(4, 4.5, 5, 5.5), false, 0, 0, 0, false},
		"nothing wanted to speak of": {steps(4, 4.5, 5, 5.5), steps(4, 4.5, 5), false, 0, 0, 0, false},
		"half as fast":               {steps(4, 5, 6, 7), steps(4, 4.5, 5, 5.5), false, 2, 5 * time.Second, 6 * time.Second, true},
		"half as fast, fewer heard":  {steps(4, 5, 6, 7), steps(4, 4.5, 5, 5.5, 6, 6.5, 7, 7.5), false, 2, 5 * time.Second, 6 * time.Second, true},
		"twice as fast":              {steps(4, 4.25, 4.5, 4.75, 5, 5.25), steps(4, 4.5, 5, 5.5, 6, 6.5), false, 0.5, 5500 * ms, 4750 * ms, true},
		"and a beat late":            {steps(5, 6, 7, 8), steps(4, 4.5, 5, 5.5), false, 2, 5 * time.Second, 7 * time.Second, true},
		"long and short":             {steps(4, 6, 7, 9, 10), steps(4, 5, 5.5, 6.5, 7), false, 2, 5500 * ms, 7 * time.Second, true},
		"one left out":               {steps(4, 5, 7, 8, 9, 10), steps(4, 4.5, 5, 5.5, 6, 6.5, 7), false, 2, 5500 * ms, 7 * time.Second, true},
		"one more":                   {steps(4, 5, 6, 6.1, 7, 8, 9), steps(4, 4.5, 5, 5.5, 6, 6.5), false, 2, 5500 * ms, 7 * time.Second, true},
		"a third slower than known":  {steps(4, 4.52, 5.04, 5.56, 6.08), steps(4, 4.5, 5, 5.5, 6), true, 1.04, 5 * time.Second, 5040 * ms, true},
		"all at once":                {steps(4, 4, 4, 4), steps(4, 4.5, 5, 5.5), false, 0, 5 * time.Second, 4 * time.Second, false},
	} {
		slope, middle, sounds, ok := line(c.onsets, c.places, c.near)
		assert.Equal(t, c.ok, ok, name)
		if !ok {
			continue
		}
		assert.InDelta(t, c.slope, slope, 0.03, name)
		assert.Equal(t, c.middle, middle, name)
		assert.InDelta(t, c.sounds.Seconds(), sounds.Seconds(), 0.05, name)
	}
}

// A line is fitted by least squares; where all strokes fall on one place it stays as it
// was.
func TestAFit(t *testing.T) {
	places := steps(0, 1, 2, 3)
	slope, start := fit(steps(0.1, 1, 2.1, 3), places, 1, 0)
	assert.InDelta(t, 0.98, slope, 1e-9) // by hand: sum xy 14.2, sum x 6, sum y 6.2, sum xx 14
	assert.InDelta(t, 0.08e9, start, 1)
	slope, start = fit(steps(0.1, 0.2), places, 1, 0)
	assert.Equal(t, []float64{1, 0}, []float64{slope, start}, "one place")
	slope, start = fit(nil, places, 2, 3)
	assert.Equal(t, []float64{2, 3}, []float64{slope, start}, "nothing")
	slope, start = fit(steps(10, 12, 14), places, 2, 10e9)
	assert.InDelta(t, 2, slope, 1e-9, "by a line that is near, places are nearest by it")
	assert.InDelta(t, 10e9, start, 1)
	slope, _ = fit(steps(0, 2, 3), places, 1, 0)
	assert.InDelta(t, 1, slope, 1e-9, "one left out")
}
