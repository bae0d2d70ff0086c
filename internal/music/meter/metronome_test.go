package meter

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Maelzel's scale as printed on metronomes: 40 42 44 ... 60 63 66 ... 72 76 ... 120 126
// ... 144 152 ... 208 (common practice, no source).
func TestStepsOfAMetronome(t *testing.T) {
	for _, c := range []struct {
		from  Tempo
		steps int
		want  Tempo
	}{
		{60, 1, 63}, {60, -1, 58}, {69, 1, 72}, {72, 1, 76}, {96, 1, 100}, {96, -1, 92}, {120, 1, 126}, {120, -1, 116},
		{144, 1, 152}, {144, -1, 138}, {200, 1, 208}, {40, 1, 42},
		{97, 1, 100}, {97, -1, 96}, {95.5, 1, 96}, {96, 0, 96}, {96, 3, 108}, {96, -3, 84},
		{SlowestTempo, -1, SlowestTempo}, {FastestTempo, 1, FastestTempo},
	} {
		assert.Equal(t, c.want, c.from.Mark(c.steps), "%g by %d", float64(c.from), c.steps)
	}
	for tempo := SlowestTempo; tempo < FastestTempo; tempo = tempo.Mark(1) {
		assert.Greater(t, tempo.Mark(1), tempo)
		if tempo > SlowestTempo {
			assert.Equal(t, tempo, tempo.Mark(-1).Mark(1), "there and back at %g", float64(tempo))
		}
	}
}
