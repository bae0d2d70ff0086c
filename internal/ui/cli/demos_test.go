package cli

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Every chart that comes with the program can be practised as it stands.
func TestEveryDemoChartNamesAPatternThatFits(t *testing.T) {
	charts, err := filepath.Glob("../../../testdata/charts/*.chart")
	require.NoError(t, err)
	require.Len(t, charts, 16)
	app := New()
	for _, c := range append(charts, "demo") {
		o := pieceOptions{chart: c, level: "steady"}
		p, err := o.load(app)
		require.NoError(t, err, c)
		s, err := p.build(false)
		require.NoError(t, err, c)
		assert.LessOrEqual(t, p.pattern.Level, 3, "%s asks for %s", c, p.pattern.Name)
		assert.Equal(t, p.chart.Meter, s.Meter)
	}
}
