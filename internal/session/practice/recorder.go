package practice

import (
	"time"

	"undersong/internal/listen/keyboard"
	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
	"undersong/internal/ui/term"
)

// Recorder keeps what is played until it is over: after a bar and a half of
// silence, or when a key of the computer is pressed. It is a Lesson for Loop.
type Recorder struct {
	Title string
	// Meter and Tempo are what is known of the playing, for the length of a bar; the
	// zero values where they are not.
	Meter meter.Meter
	Tempo meter.Tempo
	// Sound clicks, a bar before the playing and through it, where meter and tempo
	// are known; nil: no click.
	Sound func(event.Event)

	Events []event.Event // played, on the clock

	began  time.Duration
	first  time.Duration // the first note; 0 before it
	last   time.Duration // the last thing that happened
	prev   time.Duration // the moment before the present one
	now    time.Duration
	widest time.Duration // the longest time between moments
	keys   keyboard.Keys
	clicks int
	block  block
	gone   bool
	over   bool
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
func (r *Recorder) Begin(now time.Duration) error {
	r.began, r.now = now, now
	return nil
}

// Event keeps what is played.
func (r *Recorder) Event(ev event.Event) error {
	if ev.Channel() == event.Percussion {
		return nil
	}
	ev.At = max(ev.At, r.now)
	r.now = ev.At
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
		return r.Stop(r.now)
	}
	return nil
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

// end is when the silence is long enough; never before the first note, and later
// while a key is down.
func (r *Recorder) end() time.Duration {
	switch {
	case r.first == 0:
		return never
	case r.keys.Down != (keyboard.Set{}):
		return r.last + longestHeld
	}
	return r.last + r.silence()
}

// click is when a click is due; never without.
func (r *Recorder) click() time.Duration {
	if r.Sound == nil || r.Tempo == 0 || r.Meter == (meter.Meter{}) {
		return never
	}
	return r.began + clickLead + r.Tempo.Duration(meter.Ticks(r.clicks)*r.Meter.Beat(), r.Meter)
}

// Tick lets time pass.
func (r *Recorder) Tick(now time.Duration) error {
	r.now = max(r.now, now)
	r.block.rest(r.now, r.Sound)
	for at := r.click(); at <= r.now; at = r.click() {
		if r.now-at <= tooLate {
			r.block.strike(at, r.now, r.clicks%r.Meter.Beats() == 0, r.Sound)
		}
		r.clicks++
	}
	if r.now >= r.end() {
		return r.Stop(r.now)
	}
	return nil
}

// Until is how long nothing is due.
func (r *Recorder) Until(now, most time.Duration) time.Duration {
	due := min(r.end(), r.click(), r.block.due())
	return min(most, max(0, due-now))
}

// Lost ends it: what came before the cable was pulled is kept.
func (r *Recorder) Lost(now time.Duration, _ string) error {
	r.gone = true
	return r.Stop(now)
}

// Unplugged reports that the keyboard went away.
func (r *Recorder) Unplugged() bool { return r.gone }

// Found does nothing.
func (r *Recorder) Found(time.Duration, string) error { return nil }

// Key ends it.
func (r *Recorder) Key(now time.Duration) error { return r.Stop(now) }

// Stop ends it.
func (r *Recorder) Stop(time.Duration) error {
	r.block.stop(r.Sound)
	r.over = true
	return nil
}

// Done reports that it is over.
func (r *Recorder) Done() bool { return r.over }

// View says what to do.
func (r *Recorder) View() term.State {
	st := term.State{Title: r.Title, Current: -1, Phase: term.Waiting, Notice: "play it, twice or three times if you like; then wait, or press a key"}
	if r.first > 0 {
		st.Notice = "listening; wait, or press a key, when it is over"
	}
	if r.over {
		st.Phase = term.Finished
	}
	return st
}
