package abc_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/sheet/abc"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/song"
	"undersong/internal/test/material"
)

func TestChartsComeBack(t *testing.T) {
	for name, c := range material.DemoCharts(t) {
		text := string(abc.Write(c))
		s, err := abc.Read([]byte(text), name, song.Wish{})
		require.NoError(t, err, text)
		assert.Empty(t, s.Notices, text)
		back, _, err := s.ToChart(name)
		require.NoError(t, err, text)
		assert.Equal(t, c.Text(), back.Text(), "%s\n%s", name, text)
	}
}

// comesBack compares a chart with what is read of it as abc, in all that a song has.
func comesBack(t testing.TB, c *chart.Chart) {
	t.Helper()
	text := string(abc.Write(c))
	s, err := abc.Read([]byte(text), "chart.abc", song.Wish{})
	require.NoError(t, err, text)
	want := song.FromChart(c)
	want.Chart, want.Tempo = nil, c.Tempo
	for _, s := range []*song.Song{want, s} {
		bars := s.Bars()
		for _, b := range bars {
			b.Line, b.Col = 0, 0
			for len(b.Lyrics) > 0 && b.Lyrics[len(b.Lyrics)-1] == "" {
				b.Lyrics = b.Lyrics[:len(b.Lyrics)-1] // a verse that says nothing here
			}
			if len(b.Lyrics) == 0 {
				b.Lyrics = nil
			}
			if len(b.Notes) == 0 {
				b.Notes = nil
			}
		}
	}
	assert.Equal(t, want, s, text)
}

const hard = `title: 50% of [R&B] \ | {x} "y" &amp; \u00e9
by: A, B & Co.
key: Bm
meter: 6/8
tempo: 63.7
upbeat: 3 eighths
unit: 1/16
pattern: a b
intro: ../x y.pattern
fills: f at 1, 3; g % at 2
turnaround: t
ending: e

[Verse 1: "a" \ %]
pattern: waltz & co
(F#m7b5) | Bm F#7/A# | % |:1. N.C. . Em . . . :|2. Bm Bm |
m: B4^c2 | (3:2:2d4e2 z8 | !breath!B12- |: B6-B6 :| ^A2a'2z2 _B6 |
w: 1. oh_my | dar-ling~* dormez-vous no- | | 'x' \-y z- | a- b |
w: | | a|
| Bm | D7#11 |: A :| x5
| Bm | % ||
Words at even places, of course -- "quoted" and 100% \n
[Verse 1: "a" \ %]
|: Em6/9 |1. A :|2. B :|3. C | D |]
m: | e12 | e3e3e3e3 | e12 | e12 | e12 |]
w: | beautiful | a | incomprehensibilities and more of them and more | the-ee |
`

func TestAHardChartComesBack(t *testing.T) {
	comesBack(t, material.Chart(t, hard))
}

func TestWritingWords(t *testing.T) {
	for _, c := range []struct{ tune, words, want string }{
		{"C2 E2 G2 c2", "oh my dar ling", "oh my dar ling"},
		{"C2 E2 G2 c2", "oh my darling", "oh my dar-ling"},
		{"C2 E2 G2 c2", "oh", "oh___"},
		{"C2 E2 G2 c2", "", ""},
		{"C4 c4", "oh my darling", "oh my~darling"},
		{"C4 c4", "exca-", "ex-ca-"},
		{"C8", "exca-", "exca-"},
		{"C4- C4", "oh", "oh_"},
		{"z4 C4", "oh my", "oh~my"},
		{"C2 E2 G2 c2", "dormez-vous", `dor-mez\--vous_`},
		{"C2 E2 G2 c2", "a- b", `a\- b__`},
		{"C2 E2 G2 c2", "kindness Clementine", "kind-ness Cle-mentine"},
		{"C2 E2 G2 c2", "mother table", "mo-ther ta-ble"},
		{"C2 E2 G2 c2", "father time", "fa-ther time_"},
		{"C2 E2 G2 c2", "singing oases", "sin-ging oa-ses"},
		{"C2 E2 G2 c2", "-", `\-___`},
		{"C2 E2 G2 c2", "0 9", `\u0030 9__`},
		{"C2 E2 G2 c2", "9 0", `\u0039 0__`},
		{"C2 E2 G2 c2", "1 2", `\u0031 2__`},
	} {
		ch := material.Chart(t, "key: C\n\n| C |\nm: "+c.tune+"\nw: | "+c.words+" |\n")
		want := ""
		if c.words != "" {
			want = "w: " + c.want
		}
		lines := strings.Split(strings.TrimSpace(string(abc.Write(ch))), "\n")
		got := lines[len(lines)-1]
		if got == "w:" {
			got = ""
		}
		assert.Equal(t, want, got, c.words)
		comesBack(t, ch)
	}
}

func TestWordsOfOneLineAreNotAnothers(t *testing.T) {
	c := material.Chart(t, "key: C\n\n| C | C |\nm: C8- | C4 D4 |\n| C |\nm: E8 |\n| C | C |\nm: c8- | c4 d4 |\nw: | oh | my |\n")
	assert.Contains(t, string(abc.Write(c)), "\"C\"C8- | \"C\"C4 D4 |\nw:\n\"C\"E8 |\nw:\n\"C\"c8- | \"C\"c4 d4 |\nw: oh | * my\n")
	comesBack(t, c)
}

func TestTemposInFeltBeats(t *testing.T) {
	for m, want := range map[string]string{"4/4": "Q:1/4=90.5\n", "2/2": "Q:1/2=90.5\n", "6/8": "Q:3/8=90.5\n", "12/8": "Q:3/8=90.5\n"} {
		c := material.Chart(t, "key: C\nmeter: "+m+"\ntempo: 90.5\n\n| C |\n")
		assert.Contains(t, string(abc.Write(c)), want, m)
		comesBack(t, c)
	}
}

func TestSignsBetweenBars(t *testing.T) {
	c := material.Chart(t, "key: C\nupbeat: 1\n\n(G7) |: C | F :| x4\n|: C |1. F :|2. G | C |]\n| C || F |\n")
	text := string(abc.Write(c))
	assert.Contains(t, text, "\n\"G7\"z2 |::: \"C\"z8 | \"F\"z8 :::|\n|: \"C\"z8 | [1 \"F\"z8 :| [2 \"G\"z8 | \"C\"z8 |]\n\"C\"z8 || \"F\"z8 |\n")
	comesBack(t, c)
}

// A chord that begins within a note cuts it, and the note is whole again when read.
func TestChordsWithinNotes(t *testing.T) {
	c := material.Chart(t, "key: C\n\n| C . G7 . | F G7 |\nm: c8- | c4 z4 |\nw: | oh | my |\n")
	text := string(abc.Write(c))
	assert.Contains(t, text, "%%undersong joined 2\n\"C\"c4- \"G7\"c4- | \"F\"c4 \"G7\"z4 |\nw: oh_ | my\n")
	comesBack(t, c)
}

func FuzzWrite(f *testing.F) {
	f.Add(hard)
	names, err := filepath.Glob("../../../testdata/charts/*.chart")
	require.NoError(f, err)
	for _, name := range names {
		src, err := os.ReadFile(name)
		require.NoError(f, err)
		f.Add(string(src))
	}
	f.Fuzz(func(t *testing.T, src string) {
		if len(src) > 4096 {
			return
		}
		if c, err := chart.Parse([]byte(src), "fuzz.chart"); err == nil {
			comesBack(t, c)
		}
	})
}
