package cause

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/midi/event"
)

// strikeMoments strikes moments of the score, from a time on, a beat of 500 ms after
// another, and returns when the next would come.
func strikeMoments(j *Judge, at float64, from, to int) float64 {
	wanted := j.led.wanted(j)
	for k := from; k <= to; k++ {
		for i := range j.Score.Wants {
			if w := &j.Score.Wants[i]; w.At == wanted[k].place {
				for _, key := range w.Keys() {
					j.kept.add(event.On(sec(at), uint8(key), 70))
				}
			}
		}
		j.led.open.at = sec(at)
		at += 0.5
	}
	return at
}

// sureOf makes bars sure: some bars, at some times in seconds, by their numbers.
func sureOf(j *Judge, bars ...anchor) {
	for _, a := range bars {
		j.led.anchored++
		j.led.anchors[j.led.anchored%mostAnchored] = a
	}
}

// goneElsewhere is a player of four bars in time, from the first second on, who then plays on
// with other moments.
func goneElsewhere(t *testing.T, pause float64, from, to int) (j *Judge, ends float64) {
	j = ledBy(t)
	ends = strikeMoments(j, 1, 0, 15)
	strikeMoments(j, ends+pause, from, to)
	for bar := range 4 {
		sureOf(j, anchor{bar, sec(1 + 2*float64(bar)), sec(0.5)})
	}
	j.led.away = away{on: true, since: sec(ends - 0.5)}
	return j, ends
}

// Four bars are played, and then something else: back, ahead, or just on.
func TestTheRouteOfALeap(t *testing.T) {
	for name, c := range map[string]struct {
		pause        float64 // seconds
		from, to     int     // moments that are struck after it
		leaps        bool
		back, paused bool
	}{
		"two bars back after a pause": {1, 8, 19, true, true, true},
		"two bars back in time":       {0, 8, 19, true, true, false},
		"back to the bar just played": {1, 12, 23, true, true, true},
		"two bars left out":           {0, 20, 31, true, false, false},
		"on after a pause":            {1, 16, 27, false, false, false},
		"on in time":                  {0, 16, 27, false, false, false},
		"a moment left out, in time":  {0.5, 17, 27, false, false, false},
	} {
		j, ends := goneElsewhere(t, c.pause, c.from, c.to)
		l, ok := j.route(j.led.open.at)
		assert.True(t, ok, name)
		if assert.Equal(t, c.leaps, l.saved > 0, "%s: saves %.1f", name, l.saved); !c.leaps {
			continue
		}
		assert.Greater(t, l.saved, stopEvidence, name)
		assert.Equal(t, []int32{15, int32(c.from)}, []int32{l.left, l.to}, name)
		assert.Equal(t, sec(ends-0.5), l.before, name)
		assert.Equal(t, sec(ends+c.pause), l.after, name)
		assert.Equal(t, []bool{c.back, c.paused}, []bool{l.back, l.paused}, name)
		assert.Equal(t, []int32{int32(c.to/4 - c.from/4 + 1), 0}, []int32{l.bars, l.wrongBars}, name)
		assert.Equal(t, []int32{3, 0}, []int32{l.barsBefore, l.wrongBefore}, "%s: of the bar that was sure and the next two", name)
	}
	j := ledBy(t)
	strikeMoments(j, 1, 0, 2)
	_, ok := j.route(sec(3))
	assert.False(t, ok, "three onsets are too few")
}

// Who breaks off after a stroke and begins the bar again has gone back, too.
func TestABarThatIsBegunAgain(t *testing.T) {
	j := ledBy(t)
	ends := strikeMoments(j, 1, 0, 12)
	strikeMoments(j, ends+1, 12, 23)
	sureOf(j, anchor{0, sec(1), sec(0.5)}, anchor{1, sec(3), sec(0.5)}, anchor{2, sec(5), sec(0.5)})
	j.led.away = away{on: true, since: sec(7)}
	l, ok := j.route(j.led.open.at)
	assert.True(t, ok)
	assert.Equal(t, []int32{12, 12}, []int32{l.left, l.to})
	assert.Greater(t, l.saved, stopEvidence)
}

// A leap is found in another key, too.
func TestTheRouteOfALeapInAnotherKey(t *testing.T) {
	for _, up := range []int{2, -10, 14} {
		j, _ := goneElsewhere(t, 1, 8, 19)
		j.reading.up = up
		for i := range j.kept.n {
			j.kept.ring[i].Data1 += 2
		}
		l, ok := j.route(j.led.open.at)
		assert.True(t, ok, "%d up", up)
		assert.Equal(t, []int32{15, 8}, []int32{l.left, l.to}, "%d up", up)
		assert.Greater(t, l.saved, stopEvidence, "%d up", up)
	}
}

// Where the score begins again without end, its beginning comes after its end.
func TestRoundAndRoundIsNoLeap(t *testing.T) {
	for _, loop := range []bool{true, false} {
		j := ledBy(t)
		j.options.Loop = loop
		ends := strikeMoments(j, 1, 16, 31)
		strikeMoments(j, ends, 0, 11)
		sureOf(j, anchor{4, sec(1), sec(0.5)}, anchor{5, sec(3), sec(0.5)}, anchor{6, sec(5), sec(0.5)})
		j.led.away = away{on: true, since: sec(ends)}
		l, ok := j.route(j.led.open.at)
		assert.True(t, ok)
		assert.Equal(t, loop, l.saved < 0, "loop %t: saves %.1f", loop, l.saved)
	}
}

// What is looked at begins with the latest bar that was sure two bars before the player
// may have leapt; with one nearer by, where there is none. How sure it is, is a matter of
// those before it.
func TestWhatIsLookedAtForALeap(t *testing.T) {
	sure := func(bar int, at float64) anchor { return anchor{bar, sec(at), sec(0.6)} }
	for name, c := range map[string]struct {
		anchors []anchor
		leapt   float64 // seconds, when the player leapt last
		from    float64 // seconds
		bar     int     // with which it begins at no cost; -1 for any
		other   float64 // nats: with another bar
		beat    float64 // seconds
	}{
		"bars in a row":            {[]anchor{sure(3, 9), sure(4, 11), sure(5, 13), sure(6, 15)}, 0, 13, 5, farElsewhere, 0.5},
		"not in a row":             {[]anchor{sure(1, 11), sure(5, 13), sure(6, 15)}, 0, 13, 5, elsewhere, 0.6},
		"the first bar of all":     {[]anchor{sure(0, 13), sure(1, 15)}, 0, 13, 0, farElsewhere, 0.6},
		"only a bar before":        {[]anchor{sure(5, 15)}, 0, 15, 5, elsewhere, 0.6},
		"too long before":          {[]anchor{sure(5, 8.9), sure(5, 15)}, 0, 15, 5, elsewhere, 0.6},
		"before the latest leap":   {[]anchor{sure(5, 13), sure(6, 15)}, 14, 15, 6, elsewhere, 0.6},
		"no bar was sure":          {nil, 0, 9, -1, 0, 0.5},
		"as slowly as it was then": {[]anchor{sure(2, 5), sure(3, 9), sure(4, 13), sure(5, 15)}, 0, 13, 4, farElsewhere, 1},
	} {
		j := ledBy(t)
		j.led.wanted(j)
		sureOf(j, c.anchors...)
		j.led.leapt, j.led.away.since = sec(c.leapt), sec(17)
		from, begins := j.beforeLeap()
		assert.Equal(t, sec(c.from), from.at, name)
		assert.InDelta(t, c.beat, from.beat.Seconds(), 1e-6, name)
		for k := range j.led.moments {
			want := c.other
			switch {
			case c.bar < 0 && k%4 > 0:
				want = leapWithin
			case c.bar >= 0 && k%4 > 0:
				want = math.Inf(1)
			case k/4 == c.bar:
				want = 0
			}
			assert.Equal(t, want, begins(k), "%s: moment %d", name, k)
		}
	}
	j := ledBy(t)
	j.led.wanted(j)
	_, begins := j.beforeLeap()
	assert.Zero(t, begins(5), "it may begin anywhere where nothing was played before")
}

// Nobody comes much too early; who waits for long has waited.
func TestWhatItCostsToBeOutOfTime(t *testing.T) {
	for name, c := range map[string]struct{ gap, due, want float64 }{
		"in time":                   {0.5, 0.5, 0},
		"30 ms late":                {0.529, 0.5, 0},
		"a tenth late":              {0.55, 0.5, perSquare / 100},
		"a tenth early":             {0.5, 0.55, perSquare / 100},
		"half as much again":        {0.75, 0.5, latest},
		"a long wait":               {5, 0.5, latest},
		"in two thirds of the time": {0.5, 0.75, perSquare / 4},
		"in half of it":             {0.25, 0.5, earliest},
		"at once":                   {0, 0.5, earliest},
		"a fast stroke, 29 ms off":  {0.021, 0.05, 0},
	} {
		assert.InDelta(t, c.want, outOfTime(c.gap, c.due), 1e-9, name)
	}
	assert.Greater(t, earliest, latest)
}

// What it costs to leap: more the farther it is, into a bar, back in time, and ahead after
// a pause.
func TestWhatALeapCosts(t *testing.T) {
	j := ledBy(t)
	w := j.routes(nil, j.led.wanted(j), sec(0.5))
	for name, c := range map[string]struct {
		from, to int // moments, four a bar
		gap      float64
		paused   bool
		want     float64
	}{
		"the same bar after a pause":      {6, 4, 2, true, leapBack},
		"two bars back":                   {6, 0, 2, true, leapBack + leapBar},
		"in time":                         {6, 0, 0.5, false, leapAnywhere + leapBar + leapInTime},
		"into a bar":                      {14, 5, 2, true, leapBack + 2*leapBar + leapWithin},
		"a bar left out":                  {3, 8, 0.5, false, leapAnywhere + leapBar},
		"the rest of a bar":               {1, 4, 0.5, false, leapAnywhere},
		"a bar left out, hastily":         {3, 8, 0.25, false, leapAnywhere + leapBar + earliest},
		"after a pause":                   {3, 8, 2, true, leapAnywhere + leapBar + leapOnPaused},
		"seven bars back: no dearer than": {31, 0, 2, true, leapBack + 7*leapBar},
	} {
		assert.InDelta(t, c.want, w.leaps(c.from, c.to, c.gap, c.paused), 1e-9, name)
	}
	assert.Equal(t, []float64{0.5, 0.5}, []float64{w.lasts(0), w.lasts(31)})
	assert.True(t, w.halts(0.5+leapPause*0.5, 3))
	assert.False(t, w.halts(0.499+leapPause*0.5, 3))
}

// Bars and harmonies in which something is right are counted, and bars in which something
// is wrong; another wrong stroke of a harmony says little.
func TestWhatARouteHasTaken(t *testing.T) {
	of := func(bar, harmony int, keys ...int) *moment {
		m := &moment{low: 127, bar: bar, harmony: harmony}
		for _, k := range keys {
			m.add(k)
		}
		return m
	}
	c, g := of(0, 0, 60, 64, 67), of(0, 0, 55, 59, 62)
	type pair struct{ struck, wanted *moment }
	for name, v := range map[string]struct {
		all  []pair
		cost float64
		want []int32 // bars, harmonies, bars that are wrong
	}{
		"right":                      {[]pair{{c, c}}, 0, []int32{1, 1, 0}},
		"twice in a bar":             {[]pair{{c, c}, {c, c}}, 0, []int32{1, 1, 0}},
		"in two bars":                {[]pair{{c, c}, {c, of(1, 0, 60, 64, 67)}}, 0, []int32{2, 1, 0}},
		"of two harmonies":           {[]pair{{c, c}, {c, of(1, 1, 60, 64, 67)}}, 0, []int32{2, 2, 0}},
		"without a note":             {[]pair{{of(0, 0, 60, 67), c}}, alignLacking, []int32{1, 1, 0}},
		"another chord":              {[]pair{{g, c}}, alignForeign*2 + alignLacking*2, []int32{0, 0, 1}},
		"through its bar":            {[]pair{{g, c}, {g, c}}, (alignForeign*2 + alignLacking*2) * (1 + sameHarmony), []int32{0, 0, 1}},
		"in the next, of the same":   {[]pair{{g, c}, {g, of(1, 0, 60, 64, 67)}}, (alignForeign*2 + alignLacking*2) * (1 + sameHarmony), []int32{0, 0, 2}},
		"in the next, of another":    {[]pair{{g, c}, {g, of(1, 1, 60, 64, 67)}}, 2 * (alignForeign*2 + alignLacking*2), []int32{0, 0, 2}},
		"right and wrong in one bar": {[]pair{{c, c}, {g, c}}, alignForeign*2 + alignLacking*2, []int32{1, 1, 1}},
	} {
		var r route
		for _, p := range v.all {
			r.take(p.struck, p.wanted, 0)
		}
		assert.InDelta(t, v.cost, r.cost, 1e-9, name)
		assert.Equal(t, v.want, []int32{r.bars, r.harmonies, r.wrongBars}, name)
	}
	var r route
	r.take(of(0, 0, 62, 66, 69), c, 2)
	assert.Zero(t, r.cost, "D for C, a tone up")
}
