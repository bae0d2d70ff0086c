package score

import (
	"sort"

	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
)

// tones puts the degrees of a cell on the keyboard.
func (w *weaver) tones(want *Want, c pattern.Cell) {
	alone := len(c.Tones) == 1
	for _, t := range c.Tones {
		want.Tones = append(want.Tones, w.tone(want, t, alone))
	}
	sort.SliceStable(want.Tones, func(i, j int) bool { return want.Tones[i].Key < want.Tones[j].Key })
	want.Tones = once(want.Tones)
}

// once leaves out a key that two tones of a cell fall on, as the third and the
// fourth of a suspended chord do. A tone that must be struck wins.
func once(tones []Tone) []Tone {
	kept := tones[:1]
	for _, t := range tones[1:] {
		if last := &kept[len(kept)-1]; t.Key != last.Key {
			kept = append(kept, t)
		} else {
			last.Optional = last.Optional && t.Optional
		}
	}
	return kept
}

func (w *weaver) tone(want *Want, t pattern.Tone, alone bool) Tone {
	if t.Degree == 0 {
		return w.anyChordTone(want, t)
	}
	if t.OfKey {
		return w.keyTone(want, t)
	}
	if alone && w.newBass(want, t) {
		t.Degree, t.Octave = 1, 0
	}
	c := want.Chord
	low := w.p.Register[w.hand]
	bass := c.Root.Class()
	if w.hand == pattern.Left {
		bass = c.Bass.Class()
	}
	above := w.above(c, t, bass)
	key := bass.From(low) + pitch.Num(above+12*t.Octave)
	if t.AnyOctave && key < low-lowestDip {
		key += 12
	}
	accept := chord.Set(0).With(key.Class())
	if alone && !w.breaks && t.Degree == 5 && !t.Written && bass != c.Root.Class() {
		// Over an inverted bass the other bass note may be the root or the fifth.
		accept = accept.With(c.Root.Class()).With(c.Root.Class().Up(c.Degree(5).Semitones))
	}
	return Tone{Key: key, Accept: accept, AnyOctave: t.AnyOctave, Optional: t.Optional}
}

// keyTone is the key's tonic, or the fifth above it, whatever the chord is.
func (w *weaver) keyTone(want *Want, t pattern.Tone) Tone {
	low := w.p.Register[w.hand]
	key := w.s.Key.Tonic.Class().From(low) + pitch.Num(chord.MajorDegree(t.Degree)+12*t.Octave)
	if t.AnyOctave && key < low-lowestDip {
		key += 12
	}
	accept := chord.Set(0).With(key.Class())
	want.Allowed |= accept
	return Tone{Key: key, Accept: accept, AnyOctave: t.AnyOctave, Optional: t.Optional}
}

// lowestDip is how far under its register a hand is led where another octave
// would do as well, in semitones: lower, a bass of E2 and up begins to growl.
const lowestDip = 4

// newBass reports a lone fifth in the left hand that falls on a new harmony: a
// change of chord brings its root (common practice, no source).
func (w *weaver) newBass(want *Want, t pattern.Tone) bool {
	return w.hand == pattern.Left && t.Degree == 5 && !t.Written && w.s.Harmonies[want.Harmony].At == want.At
}

// above is how many semitones over the bass note a tone lies. Over a slash
// bass the chord's own degrees are counted from that bass up, so that a figure
// written 1 3 5 still climbs: A C F over F/A.
func (w *weaver) above(c chord.Chord, t pattern.Tone, bass pitch.Class) int {
	semitones := c.Degree(t.Degree).Semitones
	if t.Written {
		semitones = chord.MajorDegree(t.Degree) + t.Alter
	}
	if bass == c.Root.Class() {
		return semitones
	}
	if step, ok := stacked[t.Degree]; ok && !t.Written {
		return nthAbove(c, bass, step)
	}
	return c.Root.Class().Up(semitones).Above(bass)
}

// stacked numbers the degrees of a triad, counted in thirds from the bass.
var stacked = map[int]int{1: 0, 3: 1, 5: 2, 8: 3, 10: 4, 12: 5, 15: 6}

// nthAbove is the n-th chord tone above the bass, in semitones; after the
// third the stack begins again an octave higher.
func nthAbove(c chord.Chord, bass pitch.Class, n int) int {
	offsets := []int{0}
	for _, cl := range c.HandTones(3) {
		if d := cl.Above(bass); d > 0 {
			offsets = append(offsets, d)
		}
	}
	sort.Ints(offsets)
	offsets = offsets[:min(3, len(offsets))]
	return offsets[n%len(offsets)] + 12*(n/len(offsets))
}

// anyChordTone demonstrates a free chord tone as the next one above the note
// before, or the nearest to it where the hand would climb out of its register.
func (w *weaver) anyChordTone(want *Want, t pattern.Tone) Tone {
	low := w.p.Register[w.hand]
	from := low - 1
	if len(w.prev) > 0 {
		from = w.prev[0]
	}
	tones := want.Chord.Type.Set().Up(int(want.Chord.Root.Class()))
	key := from + 1
	for !tones.Has(key.Class()) {
		key++
	}
	for key > low+16 {
		key -= 12
	}
	return Tone{Key: key + pitch.Num(12*t.Octave), Accept: want.Allowed, AnyOctave: t.AnyOctave, Optional: t.Optional}
}
