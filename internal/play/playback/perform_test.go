package playback

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
)

func scoreOf(t *testing.T, m, bars string, p *pattern.Pattern, o score.Options) *score.Score {
	t.Helper()
	c := material.Chart(t, "key: C\ntempo: 120\nmeter: "+m+"\n\n"+bars+"\n")
	if p.PlaysTune() {
		material.Sing(c)
	}
	s, err := score.Build(c, p, o)
	require.NoError(t, err)
	return s
}

func TestPartsOfADemonstration(t *testing.T) {
	s := scoreOf(t, "4/4", "| C | F |", material.Shipped(t, "two-beat"), score.Options{})
	parts := Tracks(s, Options{CountIn: 1, Click: true, Times: 2})
	require.Len(t, parts, 3)
	assert.Equal(t, []string{"right hand", "left hand", "click"}, []string{parts[0].Name, parts[1].Name, parts[2].Name})
	assert.Equal(t, 2*time.Second, parts[1].Events[0].At, "the music begins after one bar of four at 120")
	ons := 0
	for _, e := range parts[2].Events {
		assert.Equal(t, uint8(9), e.Channel())
		if e.IsNoteOn() {
			ons++
		}
	}
	assert.Equal(t, 4+2*8, ons)
	s.Only = score.LeftAlone
	parts = Tracks(s, Options{})
	require.Len(t, parts, 1)
	assert.Equal(t, "left hand", parts[0].Name)
}

func TestEveryNoteEnds(t *testing.T) {
	s := scoreOf(t, "3/4", "| C | F |", material.Shipped(t, "waltz"), score.Options{})
	parts := Tracks(s, Options{Human: true, CountIn: 2, Click: true, Times: 3})
	down := map[[2]uint8]int{}
	at := time.Duration(0)
	for _, e := range Merged(parts) {
		assert.GreaterOrEqual(t, e.At, at)
		at = e.At
		k := [2]uint8{e.Channel(), e.Data1}
		switch {
		case e.IsNoteOn():
			down[k]++
		case e.IsNoteOff():
			down[k]--
		}
	}
	for k, n := range down {
		assert.Zero(t, n, k)
	}
}
