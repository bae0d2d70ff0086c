package cause

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/engine"
	"undersong/internal/judge/finding"
	"undersong/internal/judge/rules"
	"undersong/internal/midi/event"
	"undersong/internal/test/sounding"
)

// The places whose times are watched go on from round to round, the first of all among them.
func TestPlacesThroughRounds(t *testing.T) {
	j := New(sounding.ScoreOf(t, "4/4", eight, "two-beat"), Options{Options: engine.Options{Level: rules.Steady, Led: true, Loop: true}, Patient: true})
	for i := range 70 {
		for _, key := range j.Score.Wants[i%32].Keys() {
			j.Feed(event.On(sec(1+float64(i)/2), uint8(key), 70))
		}
		s := &j.led.steady
		assert.Equal(t, i+1, s.n)
		assert.InDelta(t, float64(i)/2, s.back(0).written, 1e-9, "stroke %d", i)
		assert.InDelta(t, 1+float64(i)/2, s.back(0).played, 1e-6, "stroke %d", i)
		assert.Equal(t, []int{i / 32, i % 32 / 4}, []int{s.back(0).pass, s.back(0).bar}, "stroke %d", i)
	}
}

// In 5/4 five bars are more than twenty beats; that many show a tempo.
func TestATempoIsToldInLongBars(t *testing.T) {
	for places, want := range map[int]int{25: 0, 26: 1} {
		s := sounding.ScoreOf(t, "5/4", eight, "block-whole")
		j := New(s, Options{Options: engine.Options{Level: rules.Steady, Led: true}})
		j.led.steady = *placesAt(places, func(i int) float64 { return 3 + 0.7*float64(i) })
		j.paceTold(2.5)
		assert.Len(t, j.all, want, "%d places of half a second", places)
	}
}

// A tempo is told of the round in which it began.
func TestInWhichRoundATempoBegan(t *testing.T) {
	j := ledBy(t)
	j.led.steady = *placesAt(24, func(i int) float64 { return 3 + float64(i) })
	for i := range j.led.steady.ring {
		j.led.steady.ring[i].pass = 3
	}
	j.reading.pass = 2
	j.paceTold(2)
	if told := j.Causes(); assert.Len(t, told, 1) {
		assert.Equal(t, finding.HalfTempo, told[0].Kind)
		assert.Equal(t, 5, told[0].Pass)
	}
}

// At a fast tempo strokes are uneven by milliseconds rather than by a share of the beat.
func TestAFastTempoMayBeUneven(t *testing.T) {
	for by, want := range map[float64]bool{0.009: true, 0.019: true, 0.021: false} {
		s := placesAt(40, func(i int) float64 { return 3 + 0.25*float64(i) + by*float64(i%2*2-1) })
		pace, begins, ok := s.line(40, 0.5)
		assert.InDelta(t, 2, pace, 0.01)
		assert.Equal(t, 40, begins)
		assert.Equal(t, want, ok, "by %g s", by)
	}
}

// Two places before a tempo are enough to tell that it was come to by and by, wherever in the
// score that is; with none before there is nothing to come from.
func TestHowMuchShowsWhereATempoCameFrom(t *testing.T) {
	later := func(before int) *steady {
		s := placesAt(before+24, func(i int) float64 {
			return 3 + min(float64(i), float64(before))*0.5/0.85 + max(0, float64(i-before))*0.5/0.75
		})
		for i := range s.n {
			s.ring[i].written += 12
		}
		return s
	}
	for before, want := range map[int]bool{0: true, 1: true, 2: false, 6: false} {
		assert.Equal(t, want, later(before).abrupt(24, 0.75, 2), "%d places before", before)
	}
}

// Where a bar has one stroke only, a tempo that came with the second may have begun with the
// first of all.
func TestATempoBeganWithTheFirstStroke(t *testing.T) {
	for at, want := range map[float64]int{7: 0, 6.5: 1} {
		s := sounding.ScoreOf(t, "4/4", eight, "block-whole")
		j := New(s, Options{Options: engine.Options{Level: rules.Steady, Led: true}})
		j.kept.add(event.On(sec(at), 48, 70))
		first := timedPlace{at: s.Bars[1].At, bar: 1, played: 11}
		assert.Equal(t, want, j.began(&first, 0.5), "the first at %g", at)
	}
}
