package chart

import (
	"fmt"
	"math/rand"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/text/source"
	"undersong/internal/text/visible"
)

var demoNames = []string{
	"red-river-valley", "clementine", "down-in-the-valley", "oh-susanna", "when-the-saints", "skye-boat-song",
	"drunken-sailor", "auld-lang-syne", "home-on-the-range", "wayfaring-stranger", "lanterns-on-the-weir", "the-five-legged-table",
	"frere-jacques", "skip-to-my-lou", "aura-lee",
}

// unplaced is a copy without the places in the text.
func unplaced(c *Chart) *Chart {
	d := c.clone()
	for _, b := range d.Bars() {
		b.Line, b.Col = 0, 0
	}
	d.Intro.Place, d.Turnaround.Place, d.Ending.Place = Place{}, Place{}, Place{}
	for i := range d.Fills {
		d.Fills[i].Place = Place{}
	}
	for i := range d.Sections {
		d.Sections[i].Pattern.Place = Place{}
	}
	return d
}

func assertSame(t testing.TB, want, got *Chart) {
	t.Helper()
	a, b := unplaced(want), unplaced(got)
	a.Untimed = b.Untimed // a text that was written names the tempo
	require.Equal(t, a, b)
}

func TestTextOfAChart(t *testing.T) {
	c := parse(t, `# loose
meter: 3/4
tempo: 80.50
key: E minor
title:  A tune
upbeat: 1 quarter
B7 |: Em | % | C . / |1. B7|Em . B7
  one   two three four five
w: a | b c | | d | e
 :| [2 Em|Em || G | D7
w: A B
[Last]
|: C B7/D# B- :| x4 Em
w: | so | it goes
`)
	assert.Equal(t, `title: A tune
key: Em
meter: 3/4
tempo: 80.5
upbeat: 1

(B7) |: Em | % | C |1. B7 | Em . B7 :|
one two three four five
w: a | b c | | d | e |
|2. Em | Em || G | D7 |
w: A B

[Last]
|: C B7/D# Bm :| x4 Em |
w: | so | it goes |
`, c.Text())
}

func TestDemoChartsReadBack(t *testing.T) {
	for _, name := range demoNames {
		c := load(t, name)
		again := parse(t, c.Text())
		assertSame(t, c, again)
		assert.Equal(t, c.Text(), again.Text())
	}
}

func TestUpbeatsReadBack(t *testing.T) {
	for _, m := range []string{"2/4", "3/4", "4/4", "5/4", "2/2", "6/8", "9/8", "12/8"} {
		for n := 1; n < 20; n++ {
			src := fmt.Sprintf("key: C\nmeter: %s\nupbeat: %d sixteenths\n(G7) | C |", m, n)
			c, err := Parse([]byte(src), "")
			if err != nil {
				continue // a bar or more
			}
			assertSame(t, c, parse(t, c.Text()))
		}
	}
}

// writer makes up charts, right ones by construction.
type writer struct {
	*rand.Rand
	strings.Builder
	cells int // beats a bar
}

func (w *writer) pick(from ...string) string { return from[w.Intn(len(from))] }

func (w *writer) chordName() string {
	return w.pick("C", "F#m7", "Bb/D", "N.C.", "G7", "Dm7b5", "C6/9/E", "Ab", "E7(b9)", "F°7")
}

func (w *writer) bar() string {
	cells := w.cells * (1 + w.Intn(2)*w.Intn(2))
	var all []string
	for i := 0; i < cells; i++ {
		all = append(all, w.pick(w.chordName(), ".", ".", "/"))
	}
	all[0] = w.chordName()
	text := strings.Join(all, " ")
	if cells != w.cells && w.cells%2 == 0 && w.Intn(3) == 0 {
		text = w.chordName() + " " + w.chordName()
	}
	return w.pick(text, w.chordName(), w.chordName(), "%")
}

func (w *writer) bars(n int) string {
	var all []string
	for i := 0; i < n; i++ {
		all = append(all, w.bar())
	}
	return strings.Join(all, w.pick(" | ", " || ", "|", " |\n"))
}

func (w *writer) line() {
	switch w.Intn(5) {
	case 0:
		fmt.Fprintf(w, "|: %s :|%s\n", w.bars(1+w.Intn(4)), w.pick("", " x3", " ×12"))
	case 1:
		fmt.Fprintf(w, "|: %s |1. %s :|2. %s %s %s |\n", w.bars(2), w.bars(1), w.bars(1), w.pick("||", "|]", "|"), w.bars(1))
	case 2:
		fmt.Fprintf(w, "|: %s\n|1. %s :|2. %s :|3. %s |]\n", w.bars(1), w.bars(2), w.bars(1), w.bars(2))
	default:
		fmt.Fprintf(w, "| %s %s\n", w.bars(1+w.Intn(5)), w.pick("|", "||", "|]"))
	}
	for w.Intn(2) == 0 {
		w.WriteString(w.pick("la la la\n", "w: one |\n", "w: | one two |\n", "w: | |\n", "w:\n", "w: A B C\n", "w: # no remark\n", "w: key: C\n", "oh so many words for just so few bars in a line\n", "# a remark\n"))
	}
}

func (w *writer) chart() string {
	meters := []struct {
		name  string
		beats int
	}{{"2/4", 2}, {"3/4", 3}, {"4/4", 4}, {"5/4", 5}, {"2/2", 2}}
	m := meters[w.Intn(len(meters))]
	w.cells = m.beats
	fmt.Fprintf(w, "key: %s\nmeter: %s\ntempo: %d\n", w.pick("C", "F#m", "Cb", "A#m"), m.name, 40+w.Intn(200))
	if w.Intn(2) == 0 {
		fmt.Fprintf(w, "upbeat: %s\n", w.pick("1", "1 eighth", "0.25", "3 sixteenths"))
		w.WriteString(w.pick("", "(G7) ", "N.C. ", "(G7) |\n"))
	}
	fmt.Fprintf(w, "| %s |\n%s", w.chordName(), w.pick("", "w: | one |\n", "oh one\n", "w: oh\n"))
	for n := w.Intn(8); n > 0; n-- {
		if w.Intn(3) == 0 {
			fmt.Fprintf(w, "\n[%s]\n| %s |\n", w.pick("Verse", "2", "a: b"), w.chordName())
		}
		w.line()
	}
	return w.String()
}

func TestMadeUpChartsReadBack(t *testing.T) {
	for seed := int64(0); seed < 2000; seed++ {
		w := &writer{Rand: rand.New(rand.NewSource(seed))}
		src := w.chart()
		c, err := Parse([]byte(src), "")
		require.NoError(t, err, "seed %d:\n%s", seed, src)
		w.sing(c)
		assertWhole(t, c)
		again, err := Parse([]byte(c.Text()), "")
		require.NoError(t, err, "seed %d:\n%s\n%s", seed, src, c.Text())
		assertSame(t, c, again)
		require.Equal(t, c.Text(), again.Text())
		require.Equal(t, order(c), order(again))
	}
}

func FuzzParse(f *testing.F) {
	for _, name := range demoNames {
		src, err := os.ReadFile(filepath.Join(demoCharts, name+".chart"))
		require.NoError(f, err)
		f.Add(src)
	}
	for seed := int64(0); seed < 20; seed++ {
		f.Add([]byte((&writer{Rand: rand.New(rand.NewSource(seed))}).chart()))
	}
	f.Add([]byte(formed))
	f.Add([]byte("key: C\n|: C |1. F :|2. G :|\n:| x3 |: % |]"))
	f.Add([]byte("key: Am\nunit: 1/4\nupbeat: 2\n(C7) | F | F . C7 . | F | % |\nm: C>F | A4- |1 A/^c/ =C/4_C3/4 (3__F2DF^^c'2- | c'2 z>_E, | (3:2:4A>FG/z/ A/4B/4c3/4B3/4[2] {g}!breath!B2\nla"))
	f.Add([]byte("key: C\nmeter: 6/8\nm: Z | (7abc:|(4defg (5ABCDE(9GGGGGGGGG(8ABCABCAB z2 |]\n| C | F | G |"))
	f.Add([]byte(strings.Repeat("a", 5000) + ": C\nkey: C\n| " + strings.Repeat("é", 5000) + " |"))
	f.Fuzz(func(t *testing.T, src []byte) {
		c, err := Parse(src, "f")
		if err != nil {
			requirePlaced(t, src, err)
			return
		}
		assertWhole(t, c)
		again, err := Parse([]byte(c.Text()), "f")
		require.NoError(t, err, c.Text())
		assertSame(t, c, again)
		printed, err := Parse([]byte(visible.Text(c.Text())), "f")
		require.NoError(t, err, c.Text())
		assertSame(t, c, printed)
		require.LessOrEqual(t, len(c.Unfold()), MaxBars)
		flat := c.In(c.Key.Simplest())
		_, err = Parse([]byte(flat.Text()), "f")
		require.NoError(t, err, flat.Text())
	})
}

// longestMessage is more runes than any message needs.
const longestMessage = 1500

// requirePlaced checks that errors name a place in the text.
func requirePlaced(t *testing.T, src []byte, err error) {
	t.Helper()
	var e *source.Error
	require.ErrorAs(t, err, &e)
	lines := 1 + strings.Count(strings.ReplaceAll(string(src), "\r\n", "\n"), "\n") + strings.Count(string(src), "\r")
	require.True(t, e.Line >= 1 && e.Line <= lines, e)
	require.Positive(t, e.Col)
	require.NotEmpty(t, e.Reason)
	require.NotEmpty(t, e.Show())
	require.Less(t, len(e.Show()), 4*longestMessage)
}

// A megabyte of anything comes to an end: no step grows with the square of the
// text.
func TestHugeCharts(t *testing.T) {
	for part, want := range map[string]string{
		"| C ":         "longer than 10000 bars",
		"| % |\n":      "longer than 10000 bars",
		"C ":           "without barlines",
		"| ":           "this bar is empty",
		"||":           "too many barlines",
		":|":           "barlines but no bars",
		"|: C ":        "longer than 10000 bars",
		"|: C :|x99\n": "longer than 10000 bars",
		"|1. C :|":     "longer than 10000 bars",
		"H | ":         `chord "H"`,
		"|(":           "expected a note name",
		"|C. . ":       "put a space before the dot",
		"w: a\n":       "more than 20 lines of words",
		"[A]\n":        "has no bars",
		"key: C\n":     "stands below the first",
		"la ":          "",
		"# a\n":        "",
		"m: C\n":       "the notes last",
	} {
		src := "key: C\n| C |\n" + strings.Repeat(part, (MaxBytes-20)/len(part))
		_, err := Parse([]byte(src), "")
		if want == "" {
			assert.NoError(t, err, part)
		} else {
			assert.ErrorContains(t, err, want, part)
		}
	}
}
