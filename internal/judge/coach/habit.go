package coach

import "time"

// habit is the steady part of how far a player is from the click: the delay of
// the keyboard, the cable and the sound, and the usual few milliseconds by which
// people tap ahead of a metronome (20 to 80 ms, less with training: Aschersleben
// 2002 and Repp 2005, from memory). It is no fault, so what is within the level's
// tolerance of it is in time.
type habit struct {
	mean    float64 // of late, in nanoseconds
	strokes int
}

const (
	settledIn  = 12                    // strokes before a habit is known
	mostHabit  = 50 * time.Millisecond // more is no delay of the instrument
	forgetting = 1.0 / 24              // each stroke's weight in the mean
)

func (h *habit) add(off time.Duration) {
	h.strokes++
	weight := max(forgetting, 1/float64(h.strokes))
	within := min(max(off, -3*mostHabit), 3*mostHabit) // one slip is no habit
	h.mean += weight * (float64(within) - h.mean)
}

// usual is the habit, or 0 before it is known.
func (h *habit) usual() time.Duration {
	if h.strokes < settledIn {
		return 0
	}
	return min(max(time.Duration(h.mean), -mostHabit), mostHabit)
}
