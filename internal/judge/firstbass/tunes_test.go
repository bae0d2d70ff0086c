package firstbass

import (
	"testing"

	"github.com/stretchr/testify/require"

	"undersong/internal/music/pitch"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
)

// millRace is a tune of our own, in minor with its leading note.
const millRace = `title: The Mill Race
key: Am
meter: 2/4
unit: 1/8
| Am | E7 | Am | Dm | Am | E7 | E7 | Am |]
m: A2c2 | B^GEG | A2c2 | d2f2 | e2c2 | B2^G2 | E^F^GB | A4 |]
`

// tuneNames are the demo charts that have a tune, and the mill race.
func tuneNames(t testing.TB) []string {
	names := []string{"mill-race"}
	for name, c := range material.DemoCharts(t) {
		if c.HasMelody() {
			names = append(names, name)
		}
	}
	require.Greater(t, len(names), 10)
	return names
}

func chartOf(t testing.TB, name string) *chart.Chart {
	t.Helper()
	if name == "mill-race" {
		return material.Chart(t, millRace)
	}
	return material.DemoChart(t, name)
}

// tuneOf is a score of a tune in a key, or in its own.
func tuneOf(t testing.TB, name, key string) *score.Score {
	t.Helper()
	return scoreOf(t, chartOf(t, name), key)
}

func scoreOf(t testing.TB, c *chart.Chart, key string) *score.Score {
	t.Helper()
	o := score.Options{}
	if key != "" {
		k, err := pitch.ParseKey(key)
		require.NoError(t, err)
		o.Key = &k
	}
	s, err := score.Tune(c, o)
	require.NoError(t, err)
	return s
}
