package chart

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const formed = `title: Formed
key: C
pattern: two-beat
intro: four-in
fills: walk-up at 2, 4; mine.pattern at 3
turnaround: round
ending: amen

[Verse]
| C | F | G7 | C |

[Chorus]
pattern: waltz
| F | C | G7 | C |]
`

func TestAChartAsksForItsPatterns(t *testing.T) {
	c, err := Parse([]byte(formed), "a.chart")
	require.NoError(t, err)
	assert.True(t, c.Asks())
	assert.Equal(t, Ask{"four-in", Place{"a.chart", 4, 8, "intro: four-in"}}, c.Intro)
	assert.Equal(t, "round", c.Turnaround.Name)
	assert.Equal(t, "amen", c.Ending.Name)
	fills := "fills: walk-up at 2, 4; mine.pattern at 3"
	assert.Equal(t, []Fill{
		{Ask{"walk-up", Place{"a.chart", 5, 8, fills}}, []int{2, 4}},
		{Ask{"mine.pattern", Place{"a.chart", 5, 25, fills}}, []int{3}},
	}, c.Fills)
	assert.Empty(t, c.Sections[0].Pattern.Name)
	assert.Equal(t, Ask{"waltz", Place{"a.chart", 13, 10, "pattern: waltz"}}, c.Sections[1].Pattern)
	again, err := Parse([]byte(c.Text()), "a.chart")
	require.NoError(t, err, c.Text())
	assertSame(t, c, again)
	assert.Contains(t, c.Text(), "[Chorus]\npattern: waltz\n| F |")
	assert.Contains(t, c.In(c.Key).Text(), fills)
	assert.Equal(t, "a.chart:13:10: no; do", c.Sections[1].Pattern.Place.Fault("no", "do").Error())
	assert.False(t, parse(t, "key: C\npattern: waltz\n| C |").Asks())
}

func TestFillsInManyWords(t *testing.T) {
	c := parse(t, "key: C\nfills: a at 4 and 2,2\n| C | C | C | C |")
	assert.Equal(t, []int{2, 4}, c.Fills[0].Bars)
}

func TestWhatAChartCannotAskFor(t *testing.T) {
	const bars = "\n| C | F |\n"
	for src, want := range map[string]string{
		"key: C\nfills: run" + bars:                              `2:8: "run" does not say in which bars it comes`,
		"key: C\nfills: run at" + bars:                           `2:8: "run at" does not say`,
		"key: C\nfills: run at 1; walk at two" + bars:            `2:26: "two" are not numbers of bars`,
		"key: C\nfills: run at 0" + bars:                         `2:15: "0" are not numbers of bars`,
		"key: C\nfills: run at 3" + bars:                         "2:8: the fill run stands in bar 3, and the chart has bars 1 to 2",
		"key: C\nfills: run at 1; walk at 1" + bars:              "2:18: bar 1 has two fills",
		"key: C\nintro:" + bars:                                  "2:7: intro has no value",
		"key: C\nending: a\nending: b" + bars:                    "3:1: ending is given twice",
		"key: C\noutro: a" + bars:                                "did you mean ending:?",
		"key: C\n[A]\npattern: a\npattern: b" + bars:             "4:1: the section has a pattern already",
		"key: C\n[A]" + bars + "pattern: a":                      "4:1: this pattern stands below bars",
		"key: C\n[A]\npattern:" + bars:                           "3:9: pattern has no value",
		"key: C\n[A]" + bars + "intro: a":                        "4:1: the heading intro stands below the first section or bar",
		"key: C" + bars + "pattern: a\n[B]\npattern: b\n| C |\n": "3:1: this pattern stands below bars",
	} {
		assert.Contains(t, failure(t, src)[0].Error(), want, src)
	}
}
