package musicxml

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/test/material"
)

const clementine = `title: Clementine
key: F
meter: 3/4
unit: 1/16
pattern: waltz
fills: fill-waltz-walk at 2; fill-rise at 1, 3

[Verse]
| F | % | C7 |
m: | F5 z C6 | F4 F4 A4 | G12 |
w: | cavern, | in a canyon, | exca- |
w: | dwelt a | miner, | forty- |
`

// written is the score of the chart with some of its text replaced, in pairs.
func written(t *testing.T, changes ...string) string {
	t.Helper()
	text := string(Write(material.Chart(t, clementine)))
	for i := 0; i+1 < len(changes); i += 2 {
		assert.Contains(t, text, changes[i])
		text = strings.Replace(text, changes[i], changes[i+1], 1)
	}
	return text
}

func TestWhatAChartHasOfItsOwn(t *testing.T) {
	text := written(t)
	for _, want := range []string{
		`<miscellaneous-field name="undersong-pattern">waltz</miscellaneous-field>`,
		`<miscellaneous-field name="undersong-fill-2">1,3 fill-rise</miscellaneous-field>`,
		`<miscellaneous-field name="undersong-simile">1</miscellaneous-field>`,
		`<miscellaneous-field name="undersong-pieces">0:960 0:1920</miscellaneous-field>`,
		`<miscellaneous-field name="undersong-words-2">dwelt a|miner,|forty-</miscellaneous-field>`,
	} {
		assert.Contains(t, text, want)
	}
	bars := read(t, text).Bars()
	assert.True(t, bars[1].Simile)
	assert.Equal(t, []string{"cavern,", "dwelt a"}, bars[0].Lyrics)
	assert.Len(t, bars[0].Notes, 2, "a note of five sixteenths, one of six")
}

// Who changes a score in another program finds the changes again.
func TestChangesCount(t *testing.T) {
	assert.Equal(t, []string{"tavern,", "dwelt a"}, read(t, written(t, "<text>ca</text>", "<text>ta</text>")).Bars()[0].Lyrics, "another word")
	assert.Equal(t, []string{"cavern,", "dwelt a"}, read(t, written(t, ">cavern,|", ">|cavern,|")).Bars()[0].Lyrics, "other bars: those of the notes")
	s := read(t, written(t, `<root-step>F</root-step>`, `<root-step>G</root-step>`))
	assert.False(t, s.Bars()[1].Simile, "another chord in the bar before")
	assert.Len(t, read(t, written(t, ">0:960 0:1920<", ">0:961 9:0 x:y<")).Bars()[0].Notes, 4, "other pieces")
	assert.Empty(t, read(t, written(t, "undersong-format", "other-format")).Pattern, "no field that says it is ours")
	assert.Equal(t, []int{1}, read(t, written(t, "1,3 fill-rise", "1,99,x fill-rise")).Fills[1].Bars)
}

// Words that stand under no note are written below the staff, and never jumps.
func TestWordsWithoutNotes(t *testing.T) {
	c := material.Chart(t, "key: C\n\n| C | F | G |\nw: | Fine | D.C. | To Coda |\n")
	text := string(Write(c))
	assert.Contains(t, text, "<words>Fine</words>")
	assert.Contains(t, text, "<part-name>Chords</part-name>")
	s := read(t, text)
	assert.Equal(t, []int{0, 1, 2}, s.Order)
	assert.Equal(t, []string{"Fine"}, s.Bars()[0].Lyrics)
}

func TestClefs(t *testing.T) {
	for tune, want := range map[string]string{"C8": "<sign>G</sign>", "G,8": "<sign>G</sign>", "E,8": "<sign>F</sign>"} {
		assert.Contains(t, string(Write(material.Chart(t, "key: C\n| C |\nm: | "+tune+" |\n"))), want, tune)
	}
}
