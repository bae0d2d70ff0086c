package abc

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/sheet/song"
)

func TestVoices(t *testing.T) {
	for _, c := range []struct{ name, text, want, told string }{
		{"inline, standard 7.3", "L:1/4\nK:C\n[V:1] C4|[M:3/4]CEG|Gce|\n[V:2] E4|[M:3/4]G3 |E3 |", "C4 1/1 | C4 1/4, E4 1/4, G4 1/4 | G4 1/4, C5 1/4, E5 1/4", "the tune is taken from the voice 1; left out: 2"},
		{"by lines", "V:1 name=\"Piano\" clef=bass\nV:T name = \"Soprano solo\"\nK:C\nV:1\nC,8|\nV:T\nc8|\nV:1\nD,8|\nV:T\nd8|", "C5 1/1 | D5 1/1", "the tune is taken from the voice T (Soprano solo); left out: 1 (Piano)"},
		{"a voice without notes", "V:1\nz8|\nV:2\nc8|", "C5 1/1", "the tune is taken from the voice 2; left out: 1"},
		{"each has its key", "V:1\nV:2 clef=treble-8\nK:G\nV:2\nF8|\nV:1\n[K:C]F8|", "F4 1/1", "the tune is taken from the voice 1; left out: 2"},
	} {
		s := read(t, strings.Replace(c.text, "V:1\nz8", "K:C\nV:1\nz8", 1))
		assert.Equal(t, c.want, spell(s), c.name)
		assert.Contains(t, told(s), c.told, c.name)
	}
}

func TestLinesOfTheScore(t *testing.T) {
	for text, want := range map[string]string{
		"A8|B8|\nc8|d8|":                        "-x-x",
		"A8|\\\nB8|\nc8|d8|":                    "-x-x",
		"A8|B8|$c8|\nd8|":                       "-xxx",
		"I:linebreak $\nK:C\nA8|B8|$\nc8|\nd8|": "-x--",
		"I:linebreak !\nK:C\nA8|B8|!\nc8|\nd8|": "-x--",
		"%%continueall 1\nK:C\nA8|B8|!c8|\nd8|": "-x--",
		"I:linebreak <none>\nK:C\nA8|\nB8|":     "--",
	} {
		got := ""
		for _, b := range read(t, text).Bars() {
			got += map[bool]string{true: "x", false: "-"}[b.Breaks]
		}
		assert.Equal(t, want, got, text)
	}
}

func TestATuneWithoutAKey(t *testing.T) {
	s, err := Read([]byte("X:1\nT:Clementine\nH:the story of\nthe miner | and his daughter\nM:3/4\nL:1/4\nF2F|C2 A|\n"), "", song.Wish{})
	require.NoError(t, err)
	assert.Equal(t, "F4 1/2, F4 1/4 | C4 1/2, A4 1/4", spell(s))
	assert.Equal(t, []string{"line 7: the music begins without a key (K:), and C is taken"}, told(s))
}
