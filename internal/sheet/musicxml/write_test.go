package musicxml

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/chord"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/song"
	"undersong/internal/test/material"
	"undersong/internal/test/outside"
)

// again is the chart that is read of what is written of one.
func again(t testing.TB, c *chart.Chart) *chart.Chart {
	t.Helper()
	s, err := Read(Write(c), "a.musicxml", song.Wish{})
	require.NoError(t, err, c.Text())
	back, _, err := s.ToChart("a.musicxml")
	require.NoError(t, err, c.Text())
	return back
}

func TestChartsComeBackTheSame(t *testing.T) {
	for name, c := range material.DemoCharts(t) {
		assert.Equal(t, c.Text(), again(t, c).Text(), name)
	}
}

// Lead sheets are valid in MusicXML 3.0: those of the demo charts, of every chord
// type, and of charts by chance.
func TestLeadSheetsKeepTheSchema(t *testing.T) {
	outside.NeedsSchemas(t)
	files := map[string][]byte{}
	for name, c := range material.DemoCharts(t) {
		files[name] = Write(c)
	}
	for i, ty := range chord.Types() {
		files[fmt.Sprintf("chord%d", i)] = Write(material.Chart(t, "key: C\n| C"+ty.Suffix()+" Eb"+ty.Suffix()+"/F# |\n"))
	}
	for i, c := range byChance(60) {
		files[fmt.Sprintf("chance%d", i)] = Write(c)
	}
	outside.ValidMusicXML(t, files)
}
