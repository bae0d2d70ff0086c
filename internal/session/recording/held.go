package recording

import (
	"time"

	"undersong/internal/listen/keyboard"
	"undersong/internal/midi/event"
	"undersong/internal/music/pitch"
	"undersong/internal/session/sitting"
)

// Held waits for two keys held together: the lowest and the highest note that somebody
// sings with ease.
type Held struct {
	sitting.Teller

	keys      keyboard.Keys
	since     time.Duration // both have been down for
	low, high pitch.Num     // held now; 0 while there are no two
	over      bool
	found     bool
	piece     *sitting.Piece
}

const (
	narrowest = 7                      // semitones between two keys that are meant: a fifth
	heldFor   = 700 * time.Millisecond // that is meant, and no slip
)

// Begin begins to wait.
func (h *Held) Begin(now time.Duration) {
	h.piece = &sitting.Piece{Heading: sitting.Heading{Kind: sitting.Ranging}}
	h.Open(now, h.piece, sitting.Notice{})
}

// Event takes keys going down and up.
func (h *Held) Event(ev event.Event) {
	if ev.Channel() == event.Percussion {
		return
	}
	h.Tick(ev.At)
	h.keys.Feed(ev)
	low, high := h.outer()
	if low != h.low || high != h.high {
		h.low, h.high, h.since = low, high, ev.At
	}
}

// outer are the outermost keys that are down, where they lie far enough apart.
func (h *Held) outer() (low, high pitch.Num) {
	low, high = -1, -1
	for k := h.keys.Down.Next(-1); k >= 0; k = h.keys.Down.Next(k) {
		if low < 0 {
			low = k
		}
		high = k
	}
	if high-low < narrowest {
		return 0, 0
	}
	return low, high
}

// Tick lets time pass.
func (h *Held) Tick(now time.Duration) {
	if h.high > 0 && now-h.since >= heldFor {
		h.over, h.found = true, true
	}
}

// Until is how long nothing is due.
func (h *Held) Until(now, most time.Duration) time.Duration {
	if h.high == 0 {
		return most
	}
	return min(most, max(0, h.since+heldFor-now))
}

// Lost lets go of all keys.
func (h *Held) Lost(time.Duration, string) { h.keys, h.low, h.high = keyboard.Keys{}, 0, 0 }

// Found does nothing.
func (h *Held) Found(time.Duration, string) {}

// Do ends it.
func (h *Held) Do(_ time.Duration, c sitting.Command) { h.over = h.over || c.Do == sitting.DoEnd }

// Done reports that it is over.
func (h *Held) Done() bool { return h.over }

// Keys are the two keys; ok is false where it ended before.
func (h *Held) Keys() (low, high pitch.Num, ok bool) { return h.low, h.high, h.found }

// State shows what is held.
func (h *Held) State() sitting.State {
	st := sitting.NewState(h.piece)
	st.Sound.Down = h.keys.Down
	if h.over {
		st.Where.Phase = sitting.Finished
		st.Result = &sitting.Result{Heading: h.piece.Heading}
		return st
	}
	st.Menu.Offer(sitting.Command{Do: sitting.DoEnd})
	return st
}
