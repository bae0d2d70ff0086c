package engrave

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
)

// Without a tune, words stand under the strokes of their bar, whole and as evenly as
// they go: a waltz has two chords a bar, over its bass.
func TestWordsWithoutATuneStandUnderTheStrokesOfTheirBar(t *testing.T) {
	c := material.Chart(t, "key: G\nmeter: 3/4\n\n|: G | D7 | G :|\nw: | Down in the | valley, | |\nw: | Roses love | | sunshine |\n")
	s, err := score.Build(c, material.Shipped(t, "waltz"), score.Options{})
	require.NoError(t, err)
	d := &document{s: s}
	var lines []string
	for _, e := range d.piano().staves[0].events {
		var all []string
		for _, l := range e.words {
			assert.False(t, l.begun || l.goes || l.drawn, "nothing is sung on a stroke of its own")
			all = append(all, l.text)
		}
		lines = append(lines, strings.Join(all, " / "))
	}
	assert.Equal(t, "Down in|the|valley,||||Roses|love|||sunshine|", strings.Join(lines, "|"))
}

func TestWordsOfATuneStayUnderIt(t *testing.T) {
	c := material.Chart(t, "key: G\nmeter: 3/4\n\n| G |\nm: | D2 G2 A2 |\nw: | Down in the |\n")
	s, err := score.Build(c, material.Shipped(t, "waltz"), score.Options{})
	require.NoError(t, err)
	for _, e := range (&document{s: s}).piano().staves[0].events {
		assert.Empty(t, e.words)
	}
}
