package practice

import (
	"slices"
	"time"

	"undersong/internal/event"
	"undersong/internal/hands"
	"undersong/internal/harmony"
	"undersong/internal/pitch"
	"undersong/internal/recognize"
	"undersong/internal/screen"
)

// Sound is a stretch in which the same sounds.
type Sound struct {
	Start, End time.Duration // since listening began
	Name       string        // of the chord, or of notes that make none; "" for silence
	Words      string        // the chord aloud; may be empty
	Chord      bool
	Keys       []pitch.Num // low to high
}

// Listener names what is held as it changes, without a chart.
type Listener struct {
	InKey *pitch.Key // to spell in; nil finds it from the playing
	// Changed is told what sounds now; its End is not known yet.
	Changed func(Sound) error
	// Over is told of each sound when it has ended.
	Over func(Sound) error
	// Notice is told of a keyboard that went away or came back.
	Notice func(string) error

	keys    hands.Keys
	ear     *recognize.Recognizer
	finder  harmony.KeyFinder
	began   time.Duration
	now     time.Duration
	changed time.Duration // when it last changed
	stirred bool          // something changed that has not been told
	sound   Sound         // as told
	done    bool
}

// settle is how long nothing may change before a sound is named: fingers never
// land or leave together (chords rolled by up to 50 ms were made to test whether
// they are heard as one event: Hove, Keller and Krumhansl 2007).
const settle = 50 * time.Millisecond

// Begin starts listening.
func (l *Listener) Begin(now time.Duration) error {
	l.began, l.now, l.ear = now, now, recognize.New()
	return nil
}

// Event takes what was played.
func (l *Listener) Event(ev event.Event) error {
	if ev.Channel() == percussion {
		return nil
	}
	ev.At = max(ev.At, l.now)
	if err := l.Tick(ev.At); err != nil {
		return err
	}
	before := l.keys.Sounding()
	switch l.keys.Feed(ev) {
	case hands.Struck:
		l.stir(ev.At)
	case hands.Released:
		l.finder.Add(pitch.Num(ev.Data1).Class(), (ev.At - l.keys.StruckAt(pitch.Num(ev.Data1))).Seconds())
	}
	if l.keys.Sounding() != before {
		l.stir(ev.At)
	}
	return nil
}

// stir notes a change, which lies at its beginning: the first note of a chord.
func (l *Listener) stir(at time.Duration) {
	if !l.stirred {
		l.sound.End = at
	}
	l.stirred, l.changed = true, at
}

// Tick lets time pass.
func (l *Listener) Tick(now time.Duration) error {
	l.now = max(l.now, now)
	if !l.stirred || l.now < l.changed+settle {
		return nil
	}
	l.stirred = false
	return l.tell(l.sound.End)
}

// tell ends the sound that was and begins the one that is.
func (l *Listener) tell(at time.Duration) error {
	is := l.present(at - l.began)
	if is.Name == l.sound.Name && slices.Equal(is.Keys, l.sound.Keys) {
		return nil
	}
	if err := l.end(at); err != nil {
		return err
	}
	l.sound = is
	return l.Changed(is)
}

func (l *Listener) end(at time.Duration) error {
	if l.sound.Name == "" {
		return nil
	}
	l.sound.End = at - l.began
	return l.Over(l.sound)
}

func (l *Listener) present(at time.Duration) Sound {
	key, _ := l.finder.Best()
	if l.InKey != nil {
		key = *l.InKey
	}
	s := Sound{Start: at}
	s.Name, s.Words = Heard(&l.keys, l.ear, key)
	s.Chord = s.Words != ""
	sounding := l.keys.Sounding()
	for k := sounding.Lowest(); k >= 0; k = sounding.Next(k) {
		s.Keys = append(s.Keys, k)
	}
	return s
}

// Lost tells that the keyboard is gone, and every sound with it.
func (l *Listener) Lost(now time.Duration, port string) error {
	l.now = max(l.now, now)
	l.keys.Silence()
	l.stirred = false
	if err := l.tell(l.now); err != nil {
		return err
	}
	return l.Notice("keyboard unplugged: waiting for " + port)
}

// Found tells that the keyboard is back.
func (l *Listener) Found(_ time.Duration, port string) error {
	return l.Notice("keyboard is back: " + port)
}

// Stop ends listening.
func (l *Listener) Stop(now time.Duration) error {
	l.now = max(l.now, now)
	if l.done {
		return nil
	}
	l.done = true
	return l.end(l.now)
}

// Until is how long nothing is due.
func (l *Listener) Until(now, most time.Duration) time.Duration {
	if l.stirred {
		return min(most, max(0, l.changed+settle-now))
	}
	return most
}

// Key does nothing: there is nothing to begin.
func (l *Listener) Key(time.Duration) error { return nil }

// Done reports that listening is over.
func (l *Listener) Done() bool { return l.done }

// View is nothing: a line of text does.
func (l *Listener) View() screen.State { return screen.State{} }
