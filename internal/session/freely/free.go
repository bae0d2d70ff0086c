// Package freely is sittings without a click, in which the player goes at will: a tune
// looked for by ear, basses put under one, and the names of what is played.
package freely

import (
	"time"

	"undersong/internal/midi/event"
	"undersong/internal/session/gesture"
	"undersong/internal/session/sitting"
)

// free is what these sittings share: their clock, what they tell, a pause, commands at
// the piano, and a keyboard that may go away.
type free struct {
	sitting.Teller
	// Opening is a notice to begin with; may be none.
	Opening sitting.Notice

	piece  *sitting.Piece
	rested time.Duration // in pauses so far: no time for who listens
	since  time.Duration // when the pause began
	paused bool
	done   bool
	away   string // the keyboard that is gone; empty where it is there
	piano  gesture.Piano
	music  []event.Event
}

// Done reports that listening is over.
func (f *free) Done() bool { return f.done }

// heard takes an event, and gives those that are music, at the times of who listens.
// The slice is good until the next call.
func (f *free) heard(ev event.Event) []event.Event {
	ev.At = max(ev.At, f.Now)
	f.Now = ev.At
	f.piano.Feed(ev)
	return f.take()
}

// reach lets time pass, and gives what turned out to be music meanwhile.
func (f *free) reach(now time.Duration) []event.Event {
	f.Reach(now)
	f.piano.Tick(f.Now)
	return f.take()
}

func (f *free) take() []event.Event {
	f.piano.Change() // nothing stands still: who goes at will rests by resting
	f.music = f.music[:0]
	for _, ev := range f.piano.Music() {
		if !f.paused && f.away == "" && !f.done {
			ev.At -= f.rested
			f.music = append(f.music, ev)
		}
	}
	return f.music
}

// known is up to when it is known what was played, at the time of who listens.
func (f *free) known() time.Duration {
	now := f.Now
	if f.paused {
		now = f.since
	}
	return f.piano.Known(now) - f.rested
}

// heeds reports that somebody is at the keyboard and may ask for something.
func (f *free) heeds() bool { return !f.done && f.away == "" }

// offer is what all of them can do.
func (f *free) offer() sitting.Menu {
	var m sitting.Menu
	if !f.heeds() {
		return m
	}
	if f.paused {
		m.Offer(sitting.Command{Do: sitting.DoGoOn})
	} else {
		m.Offer(sitting.Command{Do: sitting.DoPause})
	}
	return m
}

// close ends the menu.
func (f *free) close(m sitting.Menu) sitting.Menu {
	if f.done {
		return m
	}
	m.Offer(sitting.Command{Do: sitting.DoEnd})
	if f.heeds() {
		f.piano.Offer(&m)
	}
	return m
}

// rest pauses, or goes on.
func (f *free) rest(pause bool) {
	if pause == f.paused {
		return
	}
	f.paused = pause
	if pause {
		f.since = f.Now
		f.Notice(sitting.Notice{Kind: sitting.NowPaused})
		return
	}
	f.rested += f.Now - f.since
	f.Notice(sitting.Notice{Kind: sitting.NowListening})
}

// until is how long it is until a time of who listens, where that waits for one, or
// until it is known what was played; most at the latest.
func (f *free) until(now, most, due time.Duration, waits bool) time.Duration {
	at := now + most
	if waits && !f.paused && due < at-f.rested {
		at = due + f.rested
	}
	return max(0, f.piano.Due(at)-now)
}

// lost tells that the keyboard is gone.
func (f *free) lost(now time.Duration, port string) {
	f.Reach(now)
	f.piano.Forget()
	f.away = port
	f.Notice(sitting.Notice{Kind: sitting.Unplugged, Port: port})
}

// Found tells that the keyboard is back.
func (f *free) Found(now time.Duration, port string) {
	f.Reach(now)
	f.away = ""
	f.Notice(sitting.Notice{Kind: sitting.PluggedIn, Port: port})
}

// state is what there is to see in all of them.
func (f *free) state(m sitting.Menu) sitting.State {
	st := sitting.NewState(f.piece)
	st.Menu = &m
	switch w := st.Where; {
	case f.done:
		w.Phase = sitting.Finished
	case f.away != "":
		w.Phase, w.Port = sitting.Away, f.away
	case f.paused:
		w.Phase = sitting.Paused
	default:
		w.Phase = sitting.Playing
	}
	return st
}

// end ends the sitting with its result.
func (f *free) end(r sitting.Result) {
	f.done = true
	r = f.result(r)
	f.Tell(sitting.Record{Result: &r})
}

// result is a result with what is the same in all of them.
func (f *free) result(r sitting.Result) sitting.Result {
	r.Heading, r.Length = f.piece.Heading, f.Length()
	return r
}
