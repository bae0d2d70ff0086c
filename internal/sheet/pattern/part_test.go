package pattern

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/harmony"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
)

const tag = `name: tag
level: 1
part: ending
meter: 4/4
grid: quarters
chords: I . V7 . | I
chords-minor: i V7 | i
slowing: 1.5

right: ch . ch . | ch - - -
left:  1  . 1  . | 1  - - .
`

func TestPartsReadBack(t *testing.T) {
	p := mustParse(t, tag)
	assert.Equal(t, Ending, p.Part)
	assert.Equal(t, 1.5, p.Slowing)
	assert.Equal(t, 2, p.Bars())
	assert.Equal(t, 4*meter.Quarter, p.LastStroke(p.Meter))
	assert.Equal(t, tag, p.Text())
	assert.Equal(t, p, mustParse(t, p.Text()))
	var got []string
	p.OwnChords(true)[0].Each(p.Meter, func(at, dur meter.Ticks, n harmony.Numeral) {
		got = append(got, n.In(pitch.Key{Minor: true}).String())
		assert.Equal(t, meter.Half, dur)
	})
	assert.Equal(t, []string{"Cm", "G7"}, got)
	p.OwnChords(false)[0].Each(p.Meter, func(at, dur meter.Ticks, n harmony.Numeral) {
		assert.Equal(t, meter.Half, dur)
	})
}

func TestAFillTakesTheHandsOverFromTheAccompaniment(t *testing.T) {
	p := mustParse(t, "name: x\npart: fill\nmeter: 4/4\ngrid: eighths\nleft: % % % % 1 3 5 ap\n")
	assert.Equal(t, meter.Half, p.FillsFrom(Left, p.Meter))
	assert.Equal(t, meter.Whole, p.FillsFrom(Right, p.Meter))
	assert.Equal(t, p, mustParse(t, p.Text()))
	assert.False(t, p.BringsChords())
}

func TestAPartForAnyMeterIsAsLongAsItsChords(t *testing.T) {
	p := mustParse(t, "name: x\npart: ending\nmeter: any\ngrid: bars\nchords: I | IV | I\nslowing: 1.2\nright: ch\n")
	assert.Equal(t, 3, p.Bars())
	assert.Equal(t, 6*meter.Quarter, p.LastStroke(meter.Meter{Num: 3, Den: 4}))
}

func TestPartsThatCannotBe(t *testing.T) {
	const two, rows = "name: x\nmeter: 4/4\ngrid: quarters\n", "left: 1 . 5 .\n"
	for text, want := range map[string]string{
		two + "part: coda\n" + rows:                                          `x.pattern:4:7: part "coda" is not one of accompaniment, intro`,
		two + "chords: I\n" + rows:                                           "x.pattern:4:1: only an intro, a turnaround or an ending brings chords",
		two + "part: fill\nchords-minor: i\n" + rows:                         "x.pattern:5:1: only an intro, a turnaround or an ending brings chords",
		two + "part: intro\nchords: I | VIII\n" + rows:                       `x.pattern:5:13: "VIII": "I" cannot stand behind this numeral`,
		two + "part: intro\nchords: . I\n" + rows:                            "x.pattern:5:9: there is no chord in this bar",
		two + "part: intro\nchords: I | | V\n" + rows:                        "x.pattern:5:12: this bar has no chord",
		two + "part: intro\nchords: I ii V\n" + rows:                         "x.pattern:5:8: 3 signs do not fill a bar of 4/4",
		two + "part: intro\nchords: I | V\n" + rows:                          "x.pattern:5:1: there are chords for 2 bars, and 1 bars to play",
		two + "slowing: 1.5\n" + rows:                                        "x.pattern:4:1: only an ending slows down",
		two + "part: ending\nslowing: 9\n" + rows:                            `x.pattern:5:10: slowing "9"`,
		two + "part: ending\nslowing: NaN\n" + rows:                          `x.pattern:5:10: slowing "NaN"`,
		two + "part: ending\nslowing: 2\nleft: 1 - - -\n":                    "x.pattern:5:1: nothing is struck that could slow down",
		two + "part: fill\nleft: 1 . . . | 1 . . .\n":                        "x.pattern:5:1: this fill has 2 bars",
		"name: x\npart: fill\nmeter: any\ngrid: bars\nleft: 1\n":             "x.pattern:3:1: a fill is for one meter",
		"name: x\npart: intro\nmeter: any\ngrid: bars\nchords: I V\nleft: 1": "x.pattern:5:8: a pattern for any meter has one chord a bar",
		two + "left: % 1 . .\n":                                              "x.pattern:4:7: % goes on with the accompaniment, and this is no fill",
		two + "part: fill\nleft: 1 % . .\n":                                  "x.pattern:5:9: a fill goes on to the end of its bar",
		two + "part: fill\nleft: % - 1 .\n":                                  "x.pattern:5:9: the first cell holds",
		two + "part: intro\nleft: - 1 . 1\n":                                 "x.pattern:5:1: the first cell holds",
		two + "part: fill\nleft: % % % %\n":                                  "x.pattern: the pattern strikes no note",
	} {
		_, err := Parse([]byte(text), "x.pattern")
		require.Error(t, err, text)
		assert.Contains(t, err.Error(), want, text)
	}
}
