package cause

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/engine"
	"undersong/internal/judge/finding"
	"undersong/internal/judge/rules"
	"undersong/internal/test/sounding"
)

// In a waltz, five bars are told of where the tempo is one that nobody plays freely: 16
// places half a second apart. Nearer ones take twenty beats.
func TestATempoIsToldOfAWaltz(t *testing.T) {
	for name, c := range map[string]struct {
		places int
		pace   float64
		kind   finding.CauseKind
	}{
		"much slower":                  {16, 0.67, finding.HalfTempo},
		"much slower, four bars":       {15, 0.67, finding.NoCause},
		"not so much slower":           {16, 0.69, finding.NoCause},
		"not so much, for 19 beats":    {20, 0.69, finding.NoCause},
		"not so much, for 20":          {21, 0.69, finding.HalfTempo},
		"much faster":                  {16, 1.41, finding.DoubleTempo},
		"not so much faster":           {16, 1.39, finding.NoCause},
		"not so much, faster, for 20":  {21, 1.39, finding.DoubleTempo},
		"freely slower, for very long": {30, 0.83, finding.NoCause},
		"freely faster, for very long": {30, 1.21, finding.NoCause},
	} {
		s := sounding.ScoreOf(t, "3/4", eight, "waltz")
		j := New(s, Options{Options: engine.Options{Level: rules.Steady, Led: true}, Patient: true})
		j.led.steady = *placesAt(c.places, func(i int) float64 { return 3 + float64(i)/2/c.pace })
		j.paceTold(1.5)
		told := j.Causes()
		if c.kind == finding.NoCause {
			assert.Empty(t, told, name)
			continue
		}
		if assert.Len(t, told, 1, name) {
			assert.Equal(t, c.kind, told[0].Kind, name)
			assert.InDelta(t, c.pace, told[0].Ratio, 0.001, name)
			assert.Equal(t, finding.BothHands, told[0].Hand, name)
		}
	}
}

// Where a reading takes the place of the present one late in the stretch, what was found
// before is told as it was.
func TestAStretchIsNarrowed(t *testing.T) {
	for tell, want := range map[float64]float64{3: 5, 6: 6} {
		j := ledBy(t)
		j.doubt = doubt{on: true, since: sec(2), tell: sec(tell)}
		for _, at := range []float64{3, 4.99, 5, 6} {
			f := mistake(finding.WrongBass, finding.LeftHand, 1, 1)
			f.Want, f.At = -1, sec(at)
			j.doubt.held = append(j.doubt.held, f)
		}
		j.enter(sec(5))
		assert.Equal(t, sec(5), j.doubt.since)
		assert.Equal(t, sec(want), j.doubt.tell)
		assert.Empty(t, j.doubt.held)
		if assert.Len(t, j.out, 2) {
			assert.Equal(t, sec(4.99), j.out[1].At)
		}
	}
}

// A reading that is taken begins with a clean slate, and its cause is the latest; the
// score as it is written has none.
func TestAReadingIsTaken(t *testing.T) {
	key := reading{up: 2}
	key.causes[what] = finding.Cause{Kind: finding.OtherKey, Semitones: 2, Hand: finding.BothHands}
	for name, r := range map[string]reading{"a tone up": key, "as written": {}} {
		j := ledBy(t)
		j.all = []finding.Cause{{Kind: finding.OctaveOff}}
		rests := [2]rest{{at: 3, bars: 2}, {at: 5, bars: 4}}
		j.led.rests, j.led.anchored, j.led.again = rests, 7, 2
		j.led.away = away{on: true}
		j.takeReading(r, sec(9))
		assert.True(t, j.found, name)
		assert.Equal(t, rests, j.led.leftAt, name)
		assert.Equal(t, [2]rest{}, j.led.rests, name)
		assert.Equal(t, away{}, j.led.away, name)
		assert.Equal(t, []int{0, 0}, []int{j.led.anchored, j.led.again}, name)
		assert.Equal(t, !r.plain(), j.fresh[what], name)
		if r.plain() {
			assert.Len(t, j.all, 1, name)
			continue
		}
		if assert.Len(t, j.all, 2, name) {
			assert.Equal(t, finding.OtherKey, j.all[1].Kind, name)
			assert.Equal(t, sec(9), j.all[1].At, name)
			assert.Equal(t, 1, j.current[what], name)
		}
	}
}

// A reading that is better from later on takes the place of the present one there, where
// that saves one mistake more.
func TestALaterPlaceSavesAMistake(t *testing.T) {
	for more, want := range map[float64]float64{ofMistake: 6, ofMistake - 0.1: 4, ofMistake + 1: 6} {
		present := weight{nats: 20, course: []described{{sec(5), 0}, {sec(6), 0}, {sec(7), 10}}}
		w := weight{nats: 10 + more, course: []described{{sec(5), 0}, {sec(6), more}}}
		saved, at := w.from(&present, sec(4))
		assert.Equal(t, sec(want), at, "%g more", more)
		if want == 6 {
			assert.InDelta(t, 10, saved, 1e-9)
		} else {
			assert.InDelta(t, 10-more, saved, 1e-9)
		}
	}
}
