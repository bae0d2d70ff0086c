package chart

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const demoCharts = "../../../testdata/charts"

// load reads a demo chart.
func load(t testing.TB, name string) *Chart {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(demoCharts, name+".chart"))
	require.NoError(t, err)
	c, err := Parse(text, name+".chart")
	require.NoError(t, err)
	return c
}

// Bars written and played, counted by hand in the files; upbeats not counted.
func TestDemoCharts(t *testing.T) {
	want := map[string]struct {
		key, meter      string
		written, played int
	}{
		"red-river-valley":      {"F", "4/4", 32, 32},
		"clementine":            {"F", "3/4", 16, 16},
		"down-in-the-valley":    {"G", "3/4", 8, 16},
		"oh-susanna":            {"G", "2/4", 16, 24},
		"when-the-saints":       {"F", "4/4", 18, 32},
		"skye-boat-song":        {"G", "6/8", 24, 24},
		"drunken-sailor":        {"Dm", "4/4", 16, 48},
		"auld-lang-syne":        {"F", "4/4", 16, 16},
		"home-on-the-range":     {"F", "3/4", 32, 32},
		"wayfaring-stranger":    {"Am", "3/4", 32, 32},
		"frere-jacques":         {"F", "4/4", 8, 8},
		"skip-to-my-lou":        {"G", "4/4", 16, 16},
		"aura-lee":              {"F", "4/4", 16, 16},
		"twelve-steps-down":     {"C", "4/4", 12, 12},
		"lanterns-on-the-weir":  {"Eb", "12/8", 17, 24},
		"the-five-legged-table": {"Gm", "5/4", 13, 16},
	}
	files, err := filepath.Glob(filepath.Join(demoCharts, "*.chart"))
	require.NoError(t, err)
	require.Len(t, files, len(want))
	for name, w := range want {
		c := load(t, name)
		assert.Equal(t, w.key, c.Key.String(), name)
		assert.Equal(t, w.meter, c.Meter.String(), name)
		written := c.Bars()
		assert.Equal(t, w.written, written[len(written)-1].Number, name)
		played := c.Unfold()
		assert.Equal(t, w.played, played[len(played)-1].Number, name)
		assertWhole(t, c)
	}
}

// assertWhole checks what every chart promises: bars counted in order and filled
// without gaps, words in every bar for every verse.
func assertWhole(t testing.TB, c *Chart) {
	t.Helper()
	number := 1
	if c.Upbeat > 0 {
		number = 0
	}
	for _, b := range c.Bars() {
		require.Equal(t, number, b.Number)
		number++
		want := c.Meter.Bar()
		if b.Number == 0 {
			want = c.Upbeat
		}
		require.Equal(t, want, b.Len, "bar %d", b.Number)
		at := b.Chords[0].At
		require.Zero(t, at)
		for _, p := range b.Chords {
			require.Equal(t, at, p.At, "bar %d", b.Number)
			require.Positive(t, int(p.Dur), "bar %d", b.Number)
			at += p.Dur
		}
		require.Equal(t, b.Len, at, "bar %d", b.Number)
	}
	for _, s := range c.Sections {
		require.NotEmpty(t, s.Lines)
		for _, l := range s.Lines {
			require.NotEmpty(t, l.Bars)
			for _, b := range l.Bars {
				require.Len(t, b.Lyrics, len(l.Lyrics))
			}
		}
	}
}

func TestWhatIsTooLargeIsNoChart(t *testing.T) {
	_, err := Parse(make([]byte, MaxBytes+1), "big.chart")
	require.EqualError(t, err, "big.chart:1:1: the file is larger than 1 MiB; a chart is a page of text; is this the right file?")
}
