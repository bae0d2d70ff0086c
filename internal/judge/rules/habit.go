package rules

import (
	"time"
)

// Habit is the steady part of how far a player is from the click: the delay of
// the keyboard, the cable and the sound, and the usual few milliseconds by which
// people tap ahead of a metronome (20 to 80 ms, less with training: Aschersleben
// 2002 and Repp 2005, from memory). It is no fault, so what is within the level's
// tolerance of it is in time.
type Habit struct {
	mean    float64 // of late, in nanoseconds
	strokes int
}

// Add takes how far a stroke was from its beat.
func (h *Habit) Add(off time.Duration) {
	h.strokes++
	weight := max(forgetting, 1/float64(h.strokes))
	within := min(max(off, -slips*mostHabit), slips*mostHabit) // one slip is no habit
	h.mean += weight * (float64(within) - h.mean)
}

// Usual is the habit, or 0 before it is known.
func (h *Habit) Usual() time.Duration {
	if h.strokes < settledIn {
		return 0
	}
	return min(max(time.Duration(h.mean), -mostHabit), mostHabit)
}
