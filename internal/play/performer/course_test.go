package performer

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/music/meter"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/test/sounding"
)

func told(s *score.Score, p Performance) string {
	return sounding.Strokes(s, p.Onsets, func(o Onset) (int, time.Duration) { return o.Want, o.At })
}

func TestTempoMarksAndFermatas(t *testing.T) {
	s := sounding.Score(t, "4/4", "120", "| C | F | G | C |", sounding.Own(t, "4/4", "halves", "left: 1 5"))
	bar := 4 * meter.Quarter
	play := func(c Course) Performance {
		got := Play(s, Habits{}, c, 1)
		sounding.AssertKeyboard(t, got.Events, "tempo")
		return got
	}
	assert.Equal(t, "1.1@0 1.3@1 2.1@2 2.3@4 3.1@6 3.3@8 4.1@10 4.3@12",
		told(s, play(Course{Tempo: []TempoMark{{At: bar, Share: 0.5}}})), "half tempo from bar 2")
	assert.Equal(t, "1.1@0 1.3@1 2.1@2 2.3@5 3.1@6 3.3@7 4.1@8 4.3@9",
		told(s, play(Course{Fermatas: []Fermata{{At: bar, Beats: 4}}})))

	// A tempo that rises evenly in space from v to 2v takes ln 2 of the time.
	got := play(Course{Tempo: []TempoMark{{At: 0, Share: 1}, {At: 4 * bar, Share: 2}}})
	half := got.Onsets[4].At.Seconds() // at the middle bar line
	assert.InDelta(t, 8*math.Log(1.5), half, 0.01)
}

func TestAFreeTempo(t *testing.T) {
	s := sounding.LongScore(t)
	p := Play(s, Habits{TempoWalk: 0.04, Rubato: 0.1}, Course{}, 3)
	sounding.AssertKeyboard(t, p.Events, "free")
	slowest, fastest := time.Duration(0), time.Hour
	last := time.Duration(-1)
	for _, o := range p.Onsets {
		if s.Wants[o.Want].Hand == pattern.Right {
			continue
		}
		if last >= 0 {
			slowest, fastest = max(slowest, o.At-last), min(fastest, o.At-last)
		}
		last = o.At
	}
	// A beat is a second; the walk stays within 30 %, the rubato adds 10.
	assert.Less(t, slowest.Seconds(), 1/(0.7*0.9)+0.001)
	assert.Greater(t, fastest.Seconds(), 1/(1.3*1.1)-0.001)
	assert.Greater(t, slowest.Seconds(), 1.2)
	assert.Less(t, fastest.Seconds(), 0.85)
}
