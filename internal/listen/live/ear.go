package live

import (
	"math/bits"
	"time"

	"undersong/internal/listen/chordid"
	"undersong/internal/listen/keyboard"
	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
)

// ear names what sounds: in the key, after the chord before, over a bass that was
// just let go of, without the tune, and with a chart in mind where there is one.
type ear struct {
	names   *chordid.Recognizer
	texture keyboard.Texture
	melody  keyboard.Set // what sounds as tune
	implied impliedBass
	before  chordid.Candidate // the last chord
	heardAt time.Duration     // when bass or chord was last heard
	written Written
	since   keyboard.Set // notes of that chord that sounded since it began
}

// impliedBass is the last bass struck. The left hand of a waltz or of stride leaps
// away from it before the chord above it sounds, and it is heard as the bass
// until the harmony changes.
type impliedBass struct {
	on    bool
	key   pitch.Num
	upper chord.Set // what sounded above it; empty before that
}

// lately is how long silence may last and what sounded still be heard as the
// bass or the chord: a beat at 60 a minute (common practice, no source).
const lately = time.Second

// plain is the cost up to which three notes are a chord without the tune: every
// triad and seventh chord over its own tones and the common ninths. Above it
// the tune is asked: C-G-B under E is Cmaj7.
const plain chordid.Cost = 40

// hearing is a reading and what it was read from.
type hearing struct {
	chordid.Candidate
	set   chord.Set
	bass  pitch.Class
	known chordid.Context
}

// pass notes that something has sounded until now.
func (e *ear) pass(sounding keyboard.Set, at time.Duration) {
	if sounding.Minus(e.melody) != (keyboard.Set{}) {
		e.heardAt = at
	}
}

// group takes the keys struck together, what was held before them, and what
// sounds now, and tells bass, chord and tune apart.
func (e *ear) group(struck, held, sounding keyboard.Set, at time.Duration) {
	if e.silentFor(at) > lately {
		e.implied = impliedBass{}
	}
	e.melody = e.melody.Both(sounding).Minus(struck)
	keys := struck.Keys()
	for i, v := range e.texture.Group(keys, held) {
		switch {
		case v == keyboard.MelodyVoice:
			e.melody.Add(keys[i])
		case v == keyboard.BassVoice && i == 0:
			e.step(keys[0], sounding)
		}
	}
	e.aboveImplied(sounding)
	e.remember(sounding)
}

func (e *ear) silentFor(at time.Duration) time.Duration { return at - e.heardAt }

// step moves the bass. One that is struck above a bass that sounds on is a part
// of its chord.
func (e *ear) step(key pitch.Num, sounding keyboard.Set) {
	if g := &e.implied; !g.on || key < g.key || !sounding.Has(g.key) {
		e.implied = impliedBass{on: true, key: key}
	}
}

// aboveImplied forgets a bass that was let go of when the harmony above it
// changes.
func (e *ear) aboveImplied(sounding keyboard.Set) {
	g := &e.implied
	if !g.on {
		return
	}
	above := sounding.Minus(e.melody)
	above.Remove(g.key)
	set := chordSet(above)
	if size(set) < 2 {
		return
	}
	same := g.upper | e.before.Type.Set().Up(int(e.before.Root))
	switch {
	case g.upper == 0 || sounding.Has(g.key):
		g.upper = set
	case set&^same != 0:
		e.implied = impliedBass{}
	}
}

// tuneAlone reports that nothing but tune sounds and a chord is heard in the
// mind still.
func (e *ear) tuneAlone(sounding keyboard.Set, at time.Duration) bool {
	return sounding.Len() > 0 && sounding.Minus(e.melody) == (keyboard.Set{}) &&
		size(chordSet(sounding)) < 3 && e.silentFor(at) <= lately
}

// hear reads what sounds, or leaves the reading unnamed where that makes no
// chord. Without a chord beneath it the tune is heard as part of one: a bass and
// a tune imply chords, and so does a broken chord.
func (e *ear) hear(sounding keyboard.Set, key *pitch.Key) hearing {
	known := chordid.Context{Key: key, Before: e.before, Wanted: e.written.Chord}
	low := sounding.Lowest()
	if low < 0 {
		return hearing{}
	}
	h := e.withoutTune(sounding.Minus(e.melody), known)
	if h.Named() && size(h.set) >= 3 && h.Cost <= plain {
		return h
	}
	all := e.read(chordSet(sounding), low.Class(), known)
	if h.Named() && h.Cost <= all.Cost {
		return h
	}
	return all
}

// withoutTune reads bass and chord, over the bass let go of where it belongs to them.
func (e *ear) withoutTune(under keyboard.Set, known chordid.Context) hearing {
	low, set := under.Lowest(), chordSet(under)
	if low < 0 {
		return hearing{}
	}
	if g := &e.implied; g.on && g.key < low && size(set) >= 2 {
		class := g.key.Class()
		known.Lately = known.Lately.With(class)
		if h := e.read(set.With(class), class, known); h.standsOnItsOwn() {
			return h
		}
	}
	return e.read(set, low.Class(), known)
}

func (e *ear) read(set chord.Set, bass pitch.Class, known chordid.Context) hearing {
	return hearing{e.names.InContext(set, bass, &known), set, bass, known}
}

// standsOnItsOwn reports a chord without foreign tones whose bass is its root,
// third, fifth or seventh.
func (h *hearing) standsOnItsOwn() bool {
	if !h.Named() || h.Added != 0 {
		return false
	}
	for _, t := range h.Type.Tones() {
		if t.Degree%2 == 1 && t.Degree <= 7 && h.Root.Up(t.Interval.Semitones) == h.Bass {
			return true
		}
	}
	return false
}

// foreign reports keys that the last chord has not.
func (e *ear) foreign(struck keyboard.Set) bool {
	return chordSet(struck)&^e.before.Type.Set().Up(int(e.before.Root)) != 0
}

// forget forgets all that was heard.
func (e *ear) forget() {
	e.melody, e.implied, e.before, e.since = keyboard.Set{}, impliedBass{}, chordid.Candidate{}, keyboard.Set{}
}

func chordSet(s keyboard.Set) chord.Set { return chord.Set(s.Classes()) }

func size(s chord.Set) int { return bits.OnesCount16(uint16(s)) }
