package capture

import (
	"math"

	"undersong/internal/music/meter"
)

// readOne reads a single stroke as one bar. Where only the tempo or the meter was
// told, the stroke was held for the bar.
func (t *take) readOne() (*interpretation, error) {
	if t.o.OnBeat > 1 {
		return nil, errOnBeat
	}
	held := 0.0
	for _, n := range t.notes {
		held = max(held, (n.off - n.on).Seconds())
	}
	m, tempo := t.o.Meter, t.o.Tempo
	switch {
	case m == meter.Meter{} && tempo == 0:
		return nil, errFew
	case m == meter.Meter{}:
		m = heldMeter(held * float64(tempo) / 60)
	case tempo == 0:
		tempo = meter.Tempo(60 * float64(m.Beats()) * legato / held)
	}
	if t.o.Tempo == 0 && (tempo < slowest || tempo > fastest) {
		return nil, errFew
	}
	bar := tempo.Duration(m.Bar(), m).Seconds()
	p := &pulse{cell: bar, pos: []int{0}, line: []float64{0}}
	return &interpretation{pulse: p, meter: m, ticks: m.Bar(), perBar: 1, bars: 1, length: 1}, nil
}

// heldMeter is the meter whose bar is held out with a stroke of so many beats, to the
// nearest beat; what is short or very long is 4/4.
func heldMeter(beats float64) meter.Meter {
	switch n := math.Round(beats / legato); n {
	case 2, 3, 5:
		return meter.Meter{Num: int(n), Den: 4}
	}
	return meter.Meter{Num: 4, Den: 4}
}
