package freely

import (
	"time"

	"undersong/internal/listen/live"
	"undersong/internal/midi/event"
	"undersong/internal/session/sitting"
)

// Hearing names what is held as it changes, without a chart.
type Hearing struct {
	free
	ear *live.Listener
}

// NewHearing is a sitting that hears as the options say.
func NewHearing(o live.Options) *Hearing {
	h := &Hearing{ear: live.NewListener(o)}
	h.piece = &sitting.Piece{Heading: sitting.Heading{Kind: sitting.Hearing}}
	return h
}

// Begin starts listening.
func (h *Hearing) Begin(now time.Duration) { h.Open(now, h.piece, h.Opening) }

func (h *Hearing) hear(music []event.Event) {
	for _, ev := range music {
		h.ear.Feed(ev)
	}
	h.changes()
	h.piano.Ask(h, h.Now)
}

func (h *Hearing) changes() {
	for _, c := range h.ear.Take() {
		c.Start, c.End = c.Start+h.rested-h.Began, c.End+h.rested-h.Began
		h.Tell(sitting.Record{Sound: &c})
	}
}

// Event takes what was played.
func (h *Hearing) Event(ev event.Event) { h.hear(h.heard(ev)) }

// Tick lets time pass.
func (h *Hearing) Tick(now time.Duration) {
	h.hear(h.reach(now))
	if !h.done {
		h.ear.Tick(h.known())
		h.changes()
	}
}

// Until is how long nothing is due.
func (h *Hearing) Until(now, most time.Duration) time.Duration {
	due, waits := h.ear.Due()
	return h.until(now, most, due, waits)
}

func (h *Hearing) menu() sitting.Menu { return h.close(h.offer()) }

// Do pauses, goes on, or ends.
func (h *Hearing) Do(now time.Duration, c sitting.Command) {
	h.hear(h.reach(now))
	m := h.menu()
	switch {
	case h.done:
	case !m.Has(c.Do):
		h.Refuse(c)
	case c.Do == sitting.DoEnd:
		h.ear.Finish(h.known())
		h.changes()
		h.end(sitting.Result{})
	default:
		h.silence()
		h.rest(c.Do == sitting.DoPause)
	}
}

func (h *Hearing) silence() {
	h.ear.Silence(h.known())
	h.changes()
}

// Lost tells that the keyboard is gone, and every sound with it.
func (h *Hearing) Lost(now time.Duration, port string) {
	h.Reach(now)
	h.silence()
	h.lost(now, port)
}

// State shows what sounds.
func (h *Hearing) State() sitting.State {
	st := h.state(h.menu())
	is := h.ear.Heard()
	st.Sound.Down, st.Sound.Chord, st.Sound.Key = h.ear.Down(), is.Chord, is.Spelling()
	for _, k := range is.Keys {
		st.Sound.Notes.Add(k)
	}
	return st
}
