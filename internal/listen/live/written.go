package live

import (
	"undersong/internal/listen/keyboard"
	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

// Written is what a chart and its accompaniment have where the music is. The zero
// value is no chart.
type Written struct {
	Chord  chord.Chord
	Basses chord.Set // what the left hand has lowest beneath the chord; none where it has none of its own
	Tones  chord.Set // what sounds with the chord, if not all of it at once: a broken chord, a sixth ...
	Broken bool      // the chord never sounds whole
}

// WrittenAt is what a score has in one of its harmonies.
func WrittenAt(s *score.Score, harmony int) Written {
	w := Written{Chord: s.Harmonies[harmony].Chord, Broken: true}
	for i := range s.Wants {
		want := &s.Wants[i]
		if want.Harmony == harmony && !want.Approach && want.Role != score.Melody && s.Only.Judges(want.Hand) {
			w.add(want)
		}
	}
	if w.Basses != 0 {
		w.Basses = w.Basses.With(w.Chord.Bass.Class())
	}
	return w
}

func (w *Written) add(want *score.Want) {
	var all chord.Set
	for _, tone := range want.Tones {
		all |= tone.Accept
	}
	if want.Whole && all.Has(w.Chord.Root.Class()) {
		w.Broken = false
		return
	}
	w.Tones |= all
	if want.Hand == pattern.Left {
		w.Basses |= want.Tones[0].Accept
	}
}

// Expect tells where in a chart the music is. A chord is then heard as written
// unless it lies over a bass that the accompaniment has not, and it is heard on
// while no more than notes of it sound: a bass that goes from root to fifth, a
// chord struck above it in an inversion, a broken chord make one chord of a bar, as
// they do for a musician.
func (l *Listener) Expect(w Written) {
	if l.ear.written == w {
		return
	}
	l.ear.written, l.ear.since = w, keyboard.Set{}
}

// tones is the notes of the written chord.
func (w *Written) tones() chord.Set { return w.Chord.Type.Set().Up(int(w.Chord.Root.Class())) }

// remember keeps the notes of the written chord among those that sound. A high note
// of a broken chord may be taken for a tune.
func (e *ear) remember(sounding keyboard.Set) {
	if !e.written.Broken {
		sounding = sounding.Minus(e.melody)
	}
	tones := e.written.tones()
	for k := sounding.Lowest(); k >= 0; k = sounding.Next(k) {
		if tones.Has(k.Class()) {
			e.since.Add(k)
		}
	}
}

// How many notes of a chord, one after another, make it heard: all of a triad, or
// two where no more are to be expected.
const (
	wholeChord  = 3
	brokenChord = 2
)

// asWritten is the chord that sounds, if that is the one in the chart; ok is false
// where it is another, or too little to tell.
func (e *ear) asWritten(h *hearing, sounding keyboard.Set) (c chord.Chord, ok bool) {
	w := &e.written
	under := sounding.Minus(e.melody)
	if under == (keyboard.Set{}) && w.Broken {
		under = sounding
	}
	if w.Chord.IsNone() || under == (keyboard.Set{}) {
		return c, false
	}
	set := chordSet(under)
	part := set&^(w.tones()|w.Tones) == 0
	switch heard := size(chordSet(e.since)); {
	case part && w.Broken && heard >= brokenChord:
		return w.over(e.since), e.onItsBass()
	case h.Named():
		if !w.is(h) { // a note may be the chord's and not the tune's
			all := e.read(chordSet(sounding), sounding.Lowest().Class(), h.known)
			return w.Chord, w.is(&all) && e.onItsBass()
		}
		ok = true
	default:
		ok = part && size(set) < wholeChord && heard >= wholeChord
	}
	return w.Chord, ok && e.onItsBass()
}

// is reports a reading that is the written chord, over its bass where the left hand
// has none of its own.
func (w *Written) is(h *hearing) bool {
	return h.Root == w.Chord.Root.Class() && h.Type == w.Chord.Type && (w.Basses != 0 || h.Bass == w.Chord.Bass.Class())
}

// over is the chord over the lowest of keys, where the left hand has no bass.
func (w *Written) over(keys keyboard.Set) chord.Chord {
	low := keys.Lowest().Class()
	if w.Basses != 0 || low == w.Chord.Bass.Class() {
		return w.Chord
	}
	root := chord.New(w.Chord.Root, w.Chord.Type)
	return root.Over(root.Spell(low, pitch.Key{}))
}

// onItsBass reports that the bass, where one was struck, is none that the left hand
// has not.
func (e *ear) onItsBass() bool {
	w, g := &e.written, &e.implied
	class := g.key.Class()
	return w.Basses == 0 || !g.on || w.Basses.Has(class) || !w.tones().Has(class)
}
