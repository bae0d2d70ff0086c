package page

import (
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/test/material"
)

// plain is a page without its tags, a line for each line of it; a chord name stands
// in brackets before its syllable.
func plain(src []byte) string {
	_, body, _ := strings.Cut(string(src), "<body>\n")
	body = regexp.MustCompile(`<b>([^<]+)</b>`).ReplaceAllString(body, "[$1]")
	body = regexp.MustCompile(`<h2>`).ReplaceAllString(body, "# ")
	body = regexp.MustCompile(`<[^>]*>`).ReplaceAllString(body, "")
	return strings.TrimSpace(body)
}

func TestWordsWithTheirChords(t *testing.T) {
	for _, c := range []struct{ what, chart, want string }{
		{"by the notes of the tune", "key: Bb\n[Verse]\n| Bb F7 |\nm: B,2 C2 D2 E2 |\nw: | Valley so low |", "# Verse\n[B♭]Valley [F7]so low"},
		{"within a word", "key: C\n| C G7 |\nm: C2 D2 E2 F2 |\nw: | so low valley |", "[C]so low [G7]valley"},
		{"by their share of the bar", "key: C\n| C G7 |\nw: | one two three four |", "[C]one two [G7]three four"},
		{"a chord that goes on is not told again", "key: C\n| C | C |\nw: | one | two |", "[C]one two"},
		{"an upbeat without a chord", "key: C\nupbeat: 1\n| C |\nm: C2 | C8 |\nw: Oh | one |", "Oh [C]one"},
		{"chords alone where no words are", "key: F#m\n[Intro]\n| F#m | C#7 |", "# Intro\n[| F♯m | C♯7 |]"},
		{"an upbeat to the next line", "key: C\nupbeat: 1\n[A]\n| C |\nm: C2 | C6 D2 |\nw: Oh | one and |\n[B]\n| F |\nm: | D6 E2 |\nw: | two on |", "# A\nOh [C]one\n# B\nand [F]two on"},
		{"sung to two notes", "key: C\nupbeat: 1\n| C |\nm: C2 | C6 D1E1 |\nw: Oh | one and |\n| F |\nm: | D8 |\nw: | two |", "Oh [C]one\nand [F]two"},
		{"no upbeat after a note as short", "key: C\nupbeat: 1\n| C |\nm: C2 | C4 D2 E2 |\nw: Oh | one two three |\n| F |\nm: | D8 |\nw: | four |", "Oh [C]one two three\n[F]four"},
		{"an upbeat after a tied note", "key: C\nupbeat: 1\n| C | C |\nm: C2 | C8- | C6 D2 |\nw: Oh | one | and |\n| F |\nm: | D8 |\nw: | two |", "Oh [C]one\nand [F]two"},
		{"no line of words follows", "key: C\nupbeat: 1\n| C |\nm: C2 | C6 D2 |\nw: Oh | one and |\n| F |", "Oh [C]one and\n[| F |]"},
		{"no part of a word", "key: C\nupbeat: 1\n| C |\nm: C2 | C6 D2 |\nw: Oh | valley |\n| F |\nm: | D8 |\nw: | low |", "Oh [C]valley\n[F]low"},
		{"verses one below the other", "key: C\n[Verse]\n| C |\nw: | one & all |\nw: | two |", "# Verse 1\n[C]one &amp; all\n# Verse 2\n[C]two"},
	} {
		got := plain(Words(material.Chart(t, "meter: 4/4\n"+c.chart+"\n"), A4))
		_, got, _ = strings.Cut(got, "\n")
		got = regexp.MustCompile(` *(\n|$)`).ReplaceAllString(got, "$1")
		assert.Equal(t, c.want, got, c.what)
	}
}

// A chord name reaches over the syllables behind its own: no gap within a word but
// where two names meet, and there a hyphen.
func TestChordNamesReachOverWhatFollows(t *testing.T) {
	for _, c := range []struct{ what, chart, want string }{
		{"over the end of the word", "| C D7 |\nm: C2 D2 E2 F2 |\nw: | oh my valley |", "<span><b>D7</b>valley </span>"},
		{"over a word behind a short one", "| D7sus4 | C |\nm: C4 D4 | E8 |\nw: | I love | you |", "<span><b>D7sus4</b>I love </span>"},
		{"no farther than it is long", "| C |\nm: C4 D4 |\nw: | hear them |", "<span><b>C</b>hear </span><span><b></b>them </span>"},
		{"two within a word", "| Dmaj7 C#m7 |\nm: C4 D4 |\nw: | an-gels |", "<span><b>Dmaj7</b>an-</span><span><b>C♯m7</b>gels </span>"},
		{"two within a word that has no hyphen", "| Dmaj7 C#m7 |\nm: C4 D4 |\nw: | valley |", "<span><b>Dmaj7</b>val-</span><span><b>C♯m7</b>ley </span>"},
	} {
		assert.Contains(t, string(Words(material.Chart(t, "key: D\nmeter: 4/4\n"+c.chart+"\n"), A4)), c.want, c.what)
	}
}

func TestChordsThatDoNotShareABarEvenlyShowTheirBeats(t *testing.T) {
	c := material.Chart(t, "key: C\nmeter: 4/4\n| C . . G7/B | C | C | C |\n")
	assert.Contains(t, string(Bars(c, A4)), "<span>C&ensp;</span><span>.&ensp;</span><span>.&ensp;</span><span>G7/B&ensp;</span>")
	assert.Contains(t, string(Words(c, A4)), "| C . . G7/B | C |")
}

func TestBarsThatCouldNotBeReadStandInMoreRows(t *testing.T) {
	src := string(Bars(material.Chart(t, "key: Eb\nmeter: 4/4\n"+strings.Repeat("| Eb/Bb Cm7 Fm7b5 Bb7sus4 ", 6)+"|\n"), A4))
	assert.Equal(t, 2, strings.Count(src, "<tr>"))
}

func TestALongSectionGoesOnOverPages(t *testing.T) {
	rows := func(n int) string {
		return string(Bars(material.Chart(t, "key: C\nmeter: 4/4\n"+strings.Repeat("| C | F |\n", n)), A4))
	}
	assert.Contains(t, rows(10), `<table class="whole">`)
	assert.Contains(t, rows(11), "<table>")
}

func TestAnUpbeatWithoutAChordTakesNoBar(t *testing.T) {
	silent := string(Bars(material.Chart(t, "key: C\nmeter: 4/4\nupbeat: 1\n(N.C.) | C | F |\n| G | C |\n"), A4))
	assert.NotContains(t, silent, "N.C.")
	assert.NotContains(t, silent, `class="none"`)
	struck := string(Bars(material.Chart(t, "key: C\nmeter: 4/4\nupbeat: 1\n(G7) | C | F |\n| G | C |\n"), A4))
	assert.Contains(t, struck, ">G7<")
}

func TestWordsOfAnOutlineDoNotTouch(t *testing.T) {
	src, err := Outline(material.Chart(t, "key: C\nmeter: 4/4\n| C | C |\nm: C1 D1 E2 F4 | G8 |\nw: | mummy my mine | dear |\n"), A4)
	require.NoError(t, err)
	x := regexp.MustCompile(`<text x="(\d+)"`).FindAllStringSubmatch(string(src), -1)
	require.Len(t, x, 4)
	assert.Equal(t, []string{"0", "124"}, []string{x[0][1], x[1][1]}, "mummy is 3.4 times its size wide")
}

func TestAnOutlineHasTheWordsOfBarsInWhichNoNoteBegins(t *testing.T) {
	src, err := Outline(material.Chart(t, "key: C\nmeter: 4/4\n| C | C |\nm: C4 D4- | D8 |\nw: | going over | home |\n"), A4)
	require.NoError(t, err)
	assert.Contains(t, string(src), ">home</text>")
}

func TestTheHeadOfASheet(t *testing.T) {
	src := string(Bars(material.Chart(t, "title: <Tune>\nby: N. N.\nkey: Ebm\nmeter: 6/8\ntempo: 60\n| Ebm |\n"), Letter))
	assert.Contains(t, src, "<h1>&lt;Tune&gt;</h1>")
	assert.Contains(t, src, "N. N. · key of E♭ minor, 6/8, 60 beats a minute")
	assert.Contains(t, src, "@page { size: letter portrait; margin: 15mm; }")
	assert.Contains(t, src, "<title>&lt;Tune&gt; (chords)</title>")
}

func TestBarsAreSetOutAsInTheChart(t *testing.T) {
	src := string(Bars(material.Chart(t, "key: C\nmeter: 4/4\n[A]\n|: C | % | F G7 |1. C :|2. Am |]\n| F |\n"), A4))
	assert.Equal(t, 2, strings.Count(src, "<tr>"))
	for _, want := range []string{`<td class="opens">`, `<td class="closes"><i>1.</i>`, `<td class="final"><i>2.</i>`, "<span>%</span>", `<span style="width:46%">F</span><span style="width:46%">G7</span>`, `<td class="none">`} {
		assert.Contains(t, src, want)
	}
	long := string(Bars(material.Chart(t, "key: C\nmeter: 4/4\n"+strings.Repeat("| C ", 12)+"|\n"), A4))
	assert.Equal(t, 2, strings.Count(long, "<tr>"), "twelve bars are two rows of eight at most")
}

func TestCrowdedBarsAreWrittenSmaller(t *testing.T) {
	src := string(Bars(material.Chart(t, "key: Eb\nmeter: 4/4\n| Eb/Bb Cm F7 Bb7sus4 | Eb | Eb | Eb |\n"), A4))
	assert.Equal(t, 1, strings.Count(src, "<td style=\"font-size:"))
	assert.Contains(t, src, `<td style="font-size:8.48pt"><span>E♭/B♭&ensp;</span>`)
}

func TestTheOutlineRisesAndFalls(t *testing.T) {
	src, err := Outline(material.Chart(t, "key: C\nmeter: 4/4\n| C | C |\nm: C4 E4 | G8 |\nw: | up and | there |\n"), A4)
	require.NoError(t, err)
	line := regexp.MustCompile(`d="(M[^"]*L[^"]*)"`).FindStringSubmatch(string(src))
	require.NotNil(t, line)
	assert.Equal(t, "M0 142 H419 L425 78 H844 L850 30 H1694", line[1], "a half, a half and a whole note; a third up is 64, a minor third 48")
	assert.Contains(t, string(src), ">there</text>")
	assert.Equal(t, 3, strings.Count(string(src), "<circle"))
	assert.Equal(t, 1, strings.Count(string(src), "stroke-dasharray"), "one home note within its reach")
	_, err = Outline(material.Chart(t, "key: C\n| C |\n"), A4)
	assert.EqualError(t, err, "no tune is written in this chart")
}

func TestEngravedPagesShareTheirFonts(t *testing.T) {
	page := "<svg><g/><style type=\"text/css\">@font-face { src: url(a); }</style>\n<style type=\"text/css\">g {}</style></svg>"
	src := string(Engraved("T", A4, []string{page, page}))
	assert.Equal(t, 1, strings.Count(src, "@font-face"))
	assert.Equal(t, 2, strings.Count(src, "<style type=\"text/css\">g {}"))
	assert.Contains(t, src, "@page { size: A4 portrait; margin: 0; }")
	assert.Equal(t, 2, strings.Count(src, `<div class="page">`))
}
