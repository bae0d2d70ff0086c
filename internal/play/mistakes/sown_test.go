package mistakes

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/play/performer"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
	"undersong/internal/test/sounding"
)

// Mistakes sown in any number leave a performance that a keyboard can send, and
// a truth that can be found in it.
func TestSownMistakes(t *testing.T) {
	count := map[Kind]int{}
	sounding.EveryScore(t, func(s *score.Score, where string) {
		for seed, level := range performer.Levels() {
			p, err := Play(s, human(t, level), Random(allKinds(), 0.6), uint64(seed))
			require.NoError(t, err, where)
			sounding.AssertKeyboard(t, p.Events, where+", "+level)
			assertTruth(t, s, p, where)
			bars := map[int]int{}
			for _, f := range p.Truth {
				count[f.Kind]++
				bars[f.Bar]++
				require.Equal(t, 1, bars[f.Bar], "%s: two mistakes in bar %d", where, f.Bar)
			}
		}
	})
	for _, k := range allKinds() {
		assert.Positive(t, count[k], k)
	}
}

func TestTheRateOfMistakes(t *testing.T) {
	s := sounding.LongScore(t)
	p, err := Play(s, human(t, "steady"), Random([]Kind{Missing}, 0.25), 9)
	require.NoError(t, err)
	assert.InDelta(t, 64, len(p.Truth), 21, "three sd of 256 bars at a quarter")
	assert.Len(t, p.Onsets, len(s.Wants)-len(p.Truth))
}

func TestNoMistakeUnderABlurredPedal(t *testing.T) {
	s := sounding.Score(t, "4/4", "120", "| C | F | C |", material.Shipped(t, "block-half"))
	change := want(t, s, 2, 1, pattern.Left)
	for _, under := range []int{want(t, s, 1, 3, pattern.Left), want(t, s, 2, 3, pattern.Right)} {
		_, err := Play(s, performer.Habits{}, Plan{}.Plant(Short, under).Plant(Blurred, change), 1)
		assert.ErrorContains(t, err, "under this pedal")
		_, err = Play(s, performer.Habits{}, Plan{}.Plant(Blurred, change).Plant(Short, under), 1)
		assert.ErrorContains(t, err, "on this stroke already")
	}
}

func TestAPedalBlurredAtTheEnd(t *testing.T) {
	s := sounding.Score(t, "4/4", "120", "| C | F |", material.Shipped(t, "block-whole"))
	plan := Plan{}.Plant(Blurred, want(t, s, 2, 1, pattern.Left))
	p, err := Play(s, performer.Habits{Pedal: performer.LegatoPedal, Legato: 0.5}, plan, 1)
	require.NoError(t, err)
	assert.Equal(t, []int64{120, -3250}, sounding.Pedals(p.Events))
}

// However often the order is broken, the pedal is blurred where the truth says so.
func TestBlursAndJumps(t *testing.T) {
	s := sounding.Score(t, "4/4", "120", "| C | F | G | C | F | G | C | F | G | C |", material.Shipped(t, "block-half"))
	both := 0
	for seed := range uint64(60) {
		p, err := Play(s, performer.Habits{}, Random([]Kind{Blurred, Jump}, 0.7), seed)
		require.NoError(t, err)
		count := map[Kind]int{}
		for _, f := range p.Truth {
			count[f.Kind]++
		}
		require.Len(t, sounding.Pedals(p.Events), 2*count[Blurred])
		both += count[Blurred] * count[Jump]
	}
	assert.Positive(t, both)
}
