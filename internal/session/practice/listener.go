package practice

import (
	"slices"
	"time"

	"undersong/internal/listen/chordid"
	"undersong/internal/listen/keyboard"
	"undersong/internal/midi/event"
	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
	"undersong/internal/ui/term"
)

// Sound is a stretch in which the same chord sounds, or the same notes that
// make none.
type Sound struct {
	Start, End time.Duration // since listening began
	Name       string        // of the chord, or of notes that make none; "" for silence
	Chord      chord.Chord   // none for notes that make none
	Key        *pitch.Key    // that it is heard in; nil while none is known
	Keys       []pitch.Num   // all that sounded in it, low to high
	// Readings are what it may be, likeliest first, where the Listener explains.
	Readings []chordid.Weighed
}

// Listener names what is held as it changes, without a chart.
type Listener struct {
	InKey *pitch.Key // to hear in; nil finds it from the playing
	// Split, where not 0, is the lowest key of the right hand; 0 finds the hands
	// from the playing.
	Split pitch.Num
	// Explain gives each Sound its Readings.
	Explain bool
	// Changed is told what sounds now; its End is not known yet.
	Changed func(Sound) error
	// Over is told of each sound when it has ended.
	Over func(Sound) error
	// Notice is told of a keyboard that went away or came back.
	Notice func(string) error

	keys    keyboard.Keys
	ear     ear
	home    home
	struck  keyboard.Set // since the last sound was told
	held    keyboard.Set // before those
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

// pedalSettle is that time where another chord is struck into the pedal, which
// is usually changed just after the chord (common practice, no source). Until
// then both chords sound, and naming them would name neither.
const pedalSettle = 150 * time.Millisecond

// Begin starts listening.
func (l *Listener) Begin(now time.Duration) error {
	l.began, l.now = now, now
	l.ear = ear{names: chordid.New(), texture: keyboard.Texture{Split: l.Split}}
	l.home.given = l.InKey
	return nil
}

// Event takes what was played.
func (l *Listener) Event(ev event.Event) error {
	if ev.Channel() == event.Percussion {
		return nil
	}
	ev.At = max(ev.At, l.now)
	if err := l.Tick(ev.At); err != nil {
		return err
	}
	before := l.keys.Sounding()
	l.ear.pass(minus(before, l.struck), ev.At)
	key := pitch.Num(ev.Data1 & 0x7F)
	switch l.keys.Feed(ev) {
	case keyboard.Struck:
		if l.struck == (keyboard.Set{}) {
			l.held = before
		}
		l.struck.Add(key)
		l.stir(ev.At)
	case keyboard.Released:
		l.home.add(key, ev.At-l.keys.StruckAt(key))
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

// due is when a change has settled.
func (l *Listener) due() time.Duration {
	if l.keys.Pedalled() != (keyboard.Set{}) && l.ear.foreign(l.struck) {
		return l.changed + pedalSettle
	}
	return l.changed + settle
}

// Tick lets time pass.
func (l *Listener) Tick(now time.Duration) error {
	l.now = max(l.now, now)
	if !l.stirred || l.now < l.due() {
		return nil
	}
	return l.tell(l.sound.End)
}

// tell ends the sound that was and begins the one that is.
func (l *Listener) tell(at time.Duration) error {
	sounding := l.keys.Sounding()
	l.ear.group(l.struck, l.held, sounding, at)
	l.stirred, l.struck = false, keyboard.Set{}
	if !l.sound.Chord.IsNone() && l.ear.tuneAlone(sounding, at) {
		return nil
	}
	is := l.present(sounding, at-l.began)
	if l.sound.goesOnAs(is) {
		l.sound.Keys = merge(l.sound.Keys, is.Keys)
		return nil
	}
	if err := l.end(at); err != nil {
		return err
	}
	l.sound = is
	return l.Changed(is)
}

// goesOnAs reports that nothing changes: the chord stays, whatever is added or
// let go, or the same notes sound.
func (s *Sound) goesOnAs(is Sound) bool {
	return s.Name == is.Name && s.Chord == is.Chord && (!s.Chord.IsNone() || slices.Equal(s.Keys, is.Keys))
}

func merge(a, b []pitch.Num) []pitch.Num {
	all := slices.Concat(a, b)
	slices.Sort(all)
	return slices.Compact(all)
}

func (l *Listener) end(at time.Duration) error {
	if l.sound.Name == "" {
		return nil
	}
	l.sound.End = at - l.began
	return l.Over(l.sound)
}

func (l *Listener) present(sounding keyboard.Set, at time.Duration) Sound {
	s := Sound{Start: at, Keys: keysOf(sounding), Key: l.home.key()}
	spelled := pitch.Key{}
	if s.Key != nil {
		spelled = *s.Key
	}
	h := l.ear.hear(sounding, s.Key)
	if !h.Named() {
		s.Name = noteNames(sounding, spelled)
		return s
	}
	s.Chord = h.Chord(spelled)
	s.Name = s.Chord.String()
	if l.Explain {
		s.Readings = l.ear.names.Explain(h.set, h.bass, &h.known)
	}
	l.ear.before = h.Reading
	return s
}

// Lost tells that the keyboard is gone, and every sound with it.
func (l *Listener) Lost(now time.Duration, port string) error {
	l.now = max(l.now, now)
	l.keys.Silence()
	l.ear.forget()
	l.struck = keyboard.Set{}
	if err := l.tell(l.now); err != nil {
		return err
	}
	return l.Notice(unplugged(port))
}

// Found tells that the keyboard is back.
func (l *Listener) Found(_ time.Duration, port string) error {
	return l.Notice(pluggedIn(port))
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
		return min(most, max(0, l.due()-now))
	}
	return most
}

// Key does nothing: there is nothing to begin.
func (l *Listener) Key(time.Duration) error { return nil }

// Done reports that listening is over.
func (l *Listener) Done() bool { return l.done }

// View is nothing: a line of text does.
func (l *Listener) View() term.State { return term.State{} }
