package mistakes

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/play/performer"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
	"undersong/internal/test/sounding"
)

func told(s *score.Score, p Performance) string {
	return sounding.Strokes(s, p.Onsets, func(o performer.Onset) (int, time.Duration) { return o.Want, o.At })
}

func TestTheOrderOfThings(t *testing.T) {
	s := sounding.Score(t, "4/4", "120", "| C | F | G | C |", sounding.Own(t, "4/4", "halves", "left: 1 5"))
	for _, c := range []struct {
		item   Item
		bar    int
		beat   float64
		at     float64
		played string
	}{
		{Item{Kind: Pause, Beats: 3}, 2, 3, 4.5, "1.1@0 1.3@1 2.1@2 2.3@4.5 3.1@5.5 3.3@6.5 4.1@7.5 4.3@8.5"},
		{Item{Kind: Restart, Beats: 1}, 2, 3, 3.5, "1.1@0 1.3@1 2.1@2 2.1@3.5 2.3@4.5 3.1@5.5 3.3@6.5 4.1@7.5 4.3@8.5"},
		{Item{Kind: Restart, Beats: 1, Bars: 1}, 2, 1, 2.5, "1.1@0 1.3@1 1.1@2.5 1.3@3.5 2.1@4.5 2.3@5.5 3.1@6.5 3.3@7.5 4.1@8.5 4.3@9.5"},
		{Item{Kind: Stumble, Beats: 0.5}, 3, 1, 4.25, "1.1@0 1.3@1 2.1@2 2.3@3 3.1@4 3.1@4.25 3.3@5.25 4.1@6.25 4.3@7.25"},
		{Item{Kind: RepeatBar}, 2, 1, 4, "1.1@0 1.3@1 2.1@2 2.3@3 2.1@4 2.3@5 3.1@6 3.3@7 4.1@8 4.3@9"},
		{Item{Kind: SkipBar}, 2, 1, 2, "1.1@0 1.3@1 3.1@2 3.3@3 4.1@4 4.3@5"},
		{Item{Kind: SkipBar}, 1, 1, 0, "2.1@0 2.3@1 3.1@2 3.3@3 4.1@4 4.3@5"},
		{Item{Kind: Jump, Bars: 2}, 1, 1, 2, "1.1@0 1.3@1 4.1@2 4.3@3"},
		{Item{Kind: Jump, Bars: -3}, 3, 1, 6, "1.1@0 1.3@1 2.1@2 2.3@3 3.1@4 3.3@5 1.1@6 1.3@7 2.1@8 2.3@9 3.1@10 3.3@11 4.1@12 4.3@13"},
	} {
		c.item.Want = want(t, s, c.bar, c.beat, pattern.Left)
		p, err := Play(s, performer.Habits{}, Plan{Items: []Item{c.item}}, 1)
		require.NoError(t, err, "%v", c.item)
		assert.Equal(t, c.played, told(s, p), "%v", c.item)
		sounding.AssertKeyboard(t, p.Events, string(c.item.Kind))
		require.Len(t, p.Truth, 1)
		assert.InDelta(t, c.at, p.Truth[0].At.Seconds(), 0.002, "%v", c.item)
		assert.Equal(t, c.bar, p.Truth[0].Bar)
	}
}

func TestOrdersThatCannotBe(t *testing.T) {
	s := sounding.Score(t, "4/4", "120", "| C | F | G | C |", sounding.Own(t, "4/4", "halves", "left: 1 5"))
	for reason, items := range map[string][]Item{
		"no such bar":                  {{Kind: Restart, Want: 3, Bars: 2}},
		"at most 64 beats":             {{Kind: Pause, Want: 3, Beats: math.NaN()}},
		"there is no bar 9 bars":       {{Kind: Jump, Want: 2, Bars: 9}},
		"leads the player past it":     {{Kind: SkipBar, Want: 2}, {Kind: Jump, Want: 0, Bars: 2}},
		"what comes before leads":      {{Kind: Missing, Want: 3}, {Kind: Jump, Want: 0, Bars: 2}},
		"the player past it":           {{Kind: Jump, Want: 0, Bars: -1}, {Kind: Blurred, Want: 2}},
		"mistake in this bar already":  {{Kind: Missing, Want: 3}, {Kind: RepeatBar, Want: 2}},
		"mistake on this stroke alrea": {{Kind: RepeatBar, Want: 2}, {Kind: Missing, Want: 3}},
	} {
		_, err := Play(s, performer.Habits{}, Plan{Items: items}, 1)
		assert.ErrorContains(t, err, reason)
	}
}

// What is played once more is played without the mistake.
func TestAMistakeIsNotRepeated(t *testing.T) {
	s := sounding.Score(t, "4/4", "120", "| C | F | G | C |", sounding.Own(t, "4/4", "halves", "left: 1 5"))
	plan := Plan{Items: []Item{{Kind: Missing, Want: 1}, {Kind: Jump, Want: 2, Bars: -2}}}
	p, err := Play(s, performer.Habits{}, plan, 1)
	require.NoError(t, err)
	assert.Equal(t, "1.1@0 2.1@2 2.3@3 1.1@4 1.3@5 2.1@6 2.3@7 3.1@8 3.3@9 4.1@10 4.3@11", told(s, p))
}

func TestABassIsHeldThroughAStumble(t *testing.T) {
	s := sounding.Score(t, "4/4", "120", "| C |", material.Shipped(t, "driving-quarters"))
	i := want(t, s, 1, 3, pattern.Right)
	p, err := Play(s, performer.Habits{}, Plan{Items: []Item{{Kind: Stumble, Want: i, Beats: 1}}}, 1)
	require.NoError(t, err)
	for _, e := range p.Events {
		if e.IsNoteOff() && e.Data1 == 48 {
			assert.InDelta(t, 2500, e.At.Milliseconds(), 2)
		}
	}
}

func TestABreakEndsWhatWasHeld(t *testing.T) {
	s := sounding.Score(t, "4/4", "120", "| C |", material.Shipped(t, "driving-quarters"))
	i := want(t, s, 1, 3, pattern.Right)
	p, err := Play(s, performer.Habits{}, Plan{Items: []Item{{Kind: Restart, Want: i, Beats: 1}}}, 1)
	require.NoError(t, err)
	for _, e := range p.Events {
		if e.IsNoteOff() && e.Data1 == 48 {
			assert.Equal(t, 1300*time.Millisecond, e.At, "0.4 of the wait before 1.5 s")
			break
		}
	}
}

func TestABarPlayedTwiceWandersOn(t *testing.T) {
	s := sounding.Score(t, "4/4", "120", "| C | F |", sounding.Own(t, "4/4", "quarters", "left: 1 5 1 5"))
	p, err := Play(s, performer.Habits{Drift: 0.05}, Plan{}.Plant(RepeatBar, 0), 1)
	require.NoError(t, err)
	for i := range 4 {
		assert.NotEqual(t, p.Onsets[i].At+2*time.Second, p.Onsets[i+4].At)
	}
}
