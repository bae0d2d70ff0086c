package cause

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/finding"
)

// strokesAt are strikes of what is wanted, one after another, at times in seconds.
func strokesAt(j *Judge, times ...float64) (ev evidence) {
	for i, at := range times {
		ev.struck = append(ev.struck, strike{key: j.places[i].wants[0].Tones[0].Key, at: sec(at), opens: true})
	}
	return ev
}

// A line is laid through what is explained, near enough by the one before.
func TestALineThroughStrokes(t *testing.T) {
	for name, c := range map[string]struct {
		times      []float64
		from       reading
		pace, late float64
	}{
		"half as fast":            {[]float64{1, 2, 3, 4, 5, 6}, reading{pace: 0.49}, 0.5, 0},
		"and half a second late":  {[]float64{1.5, 2.5, 3.5, 4.5, 5.5}, reading{pace: 0.51, late: sec(0.52)}, 0.5, 0.5},
		"twice as fast":           {[]float64{1, 1.25, 1.5, 1.75, 2}, reading{pace: 1.98}, 2, 0},
		"too few near it":         {[]float64{1, 2, 3}, reading{pace: 0.49}, 0.49, 0},
		"one that is far from it": {[]float64{1, 2, 3, 4, 5.4, 6}, reading{pace: 0.49}, 0.5, 0},
		"uneven":                  {[]float64{1.05, 1.95, 3.05, 3.95}, reading{pace: 0.5}, 2.45 / 4.81, 2.5 - 0.75*4.81/2.45 - 1}, // by least squares, by hand
	} {
		j := judgeOf(t, false)
		ev := strokesAt(j, c.times...)
		r := c.from
		j.fit(&r, &ev)
		assert.InDelta(t, c.pace, r.pace, 0.001, name)
		assert.InDelta(t, c.late, r.late.Seconds(), 0.003, name)
	}
	j := judgeOf(t, true)
	ev := strokesAt(j, 1, 2, 3, 4, 5)
	for i := range ev.struck {
		ev.struck[i].at += sec(16)
	}
	r := reading{pass: 1, pace: 0.49}
	j.fit(&r, &ev)
	assert.InDelta(t, 0.5, r.pace, 0.001, "in the second round")
	assert.InDelta(t, 0, r.late.Seconds(), 0.003)
	together := strokesAt(j, 1, 1, 1, 1)
	for i := range together.struck {
		together.struck[i].key = together.struck[0].key
	}
	r = reading{pace: 0.49}
	j.fit(&r, &together)
	assert.Equal(t, reading{pace: 0.49}, r, "strokes at one time show no tempo")
}

// A tempo of the player's own, with its cause; near the click's it is none, and near half
// of it it is that.
func TestATempoOfTheirOwn(t *testing.T) {
	for name, c := range map[string]struct {
		beat float64 // seconds
		kind finding.CauseKind
		pace float64
	}{
		"half as fast":   {1, finding.HalfTempo, 0.5},
		"nearly":         {0.985, finding.HalfTempo, 0.5},
		"three quarters": {2. / 3, finding.HalfTempo, 0.75},
		"a third faster": {0.375, finding.DoubleTempo, 4. / 3},
		"twice as fast":  {0.25, finding.DoubleTempo, 2},
		"a bit slower":   {0.54, finding.HalfTempo, 0.926},
		"a bit faster":   {0.46, finding.DoubleTempo, 1.087},
		"hardly slower":  {0.535, finding.NoCause, 0},
		"hardly faster":  {0.467, finding.NoCause, 0},
	} {
		j := judgeOf(t, false)
		var times []float64
		for i := range 9 {
			times = append(times, 1+float64(i)*c.beat)
		}
		ev := strokesAt(j, times...)
		r, ok := j.straightened(reading{pace: 0.5 / c.beat * 1.002}, &ev)
		assert.Equal(t, c.kind != finding.NoCause, ok, name)
		if ok {
			assert.Equal(t, c.kind, r.causes[when].Kind, name)
			assert.InDelta(t, c.pace, r.pace, 0.002, name)
			assert.Equal(t, r.pace, r.causes[when].Ratio, name)
			assert.InDelta(t, 2, j.inScore(&r, sec(times[4])).Seconds(), 0.02, "%s: it goes through the middle", name)
		}
	}
}

// Where one tempo takes the place of another: where the music is at one place by both.
func TestWhereATempoBegins(t *testing.T) {
	j := judgeOf(t, false)
	j.doubt.since = sec(5)
	ev := strokesAt(j, 5, 6, 7, 8, 9, 10, 11)
	half := reading{pace: 0.5, late: sec(-8)} // at 9 seconds both are at 8
	since := func(s float64) change { return change{leave: sec(s), enter: sec(s)} }
	assert.Equal(t, since(5), j.crossing(&half, &ev), "from the beginning")
	j.told = true
	assert.Equal(t, change{leave: sec(8.925), enter: sec(8.85)}, j.crossing(&half, &ev))
	early, late := half, half
	early.late, late.late = sec(-3.9), sec(-10.1)
	assert.Equal(t, since(5), j.crossing(&early, &ev), "before the doubt")
	assert.Equal(t, since(5), j.crossing(&late, &ev), "after all of it")
	assert.Equal(t, change{leave: sec(4.925), enter: sec(5.925)}, j.crossing(&reading{late: sec(1)}, &ev), "never: with the doubt")
	ev.present = reading{pace: 0.5, late: sec(-8)}
	assert.Equal(t, change{leave: sec(8.85), enter: sec(8.925)}, j.crossing(&reading{}, &ev), "and back")
}

// Of many onsets some are looked at, evenly.
func TestSomeOfTheOnsets(t *testing.T) {
	all := make([]int, 48)
	for i := range all {
		all[i] = i
	}
	assert.Equal(t, []int{0, 1, 2, 3, 4}, sampled(all[:5]))
	assert.Equal(t, all[:12], sampled(all[:12]))
	assert.Equal(t, []int{0, 2, 4, 6, 8, 10, 12, 14, 16, 18, 20, 22}, sampled(all[:24]))
	assert.Equal(t, []int{0, 4, 8, 12, 16, 20, 24, 28, 32, 36, 40, 44}, sampled(all))
	assert.Empty(t, sampled(nil))
}

// Tempi are found in a few strokes, wherever they begin, and each but once.
func TestTempiThatAreFound(t *testing.T) {
	for name, c := range map[string]struct {
		first, beat float64 // seconds
		strokes     int
		pace        float64 // 0 for none
	}{
		"half as fast":         {1, 1, 8, 0.5},
		"in four strokes":      {1, 1, 4, 0.5},
		"not in three":         {1, 1, 3, 0},
		"many strokes":         {1, 1, 20, 0.5},
		"a third slower, late": {1.3, 0.75, 9, 2. / 3},
		"twice as fast, early": {0.6, 0.25, 9, 2},
		"and slow":             {1, 1.45, 9, 0.345},
	} {
		j := judgeOf(t, false)
		var times []float64
		for i := range c.strokes {
			times = append(times, c.first+float64(i)*c.beat)
		}
		ev := strokesAt(j, times...)
		few := j.paces(&ev)
		for i := range few {
			p := few[i].pace
			assert.True(t, p >= 1/fastest && p <= slowerBy || p >= fasterBy && p <= fastest, "%s: %g", name, p)
		}
		if c.pace == 0 {
			assert.Empty(t, few, name)
			continue
		}
		if assert.NotEmpty(t, few, name) {
			assert.InDelta(t, c.pace, few[0].pace, 0.01, name)
			assert.InDelta(t, c.first, j.begins(&few[0]).Seconds(), 0.03, name)
			assert.LessOrEqual(t, len(few), likeliestPaces, name)
		}
		if len(few) > 1 {
			assert.Greater(t, math.Abs(few[1].pace/few[0].pace-1), snap, name)
		}
	}
}
