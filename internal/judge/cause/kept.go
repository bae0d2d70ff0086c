package cause

import (
	"time"

	"undersong/internal/midi/event"
)

// mostKept is how many events are kept: those of some bars of dense playing.
const mostKept = 2048

// kept is the latest events.
type kept struct {
	ring [mostKept]event.Event
	n    int // of all that came
}

func (k *kept) add(ev event.Event) {
	k.ring[k.n%mostKept] = ev
	k.n++
}

// each calls f for the events from one time to another, both included, in their order.
func (k *kept) each(from, to time.Duration, f func(event.Event)) {
	for i := max(0, k.n-mostKept); i < k.n; i++ {
		if ev := k.ring[i%mostKept]; ev.At >= from && ev.At <= to {
			f(ev)
		}
	}
}
