package mistakes

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/play/performer"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
	"undersong/internal/test/sounding"
)

func TestTheSameSeedPlaysTheSame(t *testing.T) {
	s := sounding.Score(t, "4/4", "96", "| C | Am | F | G7 | C | F | G7 | C |", material.Shipped(t, "two-beat"))
	plan := Random(allKinds(), 0.5)
	h := human(t, "fluent")
	a, err := Play(s, h, plan, 11)
	require.NoError(t, err)
	b, err := Play(s, h, plan, 11)
	require.NoError(t, err)
	assert.Equal(t, a, b)
	c, err := Play(s, h, plan, 12)
	require.NoError(t, err)
	assert.NotEqual(t, a.Events, c.Events)
}

// A mistake changes nothing but itself.
func TestAMistakeLeavesTheRestAsItWas(t *testing.T) {
	s := sounding.Score(t, "4/4", "96", "| C | Am | F | G7 |", material.Shipped(t, "two-beat"))
	h := human(t, "steady")
	plain := faultless(s, h, 5)
	for _, k := range []Kind{WrongBass, WrongNote, Missing, MissingNote, ExtraNote, WrongChord} {
		i := Plan{}.Sites(s, h, k)[2]
		p, err := Play(s, h, Plan{}.Plant(k, i), 5)
		require.NoError(t, err)
		gone, added := sounding.Difference(plain.Events, p.Events)
		concerned := append([]int{i}, p.Truth[0].Also...)
		for _, e := range append(gone, added...) {
			near := false
			for _, j := range concerned {
				at := s.Tempo.Duration(s.Wants[j].At, s.Meter)
				near = near || max(e.At-at, at-e.At) < h.Bound(625*time.Millisecond)
			}
			assert.True(t, near, "%s: key %d at %s", k, e.Data1, e.At)
		}
	}
}

func TestNothingToPlay(t *testing.T) {
	s := sounding.Score(t, "4/4", "96", "| N.C. |", material.Shipped(t, "block-whole"))
	p, err := Play(s, human(t, "fluent"), Random(allKinds(), 1), 1)
	require.NoError(t, err)
	assert.Empty(t, p.Events)
	assert.Empty(t, p.Truth)
}

// faultless plays s without mistakes.
func faultless(s *score.Score, h performer.Habits, seed uint64) Performance {
	return Performance{Performance: performer.Play(s, h, performer.Course{}, seed)}
}

func human(t testing.TB, level string) performer.Habits {
	t.Helper()
	h, err := performer.Human(level)
	require.NoError(t, err)
	return h
}

// marred are the wants that bear a mistake.
func marred(p Performance) map[int]bool {
	wants := map[int]bool{}
	for _, f := range p.Truth {
		for _, i := range append([]int{f.Want}, f.Also...) {
			wants[i] = true
		}
	}
	return wants
}
