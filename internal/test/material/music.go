package material

import (
	"iter"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/pattern"
	"undersong/patterns"
)

// Chart reads a chart, which must be right.
func Chart(t testing.TB, text string) *chart.Chart {
	t.Helper()
	c, err := chart.Parse([]byte(text), "a.chart")
	require.NoError(t, err)
	return c
}

// Pattern reads a pattern, which must be right.
func Pattern(t testing.TB, text string) *pattern.Pattern {
	t.Helper()
	p, err := pattern.Parse([]byte(text), "own.pattern")
	require.NoError(t, err, text)
	return p
}

// Catalogue is the shipped patterns.
func Catalogue(t testing.TB) *pattern.Catalogue {
	t.Helper()
	c, err := pattern.Load(patterns.Texts())
	require.NoError(t, err)
	return c
}

// Shipped is a pattern of the catalogue by its name.
func Shipped(t testing.TB, name string) *pattern.Pattern {
	t.Helper()
	p, err := Catalogue(t).Find(name)
	require.NoError(t, err)
	return p
}

// charts is where the demo charts are, from any room.
const charts = "../../../testdata/charts"

// DemoCharts are the demo charts by their names, always in the same order.
func DemoCharts(t testing.TB) iter.Seq2[string, *chart.Chart] {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(charts, "*.chart"))
	require.NoError(t, err)
	require.NotEmpty(t, files)
	return func(yield func(string, *chart.Chart) bool) {
		for _, f := range files {
			name := strings.TrimSuffix(filepath.Base(f), ".chart")
			if !yield(name, DemoChart(t, name)) {
				return
			}
		}
	}
}

// DemoChart is the demo chart of that name.
func DemoChart(t testing.TB, name string) *chart.Chart {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(charts, name+".chart"))
	require.NoError(t, err)
	return Chart(t, string(text))
}
