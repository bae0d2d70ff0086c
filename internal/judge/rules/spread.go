package rules

import (
	"time"

	"undersong/internal/listen/keyboard"
	"undersong/internal/sheet/score"
)

// Spread reports the notes of a chord that came one after another where they belong
// together: from first to last it took as long as from too early to too late. first
// and last are from the chord's time, early negative. What begins too early is none:
// its first note may have been no part of it.
func Spread(w *score.Want, first, last, tolerance time.Duration) bool {
	return len(w.Tones) > 1 && !w.Roll && first >= -tolerance && last-first > 2*max(tolerance, keyboard.Together)
}
