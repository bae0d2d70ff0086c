package rules

import (
	"time"

	"undersong/internal/judge/finding"
)

// OffBeat is Early or Late where a stroke is further from its time than may be,
// and further from where the player usually is; else Right.
func OffBeat(off, usual, tolerance time.Duration) finding.Kind {
	if beyond(-off, -usual, tolerance) {
		return finding.Early
	}
	if beyond(off, usual, tolerance) {
		return finding.Late
	}
	return finding.Right
}

// beyond reports a stroke later than may be, by the beat and by the habit.
func beyond(off, usual, tolerance time.Duration) bool {
	return off > tolerance && off-usual > tolerance
}

// Tolerance is how far from its time a stroke is in time, given the length of a
// beat and the gap to the nearer neighbour.
func (l *Level) Tolerance(beat, gap time.Duration) time.Duration {
	wide := max(l.Timing, time.Duration(l.OfBeat*float64(beat)))
	return min(wide, time.Duration(l.Crowding*float64(gap)))
}
