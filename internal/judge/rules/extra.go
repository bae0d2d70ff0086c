package rules

import (
	"undersong/internal/music/meter"
	"undersong/internal/sheet/score"
)

// Unasked is the place of a stroke that nothing asked for, struck in a bar at a
// beat: the nearest sixteenth of the bar, or the beginning of the next where that is
// nearer.
func Unasked(s *score.Score, bar int, beat float64) (int, float64) {
	beat = nearestPlace(beat, s.Meter)
	if beat >= s.Meter.BeatAt(s.Bars[bar].Len) && bar+1 < len(s.Bars) {
		return bar + 1, 1
	}
	return bar, beat
}

// nearestPlace rounds a beat to the nearest of the finest places of a bar.
func nearestPlace(beat float64, m meter.Meter) float64 {
	steps := float64(m.Beat() / finest)
	return 1 + float64(int((beat-1)*steps+0.5))/steps
}
