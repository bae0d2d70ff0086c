// Package recording is sittings that take in what is played for somebody else to look
// at: an accompaniment to be captured, and taps that tell a keyboard's delay.
package recording

import (
	"time"

	"undersong/internal/listen/keyboard"
	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
	"undersong/internal/session/sitting"
	"undersong/internal/session/sounds"
)

// Recorder keeps what is played until it is over: after a bar and a half of
// silence, or when that is asked for.
type Recorder struct {
	sitting.Teller
	Heading sitting.Heading // Title says over what it is played
	// Meter and Tempo are what is known of the playing, for the length of a bar; the
	// zero values where they are not.
	Meter meter.Meter
	Tempo meter.Tempo
	// Sound clicks, a bar before the playing and through it, where meter and tempo
	// are known; nil: no click.
	Sound func(event.Event)

	Events []event.Event // played, on the clock

	first  time.Duration // the first note; 0 before it
	last   time.Duration // the last thing that happened
	prev   time.Duration // the moment before the present one
	widest time.Duration // the longest time between moments
	keys   keyboard.Keys
	clicks int
	block  sounds.Block
	gone   bool
	over   bool
	piece  *sitting.Piece
}

// How long a silence must be to be the end, where the length of a bar is not
// known: some times the longest wait within the playing, within bounds (common
// practice, no source).
const (
	longestWaits = 2.5
	leastSilence = 2500 * time.Millisecond
	mostSilence  = 9 * time.Second
	oneMoment    = 150 * time.Millisecond
)

// longestHeld is how long a key that is down puts the end off: a piano's note has
// died away by then, and the message that the key was let go may have been lost
// (common practice, no source).
const longestHeld = 30 * time.Second

// mostEvents bounds what is kept: more is no pattern.
const mostEvents = 50_000

// clickLead is the time before the first click: hands come to the keys.
const clickLead = time.Second

// Begin starts listening.
func (r *Recorder) Begin(now time.Duration) {
	r.Heading.Kind = sitting.Recording
	r.piece = &sitting.Piece{Heading: r.Heading}
	r.Open(now, r.piece, sitting.Notice{})
}

// Event keeps what is played.
func (r *Recorder) Event(ev event.Event) {
	if ev.Channel() == event.Percussion || r.over {
		return
	}
	ev.At = max(ev.At, r.Now)
	r.Now = ev.At
	r.Events = append(r.Events, ev)
	switch r.keys.Feed(ev) {
	case keyboard.Struck:
		if r.first == 0 {
			r.first, r.prev = ev.At, ev.At
		}
		if d := ev.At - r.prev; d > oneMoment {
			r.widest, r.prev = max(r.widest, d), ev.At
		}
		r.last = ev.At
	case keyboard.Released, keyboard.Silenced:
		r.last = ev.At
	}
	if len(r.Events) >= mostEvents {
		r.end()
	}
}

// silence is how long nothing must happen after the last note.
func (r *Recorder) silence() time.Duration {
	if r.Meter != (meter.Meter{}) && r.Tempo > 0 {
		return r.Tempo.Duration(r.Meter.Bar()*3/2, r.Meter)
	}
	if r.widest == 0 {
		return mostSilence
	}
	return min(max(time.Duration(longestWaits*float64(r.widest)), leastSilence), mostSilence)
}

// due is when the silence is long enough; Never before the first note, and later
// while a key is down.
func (r *Recorder) due() time.Duration {
	switch {
	case r.first == 0:
		return sounds.Never
	case r.keys.Down != (keyboard.Set{}):
		return r.last + longestHeld
	}
	return r.last + r.silence()
}

// click is when a click is due; Never without.
func (r *Recorder) click() time.Duration {
	if r.Sound == nil || r.Tempo == 0 || r.Meter == (meter.Meter{}) {
		return sounds.Never
	}
	return r.Began + clickLead + r.Tempo.Duration(meter.Ticks(r.clicks)*r.Meter.Beat(), r.Meter)
}

// Tick lets time pass.
func (r *Recorder) Tick(now time.Duration) {
	r.Reach(now)
	if r.over {
		return
	}
	r.block.Rest(r.Now, r.Sound)
	for at := r.click(); at <= r.Now; at = r.click() {
		if r.Now-at <= sounds.TooLate {
			r.block.Strike(at, r.Now, r.clicks%r.Meter.Beats() == 0, r.Sound)
		}
		r.clicks++
	}
	if r.Now >= r.due() {
		r.end()
	}
}

// Until is how long nothing is due.
func (r *Recorder) Until(now, most time.Duration) time.Duration {
	return min(most, max(0, min(r.due(), r.click(), r.block.Due())-now))
}

// Lost ends it: what came before the cable was pulled is kept.
func (r *Recorder) Lost(now time.Duration, _ string) {
	r.Reach(now)
	r.gone = true
	r.end()
}

// Unplugged reports that the keyboard went away.
func (r *Recorder) Unplugged() bool { return r.gone }

// Found does nothing.
func (r *Recorder) Found(time.Duration, string) {}

// Do ends it, or begins anew.
func (r *Recorder) Do(now time.Duration, c sitting.Command) {
	r.Reach(now)
	switch {
	case r.over:
	case c.Do == sitting.DoEnd:
		r.end()
	case c.Do == sitting.DoAgain:
		r.Events, r.first, r.widest = nil, 0, 0
	default:
		r.Refuse(c)
	}
}

func (r *Recorder) end() {
	r.block.Stop(r.Sound)
	r.over = true
}

// Done reports that it is over.
func (r *Recorder) Done() bool { return r.over }

// State says what to do.
func (r *Recorder) State() sitting.State {
	st := sitting.NewState(r.piece)
	st.Told.Notice.Kind = sitting.RecordBegins
	if r.first > 0 {
		st.Where.Phase, st.Told.Notice.Kind = sitting.Playing, sitting.RecordGoesOn
		st.Menu.Offer(sitting.Command{Do: sitting.DoAgain})
	}
	st.Menu.Offer(sitting.Command{Do: sitting.DoEnd})
	st.Sound.Down = r.keys.Down
	if r.over {
		st.Where.Phase, st.Menu = sitting.Finished, &sitting.Menu{}
	}
	return st
}
