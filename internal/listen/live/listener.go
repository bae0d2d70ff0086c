// Package live names what is played as it changes: the chord that a musician
// hears, with its bass, without a chart or with one in mind.
package live

import (
	"slices"
	"time"

	"undersong/internal/listen/chordid"
	"undersong/internal/listen/keyboard"
	"undersong/internal/midi/event"
	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
)

// Sound is a stretch in which the same chord sounds, or the same notes that
// make none.
type Sound struct {
	Start, End time.Duration // on the clock
	Chord      chord.Chord   // none for notes that make none
	Key        *pitch.Key    // that it is heard in; nil while none is known
	Keys       []pitch.Num   // all that sounded in it, low to high; none is silence
	// Readings are what it may be, likeliest first, where the Listener explains.
	Readings []chordid.Weighed
}

// Change is what becomes of a sound.
type Change struct {
	Sound
	Over bool // it has ended; else it begins, and its End is not known yet
}

// Options say how a Listener hears.
type Options struct {
	Key *pitch.Key // to hear in; nil finds it from the playing
	// Split, where not 0, is the lowest key of the right hand; 0 finds the hands
	// from the playing.
	Split pitch.Num
	// Explain gives each Sound its Readings.
	Explain bool
}

// Listener names what is held as it changes.
type Listener struct {
	explain bool
	keys    keyboard.Keys
	ear     ear
	home    home
	struck  keyboard.Set // since the last sound was told
	held    keyboard.Set // before those
	now     time.Duration
	changed time.Duration // when it last changed
	stirred bool          // something changed that has not been told
	sound   Sound         // as told
	last    Sound         // before that
	told    []Change
}

// NewListener makes a Listener.
func NewListener(o Options) *Listener {
	l := &Listener{explain: o.Explain, ear: ear{names: chordid.New(), texture: keyboard.Texture{Split: o.Split}}}
	l.home.given = o.Key
	return l
}

// pedalSettle is how long nothing may change before a sound is named, in place of
// keyboard.Together, where another chord is struck into the pedal, which
// is usually changed just after the chord (common practice, no source). Until
// then both chords sound, and naming them would name neither.
const pedalSettle = 150 * time.Millisecond

// Feed takes what was played, and lets time pass until then.
func (l *Listener) Feed(ev event.Event) {
	if ev.Channel() == event.Percussion {
		return
	}
	ev.At = max(ev.At, l.now)
	l.Tick(ev.At)
	before := l.keys.Sounding()
	l.ear.pass(before.Minus(l.struck), ev.At)
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
}

// stir notes a change, which lies at its beginning: the first note of a chord.
func (l *Listener) stir(at time.Duration) {
	if !l.stirred {
		l.sound.End = at
	}
	l.stirred, l.changed = true, at
}

// Due is when a change will have settled; ok is false where nothing changes.
func (l *Listener) Due() (at time.Duration, ok bool) {
	if l.keys.Pedalled() != (keyboard.Set{}) && l.ear.foreign(l.struck) {
		return l.changed + pedalSettle, l.stirred
	}
	return l.changed + keyboard.Together, l.stirred
}

// Tick lets time pass.
func (l *Listener) Tick(now time.Duration) {
	l.now = max(l.now, now)
	if due, ok := l.Due(); ok && l.now >= due {
		l.tell(l.sound.End)
	}
}

// Take is what changed since the last time, in order. The slice is good until the
// next call of any method.
func (l *Listener) Take() []Change {
	told := l.told
	l.told = l.told[:0]
	return told
}

// tell ends the sound that was and begins the one that is.
func (l *Listener) tell(at time.Duration) {
	sounding := l.keys.Sounding()
	l.ear.group(l.struck, l.held, sounding, at)
	l.stirred, l.struck = false, keyboard.Set{}
	if !l.sound.Chord.IsNone() && l.ear.tuneAlone(sounding, at) {
		return
	}
	is := l.present(sounding, at)
	if l.sound.goesOnAs(is) {
		l.sound.Keys = merge(l.sound.Keys, is.Keys)
		return
	}
	l.end(at)
	l.sound = is
	l.told = append(l.told, Change{Sound: is})
}

// goesOnAs reports that nothing changes: the chord stays, whatever is added or
// let go, or the same notes sound.
func (s *Sound) goesOnAs(is Sound) bool {
	return s.Chord == is.Chord && s.Silent() == is.Silent() && (!s.Chord.IsNone() || slices.Equal(s.Keys, is.Keys))
}

// Silent reports that nothing sounds.
func (s *Sound) Silent() bool { return len(s.Keys) == 0 }

func merge(a, b []pitch.Num) []pitch.Num {
	all := slices.Concat(a, b)
	slices.Sort(all)
	return slices.Compact(all)
}

func (l *Listener) end(at time.Duration) {
	if l.sound.Silent() {
		return
	}
	l.sound.End = at
	l.told = append(l.told, Change{Sound: l.sound, Over: true})
	l.last = l.sound
}

func (l *Listener) present(sounding keyboard.Set, at time.Duration) Sound {
	s := Sound{Start: at, Keys: sounding.Keys(), Key: l.home.key()}
	h := l.ear.hear(sounding, s.Key)
	written, ok := l.ear.asWritten(&h, sounding)
	switch {
	case ok:
		s.Chord = written
	case !h.Named():
		return s
	default:
		s.Chord = h.Chord(s.Spelling())
	}
	if l.explain && h.Named() {
		s.Readings = l.ear.names.Explain(h.set, h.bass, &h.known)
	}
	if h.Named() {
		l.ear.before = h.Candidate
	}
	return s
}

// Spelling is the key that names are spelled in: C major while none is known.
func (s *Sound) Spelling() pitch.Key {
	if s.Key == nil {
		return pitch.Key{}
	}
	return *s.Key
}

// Heard is what is heard now, as it is in the mind: for a moment after it was let
// go of, too.
func (l *Listener) Heard() Sound {
	if l.sound.Silent() && l.now-l.last.End <= lately {
		return l.last
	}
	return l.sound
}

// Silence forgets every held note, as when the cable is pulled.
func (l *Listener) Silence(now time.Duration) {
	l.now = max(l.now, now)
	l.keys.Silence()
	l.ear.forget()
	l.struck = keyboard.Set{}
	l.tell(l.now)
	l.last = Sound{}
}

// Finish ends what sounds.
func (l *Listener) Finish(now time.Duration) {
	l.now = max(l.now, now)
	l.end(l.now)
	l.sound = Sound{}
}

// Down are the keys that are held.
func (l *Listener) Down() keyboard.Set { return l.keys.Down }
