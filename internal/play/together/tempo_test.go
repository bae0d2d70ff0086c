package together

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/music/meter"
)

// How long a beat is taken to last after strokes at places, in beats, and at times, in
// seconds, where half a second is expected.
func TestTheTempoOfStrokes(t *testing.T) {
	type stroke struct{ place, at float64 }
	every := func(n int, beats, seconds float64) (all []stroke) {
		for i := range n {
			all = append(all, stroke{float64(i) * beats, 3 + float64(i)*seconds})
		}
		return all
	}
	slowing := func(n int, longer float64) (all []stroke) {
		at, beat := 3.0, 0.5
		for i := range n {
			all = append(all, stroke{float64(i), at})
			at, beat = at+beat, beat*longer
		}
		return all
	}
	for name, c := range map[string]struct {
		strokes   []stroke
		beat, off float64 // seconds
	}{
		"nothing yet":         {nil, 0.5, 0},
		"one stroke":          {every(1, 1, 0), 0.5, 0},
		"as expected":         {every(8, 1, 0.5), 0.5, 0.001},
		"slower":              {every(12, 1, 0.6), 0.6, 0.003},
		"faster":              {every(12, 1, 0.4), 0.4, 0.003},
		"slower, soon":        {every(3, 1, 0.6), 0.6, 0.02},
		"every other beat":    {every(10, 2, 1.2), 0.6, 0.003},
		"twice a beat":        {every(16, 0.5, 0.3), 0.6, 0.004},
		"a pause":             {append(every(8, 1, 0.5), stroke{8, 12}), 0.5, 0.001},
		"back":                {append(every(8, 1, 0.5), stroke{2, 7}, stroke{3, 7.5}), 0.5, 0.001},
		"at one place":        {append(every(8, 1, 0.5), stroke{7, 6.6}), 0.5, 0.001},
		"a stroke 20 ms late": {append(every(8, 1, 0.5), stroke{8, 7.02}), 0.51, 0.006},
		"slowing down":        {slowing(9, 1.03), 0.5 * 1.23, 0.006}, // its last beat is 1.03 to the power of seven
	} {
		beat := newTempo(500*time.Millisecond, float64(meter.Quarter))
		for _, s := range c.strokes {
			beat.hear(s.place*float64(meter.Quarter), time.Duration(s.at*float64(time.Second)))
		}
		assert.InDelta(t, c.beat, beat.lasts(float64(meter.Quarter)).Seconds(), c.off+1e-9, name)
		assert.InDelta(t, c.beat/2, beat.lasts(float64(meter.Eighth)).Seconds(), c.off+0.002, name)
	}
	beat := newTempo(500*time.Millisecond, float64(meter.Quarter))
	for _, s := range slowing(9, 1.03) {
		beat.hear(s.place*float64(meter.Quarter), time.Duration(s.at*float64(time.Second)))
	}
	one, two := beat.lasts(float64(meter.Quarter)), beat.lasts(float64(meter.Half))
	assert.Greater(t, two, 2*one, "who slows down goes on to")
	beat.forget()
	beat.hear(20*float64(meter.Quarter), time.Minute)
	assert.Equal(t, 2*beat.lasts(float64(meter.Quarter)), beat.lasts(float64(meter.Half)), "but not after a break")
}
