package cause

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/finding"
	"undersong/internal/midi/event"
	"undersong/internal/test/sounding"
)

// A tempo to which the player came by and by is none that was meant, but one that nobody
// strays to.
func TestATempoThatWasComeTo(t *testing.T) {
	// by is a tempo of places half a beat apart: other ones up to some, and then one.
	by := func(then float64, before ...float64) *steady {
		at := 3.0
		return placesAt(len(before)+24, func(i int) float64 {
			was := at
			if pace := then; i < len(before) {
				at += 0.5 / before[i]
			} else {
				at += 0.5 / pace
			}
			return was
		})
	}
	for name, c := range map[string]struct {
		s    *steady
		n    int
		pace float64
		want bool
	}{
		"from the beginning":              {by(0.75), 24, 0.75, true},
		"after too few to tell":           {by(0.75, 0.85), 24, 0.75, true},
		"after the tempo that is written": {by(0.75, 1, 1, 1, 1), 24, 0.75, true},
		"after one a little faster":       {by(0.75, 0.85, 0.85, 0.85, 0.85), 24, 0.75, false},
		"after one a little slower":       {by(1.25, 1.1, 1.1, 1.1, 1.1), 24, 1.25, false},
		"faster than what is written":     {by(1.25, 1, 1, 1, 1), 24, 1.25, true},
		"what was long before is nothing": {by(0.75, 1.2, 1.2, 1.2, 0.85, 0.85, 0.85, 0.85), 24, 0.75, false},
		"nobody strays there":             {by(0.6, 0.7, 0.7, 0.7, 0.7), 24, 0.6, true},
		"nor there":                       {by(1.45, 1.3, 1.3, 1.3, 1.3), 24, 1.45, true},
		"longer than is kept":             {placesAt(mostTimed+1, func(i int) float64 { return 2 * float64(i) / 3 }), mostTimed, 0.75, false},
		"as long as is kept":              {placesAt(mostTimed, func(i int) float64 { return 2 * float64(i) / 3 }), mostTimed, 0.75, true},
	} {
		assert.Equal(t, c.want, c.s.abrupt(c.n, c.pace, 2), name)
	}
	dragged := ledBy(t)
	dragged.led.steady = *by(0.75, 1, 1, 0.95, 0.95, 0.9, 0.9, 0.85, 0.85)
	dragged.paceTold(2)
	assert.Empty(t, dragged.Causes(), "who drags means nothing by it")
	slower := ledBy(t)
	slower.led.steady = *by(0.75, 1, 1, 1, 1, 1, 1, 1, 1)
	slower.paceTold(2)
	if told := slower.Causes(); assert.Len(t, told, 1) {
		assert.Equal(t, finding.HalfTempo, told[0].Kind)
	}
}

// Of a hand that is silent next to nothing is struck.
func TestAHandOfWhichNothingComes(t *testing.T) {
	for name, c := range map[string]struct {
		w    weight
		want bool
	}{
		"nothing":               {weight{struck: 20}, true},
		"as many as may be":     {weight{struck: 20, notes: 4, beyond: mostBeyond}, true},
		"too much unexplained":  {weight{struck: 20, notes: 5}, false},
		"keys that are its own": {weight{struck: 20, notes: 2, beyond: mostBeyond + 1}, false},
	} {
		assert.Equal(t, c.want, c.w.hushed(), name)
	}
}

// Keys below all that the right hand plays are of the left.
func TestKeysOfAHandThatMayBeSilent(t *testing.T) {
	for name, c := range map[string]struct {
		low  []float64 // seconds, when a low key is struck besides
		want int
	}{"none": {nil, 0}, "two": {[]float64{4.25, 6.25}, 2}} {
		j := ledBy(t)
		low := c.low
		for _, ev := range sounding.Exact(j.Score).Events() {
			for len(low) > 0 && sec(low[0]) <= ev.At {
				j.kept.add(event.On(sec(low[0]), 30, 70))
				low = low[1:]
			}
			if ev.Data1 >= 60 {
				j.kept.add(ev)
			}
		}
		r := reading{mute: [2]bool{true, false}}
		w, ok := j.weighLed(&r, sec(12))
		assert.True(t, ok, name)
		assert.Positive(t, w.struck, name)
		assert.Equal(t, c.want, w.beyond, name)
	}
}
