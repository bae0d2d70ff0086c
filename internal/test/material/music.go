package material

import (
	"iter"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/pattern"
	"undersong/internal/text/file"
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
			c, err := file.Parse(f, chart.MaxBytes, chart.Parse)
			require.NoError(t, err)
			if !yield(strings.TrimSuffix(filepath.Base(f), ".chart"), c) {
				return
			}
		}
	}
}

// DemoChart is the demo chart of that name.
func DemoChart(t testing.TB, name string) *chart.Chart {
	t.Helper()
	c, err := file.Parse(filepath.Join(charts, name+".chart"), chart.MaxBytes, chart.Parse)
	require.NoError(t, err)
	return c
}
