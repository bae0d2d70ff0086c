package sheets

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestKindsOfSheets(t *testing.T) {
	for _, c := range []struct {
		name, file, text string
		want             Kind
	}{
		{"a chart", "a.chart", "key: F\n| F | C7 |\n", Chart},
		{"a chart by another name", "a.txt", "title: River\nkey: F\n| F | C7 |\nFrom this valley\n", Chart},
		{"a chart with sections", "a.txt", "key: F\n[Verse]\n| F | C7 |\n[Chorus]\n| F |\n", Chart},
		{"a chart in which a bar line was forgotten", "a.txt", "title: River\nkey: F\n| F | C7 |\nF C7\n| F |\n", Chart},
		{"chord names over words", "a.txt", "River\n\nF        C7\nFrom this valley\n", Lyrics},
		{"chord names in the words", "a.txt", "[F]From this [C7]valley they say\n", Lyrics},
		{"German names", "a.txt", "H7      E\nFrom this valley\n", Lyrics},
		{"with headings and a line with bars", "a.txt", "Title: River\nKey: F\nIntro: | F | C7 |\n\nF      C7\nFrom this valley\nF      C7\nthey say\n", Lyrics},
		{"with bar lines throughout, under headings that charts do not have", "a.txt", "Title: River\nKey: F\nBPM: 90\nVerse 1:\n | F | C7 |\nFrom this valley\n| F | C7 |\nthey say\n", Lyrics},
		{"a chart with remarks about its words", "a.txt", "title: River\n# Time: slow\n# words: old\nkey: F\n| F | C7 |\nFrom this valley\n", Chart},
		{"small letters for minor chords", "a.txt", "In g-Moll\n\ng   D  g\nBruder Jakob\nEs  B  g\nBruder Jakob\n", Lyrics},
		{"names in syllables", "a.txt", "Fra Martino\n\nDO       SOL7  DO\nFra Martino campanaro\nDO   SOL7 DO\nDormi tu? Dormi tu?\n", Lyrics},
		{"in parentheses in the words", "a.txt", "Sakura\n\n(Am)Sakura (E7)sakura\n(Am)Yayoi no sora (Dm)wa\n", Lyrics},
		{"in the markup of a page", "a.txt", "<h2>Clementine</h2>\n<pre>\n<b>F</b>\nIn a cavern, in a canyon\n</pre>\n", Lyrics},
		{"with spaces in its names, beside tablature", "a.txt", "e|---0---3-|\nB|-1-------|\n\nG / B    D / F#\nLong to hear you\n", Lyrics},
		{"beside more tablature than chords", "a.txt", "Sailor\nE|------|\nB|------|\nG|--2---|\nD|--0---|\n\nDm\nWhat shall we do\n\n| Dm / / / | C |\n", Lyrics},
		{"with bar lines over and in the words, and no key", "a.txt", "Down in the Valley 3/4\n\n|G        |D7    |\n|Down in the|valley|\n", Lyrics},
		{"chord names alone", "a.txt", "F C7 F\nBb F\n", Lyrics},
		{"words over chord names, named a chart", "a.chart", "F   C7\nFrom this valley\n", Chart},
		{"ABC", "a.txt", "X:1\nT:River\nM:4/4\nK:F\nCF|A4|\n", ABC},
		{"ABC with a mark, between texts", "a.abc", "Some tunes\n\nX: 12\nK:G % a key\nG4|\n", ABC},
		{"MusicXML", "a.xml", "<?xml version=\"1.0\"?>\n<score-partwise>", MusicXML},
		{"MusicXML in UTF-16", "a.xml", "\xff\xfe<\x00?\x00x\x00m\x00l\x00", MusicXML},
		{"compressed MusicXML", "a.mxl", "PK\x03\x04\x00", MusicXML},
		{"a MIDI file", "a.txt", "MThd\x00\x00\x00\x06", MIDI},
		{"ABC whose key was forgotten", "a.txt", "X:1\nT:River\nM:4/4\nCF|A4|\n", ABC},
		{"words alone", "a.txt", "From this valley they say\nyou are going\n", Lyrics},
		{"words alone, named a chart", "a.chart", "From this valley they say\nyou are going\n", Chart},
		{"nothing", "a.txt", "", Chart},
	} {
		assert.Equal(t, c.want, KindOf([]byte(c.text), c.file), c.name)
	}
}

func TestShippedChartsAreCharts(t *testing.T) {
	files, err := filepath.Glob("../../../testdata/charts/*.chart")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, f := range files {
		src, err := os.ReadFile(f)
		require.NoError(t, err)
		assert.Equal(t, Chart, KindOf(src, strings.TrimSuffix(f, ".chart")), f)
	}
}
