package score

import (
	"fmt"
	"strings"
	"testing"

	"undersong/internal/test/material"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// phraseEnds names bar and beat of each phrase's last note.
func phraseEnds(s *Score) string {
	var all []string
	for i, n := range s.Melody {
		if i+1 == len(s.Melody) || s.Melody[i+1].Phrase != n.Phrase {
			b := s.Bars[n.Bar]
			all = append(all, fmt.Sprintf("%d.%g", b.Number, s.Meter.BeatAt(n.At-b.At)))
		}
	}
	return strings.Join(all, " ")
}

// The ends are where the lines of the verse end (read in the charts, by hand).
func TestPhrasesOfTheDemoTunes(t *testing.T) {
	for name, want := range map[string]string{
		"auld-lang-syne":     "4.1 8.1 12.1 16.1",
		"aura-lee":           "4.1 8.1 12.1 16.1",
		"clementine":         "4.1 8.1 12.1 16.1",
		"down-in-the-valley": "4.1 8.1 4.1 8.1",
		"frere-jacques":      "4.3 8.3",
		"home-on-the-range":  "4.1 7.1 12.1 15.1 19.1 23.1 28.1 31.1",
		"oh-susanna":         "4.1 8.1 4.1 8.1 12.1 16.1",
		"red-river-valley":   "3.3 7.1 11.3 15.1 19.3 23.1 27.3 31.1",
		"wayfaring-stranger": "4.1 7.1 12.1 15.1 20.1 23.1 28.1 31.1",
	} {
		c := material.DemoChart(t, name)
		s, err := Tune(c, Options{})
		require.NoError(t, err)
		assert.Equal(t, want, phraseEnds(s), name)
	}
}

func TestMarkedPhrasesAreKept(t *testing.T) {
	const bars = "key: C\n|: C | F | C |1. G :|2. C |\n"
	for tune, want := range map[string]string{
		// marked: only there, in every pass, and through a tie
		"m: CDEFC4 | !breath!G8 | C4 C4 | C8 | C8 |":   "2.1 2.1 5.1",
		"m: CDEFC4 | !breath!G8- | G4 C4 | C8 | C8 |":  "2.1 2.1 5.1",
		"m: CDEFC4 | G8- | !breath!G4 C4 | C8- | C8 |": "2.1 2.1 5.1",
	} {
		c := material.Chart(t, bars+tune)
		s, err := Tune(c, Options{})
		require.NoError(t, err)
		assert.Equal(t, want, phraseEnds(s), tune)
	}
}

// A tie that leads over a repeat sign joins what is played there, not what is
// written next.
func TestTiesFollowThePlaying(t *testing.T) {
	c := material.Chart(t, "key: C\n|: C | F |1. C :|2. C |\nm: C8 | F8- | F8 | C8 |")
	s, err := Tune(c, Options{})
	require.NoError(t, err)
	var got []string
	for _, n := range s.Melody {
		got = append(got, fmt.Sprintf("%s %d", n.Pitch, n.Dur))
	}
	assert.Equal(t, []string{"C4 3840", "F4 7680", "C4 3840", "F4 3840", "C4 3840"}, got)
}
