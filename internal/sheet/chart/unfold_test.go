package chart

import (
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/music/meter"
)

// order is the printed bar numbers as played.
func order(c *Chart) string {
	var all []string
	for _, p := range c.Unfold() {
		all = append(all, strconv.Itoa(p.Bar.Number))
	}
	return strings.Join(all, " ")
}

func TestRepeatsAndEndings(t *testing.T) {
	for written, want := range map[string]string{
		"| C | F | G |":                            "1 2 3",
		"|: C | F :|":                              "1 2 1 2",
		"|: C | F :| G |":                          "1 2 1 2 3",
		"| C |: F :| G |":                          "1 2 2 3",
		"|: C :| x3":                               "1 1 1",
		"|: C :| x3 |: F :|":                       "1 1 1 2 2",
		"| C || |: F :|":                           "1 2 2",
		"| C |] |: F :|":                           "1 2 2",
		"|: C || [1 F :| [2 G |":                   "1 2 1 3",
		"|: C :| # x3":                             "1 1",
		"|: C :| x 3 F |":                          "",
		"|: C :|: F :|":                            "1 1 2 2",
		"|: C :| |: F :|":                          "1 1 2 2",
		"|: C :||: F :|":                           "1 1 2 2",
		"|: C :|x3|: F :|× 2":                      "",
		"|: C :|x3|: F :|×2":                       "1 1 1 2 2",
		"|: C | F |1. G :|2. Am |":                 "1 2 3 1 2 4",
		"|: C | F |1. G :|2. Am | C |]":            "1 2 3 1 2 4 5",
		"|: C |1 F :|2 G || Am |":                  "1 2 1 3 4",
		"|: C | [1 F :| [2 G | Am |":               "1 2 1 3 4",
		"|: C |1. F | G :|2. Am :|3. Dm |":         "1 2 3 1 4 1 5",
		"|: C |1. F :|\n|2. G |\n| Am |":           "1 2 1 3 4",
		"|: C |1. F :|2. G |: Am :|":               "1 2 1 3 4 4",
		"|: C |1. F\n| G :|2. Am |\n| Dm |":        "1 2 3 1 4 5",
		"|: C | F\n:| G |":                         "1 2 1 2 3",
		"| C |:\nF :|":                             "1 2 2",
		"|: C |1.\nF :|2.\nG |":                    "1 2 1 3",
		"[A]\n|: C :|\n[B]\n|: F |1. G :|2. Am |]": "1 1 2 3 2 4",
		"|:1. C :|2. F |":                          "1 2",
		"|: C |1.F:|2.G|":                          "1 2 1 3",
	} {
		c, err := Parse([]byte("key: C\n"+written), "")
		if want == "" {
			assert.Error(t, err, written)
			continue
		}
		if assert.NoError(t, err, written) {
			assert.Equal(t, want, order(c), written)
			assertSame(t, c, parse(t, c.Text()))
		}
	}
}

func TestPlayedBarsKnowTheirPlace(t *testing.T) {
	c := parse(t, "key: F\nupbeat: 1\nmeter: 3/4\n[Verse]\n(C7) |: F |1. C7 :|2. F |\n[End]\n| F |]\n")
	type row struct {
		number, printed, pass int
		section               string
		start                 meter.Ticks
	}
	var got []row
	for _, p := range c.Unfold() {
		got = append(got, row{p.Number, p.Bar.Number, p.Pass, p.Section, p.Start})
	}
	assert.Equal(t, []row{
		{0, 0, 1, "Verse", 0}, {1, 1, 1, "Verse", 960}, {2, 2, 1, "Verse", 3840},
		{3, 1, 2, "Verse", 6720}, {4, 3, 2, "Verse", 9600}, {5, 4, 1, "End", 12480},
	}, got)
	assert.Same(t, c.Bars()[1], c.Unfold()[3].Bar)
}

func TestRepeatMarksOnBars(t *testing.T) {
	c := parse(t, "key: C\n|: C |1. F :|2. G :|3. Am || Dm |: Em :| x4 C |]")
	type mark struct {
		opens, closes bool
		times, ending int
		barline       Barline
	}
	var got []mark
	for _, b := range c.Bars() {
		got = append(got, mark{b.Opens, b.Closes, b.Times, b.Ending, b.Barline})
	}
	assert.Equal(t, []mark{
		{true, false, 0, 0, Single}, {false, true, 3, 1, Single}, {false, true, 3, 2, Single}, {false, false, 0, 3, Double},
		{false, false, 0, 0, Single}, {true, true, 4, 0, Single}, {false, false, 0, 0, Final},
	}, got)
}
