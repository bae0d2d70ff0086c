package score

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/test/material"
)

// Every accompaniment in every key stays on every keyboard, and what moves moves by
// octaves with its shape.
func TestPatternsStayOnSmallKeyboards(t *testing.T) {
	moved := 0
	for _, keys := range []pitch.Keyboard{49, 61, 76} {
		for _, p := range material.Catalogue(t).Of(pattern.Accompaniment) {
			m := p.Meter
			if p.AnyMeter() {
				m.Num, m.Den = 4, 4
			}
			for _, key := range []string{"C", "F#", "Bb"} {
				c := material.Chart(t, fmt.Sprintf("key: C\nmeter: %s\n\n| C | F | G7 | C |\n", m))
				if p.PlaysTune() {
					material.Sing(c)
				}
				k, err := pitch.ParseKey(key)
				require.NoError(t, err)
				whole, err := Build(c, p, Options{Key: &k})
				require.NoError(t, err)
				s, err := Build(c, p, Options{Key: &k, Keyboard: keys})
				require.NoError(t, err)
				for i := range s.Wants {
					w, was := &s.Wants[i], &whole.Wants[i]
					by := w.Tones[0].Key - was.Tones[0].Key
					assert.Zero(t, by%12, p.Name)
					for j, tone := range w.Tones {
						assert.True(t, keys.Has(tone.Key), "%s in %s on %d keys: %d", p.Name, key, keys, tone.Key)
						assert.Equal(t, by, tone.Key-was.Tones[j].Key, p.Name)
					}
					if by != 0 {
						moved++
						assert.NotEmpty(t, s.Moved, p.Name)
					}
				}
			}
		}
	}
	assert.Positive(t, moved, "some do leave a small keyboard")
}

func TestWhatMovesIsTold(t *testing.T) {
	c := material.Chart(t, "key: C\nmeter: 4/4\n\n| C | E | C | E |\n")
	p := material.Pattern(t, "name: deep\nmeter: 4/4\ngrid: quarters\nleft-low: E1\n\nright: . ch ch ch\nleft:  1 . . .\n")
	s, err := Build(c, p, Options{Keyboard: 61})
	require.NoError(t, err)
	require.Len(t, s.Moved, 1)
	m := s.Moved[0]
	assert.Equal(t, pattern.Left, m.Hand)
	assert.Equal(t, 1, m.Octaves)
	assert.NotEmpty(t, m.Bars)
	full, err := Build(c, p, Options{Keyboard: 88})
	require.NoError(t, err)
	assert.Empty(t, full.Moved)
}
