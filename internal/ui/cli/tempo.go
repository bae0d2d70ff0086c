package cli

import (
	"math"
	"strconv"
	"strings"

	"undersong/internal/music/meter"
)

// parseTempo reads beats a minute, or a share of the chart's tempo such as
// "60%"; the other is 0.
func parseTempo(s string) (tempo meter.Tempo, share float64, err error) {
	percent, isShare := strings.CutSuffix(strings.TrimSpace(s), "%")
	if !isShare {
		tempo, err = meter.ParseTempo(s)
		return tempo, 0, asUsageOrNil(err)
	}
	v, err := strconv.ParseFloat(strings.TrimSpace(percent), 64)
	if err != nil || !(v >= leastPercent && v <= mostPercent) {
		return 0, 0, usagef("--tempo %q is not a share of the chart's tempo from %d%% to %d%%", s, leastPercent, mostPercent)
	}
	return 0, v / 100, nil
}

// Shares of a tempo beyond these are slips of the pen.
const leastPercent, mostPercent = 10, 400

func asUsageOrNil(err error) error {
	if err == nil {
		return nil
	}
	return asUsage(err)
}

// takeShare makes a share of the chart's tempo a tempo, in whole beats a minute.
func (p *piece) takeShare() error {
	if p.share == 0 {
		return nil
	}
	p.tempo = meter.Tempo(math.Round(p.share * float64(p.chart.Tempo)))
	if p.tempo < meter.SlowestTempo || p.tempo > meter.FastestTempo {
		return usagef("--tempo %g%% of the chart's %g is %g, which is not from %g to %g beats a minute", 100*p.share,
			float64(p.chart.Tempo), float64(p.tempo), float64(meter.SlowestTempo), float64(meter.FastestTempo))
	}
	return nil
}
