package pattern

import (
	"errors"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/meter"
	"undersong/internal/text/source"
	"undersong/patterns"
)

func file(rows ...string) string {
	return "name: x\nmeter: 4/4\ngrid: quarters\n" + strings.Join(rows, "\n") + "\n"
}

func mustParse(t *testing.T, text string) *Pattern {
	t.Helper()
	p, err := Parse([]byte(text), "x.pattern")
	require.NoError(t, err)
	return p
}

func TestCells(t *testing.T) {
	for text, want := range map[string]Cell{
		".":      {Kind: Rest},
		"-":      {Kind: Hold},
		"1":      {Kind: Tones, Tones: []Tone{{Degree: 1}}},
		">5,?":   {Kind: Tones, Accent: true, Tones: []Tone{{Degree: 5, Octave: -1, AnyOctave: true}}},
		"1+(5)":  {Kind: Tones, Tones: []Tone{{Degree: 1}, {Degree: 5, Optional: true}}},
		"b7''":   {Kind: Tones, Tones: []Tone{{Degree: 7, Alter: -1, Written: true, Octave: 2}}},
		"=7":     {Kind: Tones, Tones: []Tone{{Degree: 7, Written: true}}},
		"*?":     {Kind: Tones, Tones: []Tone{{AnyOctave: true}}},
		"ch":     {Kind: Whole, Inversion: AnyInversion},
		"~ch2'":  {Kind: Whole, Roll: true, Inversion: 2, Octave: 1},
		"chn":    {Kind: Whole, Inversion: NearestInversion},
		"ch-1":   {Kind: Whole, Inversion: AnyInversion, Without: 1},
		">~ch":   {Kind: Whole, Accent: true, Roll: true, Inversion: AnyInversion},
		"ap":     {Kind: Approach},
		"ap,":    {Kind: Approach, Octave: -1},
		"apd":    {Kind: Approach, Step: ScaleStep},
		"apc,":   {Kind: Approach, Step: HalfStep, Octave: -1},
		"cho":    {Kind: Whole, Inversion: AnyInversion, Shape: Open},
		"~ch1o":  {Kind: Whole, Roll: true, Inversion: 1, Shape: Open},
		"ch2d'":  {Kind: Whole, Inversion: 2, Shape: Drop, Octave: 1},
		"chs":    {Kind: Whole, Inversion: AnyInversion, Shape: Spread},
		"ch-1+9": {Kind: Whole, Inversion: AnyInversion, Without: 1, Ninth: true},
		"ch'+9":  {Kind: Whole, Inversion: AnyInversion, Octave: 1, Ninth: true},
		"T1":     {Kind: Tones, Tones: []Tone{{Degree: 1, OfKey: true}}},
		"T1,+(T5,?)": {Kind: Tones, Tones: []Tone{
			{Degree: 1, OfKey: true, Octave: -1}, {Degree: 5, OfKey: true, Octave: -1, AnyOctave: true, Optional: true}}},
		"1+3+5'": {Kind: Tones, Tones: []Tone{{Degree: 1}, {Degree: 3}, {Degree: 5, Octave: 1}}},
	} {
		got, err := parseCell(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, got, text)
		assert.Equal(t, text, got.String())
	}
}

func TestBadCells(t *testing.T) {
	for text, offset := range map[string]int{
		"": 0, "x": 0, ">>1": 1, ">.": 0, "ch4": 2, "ch-": 2, "ch0-1": 3, "ch-x": 2, "ap,,": 2, "1+": 2,
		"1++5": 2, "0": 0, "16": 0, "(1)": 0, "1!": 1, "=b7": 0, "1,,,,": 1, "b": 0, "1+2+3+4+5+6+7": 0, "bbb7": 0, "é": 0,
		"chno": 3, "ch1s": 3, "chs-1": 2, "ch+6": 2, "ch-1+": 4, "apx": 2, "apd,,": 3, "T": 0, "T3": 0, "T15": 0, "1+T7": 2, "T1x": 2, "cho1": 3,
	} {
		_, err := parseCell(text)
		var ce *cellError
		require.ErrorAs(t, err, &ce, text)
		assert.Equal(t, offset, ce.offset, text)
	}
}

func TestErrorsShowTheFormsOfTheirKind(t *testing.T) {
	for cell, want := range map[string]string{
		"chx": "a whole chord is ch", ">apx": "an approach note is ap", "1!": "tones are degrees", "T3": "a cell is .", "q": "a cell is .",
	} {
		_, err := Parse([]byte(file("left: 1 "+cell+" . .")), "x.pattern")
		assert.ErrorContains(t, err, want, cell)
	}
}

func TestErrorsNameLineAndColumn(t *testing.T) {
	for name, c := range map[string]struct{ text, want string }{
		"unknown heading":   {"name: x\nmetre: 4/4\n", `x.pattern:2:1: a pattern has no heading "metre"; did you mean "meter"?`},
		"no colon":          {"hello world\n", `x.pattern:1:1: "hello world" is not a line of a pattern`},
		"empty":             {"", "x.pattern: there is no pattern in it"},
		"no meter":          {"name: x\nleft: 1\n", "x.pattern: the pattern has no meter"},
		"odd meter":         {"name: x\nmeter: 7/7\n", `x.pattern:2:8: meter "7/7" is not one of`},
		"twice":             {"name: x\nname: y\n", "x.pattern:2:1: name stands already in line 1"},
		"too few cells":     {file("left: 1 . 5"), "x.pattern:4:12: a bar of 4/4 in quarters has 4 cells, here stand 3"},
		"too many cells":    {file("left: 1 . 5 . 1"), "x.pattern:4:15: a bar of 4/4 in quarters has 4 cells, here stand 5"},
		"second bar":        {file("left: 1 . 5 . | 1 q 5 ."), `x.pattern:4:19: "q" is not a cell`},
		"bars differ":       {file("left: 1 . 5 . | 1 . 5 .", "right: . 1 . 1"), "x.pattern:5:7: this hand has 1 bars, the other 2"},
		"nothing struck":    {file("left: . . . ."), "x.pattern: the pattern strikes no note"},
		"spread alone":      {file("left: . . . .", "right: . chs . ."), "x.pattern:5:10: chs is one voicing for both hands"},
		"spread apart":      {file("left: . . . . | . chs . .", "right: . . . . | . . chs ."), "x.pattern:4:19: chs is one voicing for both hands"},
		"no rows":           {file(), "x.pattern: the pattern strikes no note"},
		"hold first":        {file("left: - 1 . ."), "x.pattern:4:1: the first cell holds"},
		"cannot be counted": {"name: x\nmeter: 3/4\ngrid: halves\nleft: 1 1\n", "x.pattern:3:1: a bar of 3/4 cannot be played in halves"},
		"any in eighths":    {"name: x\nmeter: any\ngrid: eighths\nleft: 1\n", "x.pattern:3:1: a pattern for any meter cannot count in eighths"},
		"swing in 6/8":      {"name: x\nmeter: 6/8\ngrid: eighths\nfeel: swung 2:1\nleft: 1 . . 1 . .\n", "x.pattern:4:1: eighths in 6/8 cannot be swung"},
		"feel":              {"name: x\nfeel: swung 1:2\n", `x.pattern:2:7: feel "swung 1:2"`},
		"level":             {"level: 6\n", `x.pattern:1:8: level "6"`},
		"register":          {"left-low: C9\n", "x.pattern:1:11: C9 leaves no octave on the keyboard"},
		"name":              {"name: My Waltz\n", "x.pattern:1:7: 'M' cannot stand in a pattern's name"},
		"value":             {"name:\n", "x.pattern:1:6: name has no value"},
	} {
		_, err := Parse([]byte(c.text), "x.pattern")
		require.Error(t, err, name)
		assert.Contains(t, err.Error(), c.want, name)
	}
}

func TestHoldOverTheBarline(t *testing.T) {
	p := mustParse(t, file("left: - 1 - 5 | - 1 - 5"))
	assert.Equal(t, 2, p.Length)
}

func TestTooLargeAndTooLong(t *testing.T) {
	_, err := Parse(make([]byte, MaxSize+1), "x.pattern")
	assert.ErrorContains(t, err, "larger than")
	_, err = Parse([]byte(file("left: "+strings.Repeat("1 1 1 1 |", MaxLength)+" 1 1 1 1")), "x.pattern")
	assert.ErrorContains(t, err, "too long")
}

func TestCellForAnyMeterFillsTheBar(t *testing.T) {
	p := mustParse(t, "name: x\nmeter: any\ngrid: beats\nright: ch\n")
	for _, m := range meter.Known() {
		assert.Equal(t, m.Beats(), p.CellsPerBar(m))
		assert.Equal(t, Whole, p.Cell(Right, m, 7, m.Beats()-1).Kind)
	}
	assert.Equal(t, "right hand", p.Hands())
}

func TestFindSuggests(t *testing.T) {
	c, err := Load(patterns.Texts())
	require.NoError(t, err)
	_, err = c.Find("walz")
	assert.ErrorContains(t, err, `did you mean "waltz"?`)
	p, err := c.Find("waltz")
	require.NoError(t, err)
	assert.Equal(t, "waltz", p.Name)
}

// What a file says is shown in a terminal, where control characters do things.
func TestOnlyTextIsAPattern(t *testing.T) {
	for name, c := range map[string]struct{ src, want string }{
		"an escape":   {"name: x\nsounds: \x1b]0;x\a", "x.pattern:2:9: this is not text: it holds the control character U+001B; "},
		"a zero byte": {"name: x\x00", "x.pattern:1:8: this is not text: it holds the control character U+0000; "},
		"Latin-1":     {"name: x\nused: caf\xe9", "x.pattern:2:10: this is not UTF-8 text; "},
		"too much":    {strings.Repeat("# a\n", MaxSize), "x.pattern:1:1: the file is larger than 64 KiB; "},
	} {
		_, err := Parse([]byte(c.src), "x.pattern")
		assert.ErrorContains(t, err, c.want, name)
	}
}

func TestEveryLineEndingIsRead(t *testing.T) {
	want := mustParse(t, file("left: 1 . 5 ."))
	for _, end := range []string{"\r\n", "\r"} {
		assert.Equal(t, want, mustParse(t, "\uFEFF"+strings.ReplaceAll(file("left: 1 . 5 ."), "\n", end)))
	}
}

func TestLoadRefusesAForeignName(t *testing.T) {
	_, err := Load(map[string]string{"y.pattern": file("left: 1 1 1 1")})
	assert.ErrorContains(t, err, `y.pattern: the pattern calls itself "x"`)
}

func TestRowsInColumns(t *testing.T) {
	p := mustParse(t, file("left: 1 . 5,? .", "right: . >ch . >ch"))
	assert.Equal(t, "right: . >ch .   >ch\nleft:  1 .   5,? .\n", p.Grids())
}

// longestMessage is more runes than any message needs.
const longestMessage = 1500

func FuzzParse(f *testing.F) {
	c, err := Load(patterns.Texts())
	require.NoError(f, err)
	for _, p := range c.All() {
		f.Add(p.Text())
	}
	f.Add(tag)
	f.Add(file("part: fill", "left: % % 1 ap"))
	f.Add(file("left: >~1+(5),?+=7 ap' chn ch-1"))
	f.Add(file("history: long ago", "left: T1+(T5,) chs ch2d' ch-1+9", "right: apd chs ~cho apc,"))
	f.Fuzz(func(t *testing.T, text string) {
		p, err := Parse([]byte(text), "x.pattern")
		if err != nil {
			var se *source.Error
			require.True(t, errors.As(err, &se), "%v", err)
			require.Less(t, len(se.Error()+se.Show()), 4*longestMessage)
			require.NotEmpty(t, se.Hint)
			return
		}
		again, err := Parse([]byte(p.Text()), "x.pattern")
		require.NoError(t, err, p.Text())
		require.Equal(t, p, again)
	})
}
