package cause

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/finding"
	"undersong/internal/test/sounding"
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
		"as many: the nearer first":       {map[int]int{-20: 3, 10: 3}, []int{10, -20}},
		"beside a frequent one":           {map[int]int{0: 9, 1: 6, 10: 5}, []int{0, 10}},
		"two from it":                     {map[int]int{0: 9, 2: 6, -2: 6, 10: 5}, []int{0, 10}},
		"three from it":                   {map[int]int{0: 9, 3: 6, -3: 5}, []int{0, 3, -3}},
		"neighbours count half: above":    {map[int]int{0: 6, 10: 5, 11: 3}, []int{10, 0}},
		"neighbours count half: below":    {map[int]int{0: 6, 10: 5, 9: 3}, []int{10, 0}},
		"neighbours count half: too few":  {map[int]int{0: 6, 10: 5, 11: 1}, []int{0, 10}},
		"one further away does not count": {map[int]int{0: 6, 10: 5, 12: 4}, []int{0, 10}},
	} {
		v := newVotes(time.Second)
		for bin, n := range c.votes {
			for range n {
				v.add(time.Duration(bin) * binOfShift)
			}
		}
		var got []int
		for _, off := range v.frequent() {
			got = append(got, int((off+time.Second+binOfShift/2)/binOfShift)-int(time.Second/binOfShift))
		}
		assert.Equal(t, c.want, got, name)
	}
	v := newVotes(time.Second)
	for bin := range 3 * likelyBins {
		v.add(time.Duration(bin-20) * 3 * binOfShift / 2)
	}
	assert.Len(t, v.frequent(), likelyBins)
}

// The distance is the mean of a bin and its neighbours.
func TestTheMeanDistance(t *testing.T) {
	v := newVotes(time.Second)
	for _, off := range []time.Duration{80, 100, 100, 100, 100, 120, 120, 120} {
		v.add(off * ms)
	}
	v.add(-time.Second)
	v.add(time.Second)
	assert.Equal(t, []time.Duration{105 * ms, -time.Second, time.Second}, v.frequent())
}

// At 120: what is no delay is the nearest half beat.
func TestADelayOrSomeBeats(t *testing.T) {
	j := New(sounding.ScoreOf(t, "4/4", eight, "two-beat"), Options{})
	for off, want := range map[time.Duration]finding.Cause{
		150 * ms:   {Kind: finding.Delay, Offset: 150 * ms},
		-150 * ms:  {Kind: finding.Delay, Offset: -150 * ms},
		224 * ms:   {Kind: finding.Delay, Offset: 224 * ms},
		226 * ms:   {Kind: finding.LateStart, Beats: 0.5},
		-224 * ms:  {Kind: finding.Delay, Offset: -224 * ms},
		-226 * ms:  {Kind: finding.EarlyStart, Beats: -0.5},
		374 * ms:   {Kind: finding.LateStart, Beats: 0.5},
		376 * ms:   {Kind: finding.LateStart, Beats: 1},
		-500 * ms:  {Kind: finding.EarlyStart, Beats: -1},
		750 * ms:   {Kind: finding.LateStart, Beats: 1.5},
		-1010 * ms: {Kind: finding.EarlyStart, Beats: -2},
	} {
		want.Hand = finding.BothHands
		assert.Equal(t, want, j.offBeat(off), off.String())
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
