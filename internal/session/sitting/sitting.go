// Package sitting is what a sitting at the piano is: what may be asked of it, what it
// tells, and what there is to see. It holds notes, chords, findings and numbers; faces
// find the words.
package sitting

import (
	"time"

	"undersong/internal/midi/event"
)

// Sitting is one sitting at the piano: practice, a tune looked for by ear, a
// demonstration ... It reads no clock: it is told what happens and when. Times never
// run backwards, and its methods are called from one goroutine.
type Sitting interface {
	Begin(now time.Duration)
	Event(event.Event)                    // what was played
	Do(now time.Duration, c Command)      // what a face asks
	Lost(now time.Duration, port string)  // the keyboard is gone
	Found(now time.Duration, port string) // and back
	Tick(now time.Duration)
	// Until is how long nothing is due, most at the latest.
	Until(now, most time.Duration) time.Duration
	// Done reports that all is over. Command End brings it about.
	Done() bool
	// Take is what was told since the last time. The slice is good until the next
	// call of any method; what its records hold stays as it is.
	Take() []Record
	// State is what there is to see, whole and without numbers.
	State() State
}
