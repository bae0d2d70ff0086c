package score

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/test/material"
)

func upScore(t *testing.T, key, name string) *Score {
	t.Helper()
	c := material.Chart(t, "title: T\nkey: C\nmeter: 4/4\n\n| C | F/A | Bdim | E7 |\n")
	p := material.Shipped(t, name)
	if p.PlaysTune() {
		material.Sing(c)
	}
	k, err := pitch.ParseKey(key)
	require.NoError(t, err)
	s, err := Build(c, p, Options{Key: &k})
	require.NoError(t, err)
	return s
}

func TestUpIsTheScoreInTheKeyThere(t *testing.T) {
	s := upScore(t, "C", "two-beat")
	up, ok := s.Up(7)
	require.True(t, ok)
	there := upScore(t, "G", "two-beat")
	assert.Equal(t, there.Key, up.Key)
	assert.Equal(t, there.Harmonies, up.Harmonies)
	require.Len(t, up.Wants, len(there.Wants))
	for i := range up.Wants {
		a, b := &up.Wants[i], &there.Wants[i]
		assert.Equal(t, b.Chord, a.Chord)
		assert.Equal(t, b.Allowed, a.Allowed)
		if b.Whole && b.Inversion >= 0 {
			assert.Equal(t, b.Bottom, a.Bottom)
		}
		for k := range a.Tones {
			assert.Equal(t, s.Wants[i].Tones[k].Key+7, a.Tones[k].Key)
			assert.Equal(t, s.Wants[i].Tones[k].Accept.Up(7), a.Tones[k].Accept)
		}
	}
	same, ok := s.Up(0)
	require.True(t, ok)
	assert.Equal(t, s.Wants, same.Wants)
	_, ok = s.Up(60)
	assert.False(t, ok, "off the piano")
}

func TestLiftedMovesAHandAlone(t *testing.T) {
	s := upScore(t, "C", "two-beat")
	lifted, ok := s.Lifted([2]int{pattern.Left: 1})
	require.True(t, ok)
	for i := range s.Wants {
		up := pitch.Num(0)
		if s.Wants[i].Hand == pattern.Left {
			up = 12
		}
		for k := range s.Wants[i].Tones {
			assert.Equal(t, s.Wants[i].Tones[k].Key+up, lifted.Wants[i].Tones[k].Key)
			assert.Equal(t, s.Wants[i].Tones[k].Accept, lifted.Wants[i].Tones[k].Accept)
		}
	}
	_, ok = s.Lifted([2]int{pattern.Right: 4})
	assert.False(t, ok, "off the piano")
}
