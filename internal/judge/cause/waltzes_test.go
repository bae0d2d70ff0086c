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
		j.led.away, j.led.leapt = away{on: true}, sec(5)
		j.takeReading(r, sec(9))
		assert.True(t, j.found, name)
		assert.Equal(t, rests, j.led.leftAt, name)
		assert.Equal(t, [2]rest{}, j.led.rests, name)
		assert.Equal(t, away{}, j.led.away, name)
		assert.Zero(t, j.led.leapt, name)
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
