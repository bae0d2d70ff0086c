package score

import (
	"slices"

	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
)

// whole lays a whole chord, in one hand or shared by both.
func (w *weaver) whole(want *Want, c pattern.Cell) {
	if c.Shape == pattern.Spread {
		w.spread(want, c)
		return
	}
	want.Whole = true
	want.Inversion = c.Inversion
	classes := handClasses(want.Chord, c, w.s.Key)
	if c.Inversion >= 0 {
		want.Inversion = min(c.Inversion, len(classes)-1)
	}
	var keys []pitch.Num
	if c.Shape == pattern.Close {
		keys = w.closeKeys(want, c, classes)
	} else {
		keys = w.shapedKeys(want, c, classes)
	}
	spare := w.spare(want.Chord, classes)
	if c.Inversion >= 0 {
		want.Bottom = keys[0].Class()
		spare &^= chord.Set(0).With(want.Bottom) // an inversion is told by its lowest note
	}
	if w.shared {
		want.Whole, want.Inversion = false, pattern.AnyInversion
		keys = half(keys, w.hand)
	}
	w.voicing = keys
	w.takeKeys(want, keys, spare)
	w.allowNinth(want, c)
}

// takeKeys wants keys in any octave, of which those in spare may be left out.
func (w *weaver) takeKeys(want *Want, keys []pitch.Num, spare chord.Set) {
	required := false
	for _, k := range keys {
		t := Tone{Key: k, Accept: chord.Set(0).With(k.Class()), AnyOctave: true, Optional: spare.Has(k.Class())}
		required = required || !t.Optional
		want.Tones = append(want.Tones, t)
	}
	if !required {
		want.Tones[0].Optional = false
	}
}

// closeKeys is a close voicing: the inversion asked for, or the one nearest to
// the chord before.
func (w *weaver) closeKeys(want *Want, c pattern.Cell, classes []pitch.Class) []pitch.Num {
	low := w.p.Register[w.hand] + pitch.Num(12*c.Octave)
	if c.Inversion >= 0 {
		return chord.Close(classes, classes[want.Inversion], low)
	}
	return chord.Nearest(w.before(low), classes, low)
}

// before is the hand's last whole chord, or where it lies without one.
func (w *weaver) before(low pitch.Num) []pitch.Num {
	if w.voicing == nil {
		return chord.HandAt(low)
	}
	return w.voicing
}

// shapedKeys is an open voicing, or one with a note dropped. It looks at no
// chord before, so that two hands that share it find the same.
func (w *weaver) shapedKeys(want *Want, c pattern.Cell, classes []pitch.Class) []pitch.Num {
	h := w.hand
	if w.shared {
		h = pattern.Left
		if c.Shape == pattern.Drop {
			h = pattern.Right
		}
	}
	low := w.p.Register[h] + pitch.Num(12*c.Octave)
	var keys []pitch.Num
	switch {
	case c.Inversion >= 0:
		keys = chord.Close(classes, classes[want.Inversion], low)
	case c.Shape == pattern.Drop:
		keys = chord.Nearest(chord.HandAt(low), classes, low)
	default:
		keys = chord.Close(classes, lowest(want.Chord, classes, h), low)
	}
	if c.Shape == pattern.Drop {
		return chord.Dropped(keys)
	}
	return chord.Opened(keys)
}

// lowest is the bottom of an open chord: in the left hand the bass, where it is
// a note of the chord, else the root.
func lowest(c chord.Chord, classes []pitch.Class, h pattern.Hand) pitch.Class {
	for _, cl := range classes {
		if h == pattern.Left && cl == c.Bass.Class() {
			return cl
		}
	}
	return classes[0]
}

// half is a hand's part of a shared voicing; the left has the lower one, which
// is the smaller.
func half(keys []pitch.Num, h pattern.Hand) []pitch.Num {
	if h == pattern.Left {
		return keys[:len(keys)/2]
	}
	return keys[len(keys)/2:]
}

// spread lays a hand's part of a chord spread over both: the bass with a fifth
// or seventh below, the other notes above (common practice, no source).
func (w *weaver) spread(want *Want, c pattern.Cell) {
	classes := want.Chord.HandTones(4)
	if len(want.Chord.Type.Tones()) > 4 {
		classes = append(classes, want.Chord.Root.Class())
	}
	up := pitch.Num(12 * c.Octave)
	bass := want.Chord.Bass.Class().From(w.p.Register[pattern.Left] + up)
	top := bass + pitch.Num(spreadAbove(want.Chord, classes))
	if w.hand == pattern.Left {
		w.takeKeys(want, []pitch.Num{bass, top}, 0)
		return
	}
	var rest []pitch.Class
	for _, cl := range classes {
		if cl != bass.Class() && cl != top.Class() {
			rest = append(rest, cl)
		}
	}
	for _, cl := range []pitch.Class{want.Chord.Root.Class(), top.Class()} {
		if len(rest) < 2 && !slices.Contains(rest, cl) {
			rest = append(rest, cl)
		}
	}
	low := w.p.Register[pattern.Right] + up
	w.voicing = chord.Nearest(w.before(low), rest, max(low, top+1))
	w.takeKeys(want, w.voicing, 0)
}

// spreadAbove is how many semitones above the bass the left hand's other note
// lies: a seventh or fifth over a root, else the chord tone nearest to a fifth.
func spreadAbove(c chord.Chord, classes []pitch.Class) int {
	if c.Bass.Class() == c.Root.Class() {
		if hasSeventh(c) {
			return c.Degree(7).Semitones
		}
		return c.Degree(5).Semitones
	}
	best := 12
	for _, cl := range classes {
		if d := cl.Above(c.Bass.Class()); d > 0 && max(d-7, 7-d) < max(best-7, 7-best) {
			best = d
		}
	}
	return best
}

func hasSeventh(c chord.Chord) bool {
	for _, t := range c.Type.Tones() {
		if t.Degree == 7 {
			return true
		}
	}
	return false
}

// handClasses are the classes one hand plays of a chord, with a degree left out
// or the ninth added to a seventh where the cell says so.
func handClasses(c chord.Chord, cell pattern.Cell, k pitch.Key) []pitch.Class {
	classes := c.HandTones(4)
	if cell.Without > 0 {
		classes = outOf(classes, c.Root.Class().Up(c.Degree(cell.Without).Semitones))
	}
	if cell.Ninth && hasSeventh(c) && len(c.Type.Tones()) == 4 {
		if len(classes) == 4 {
			classes = outOf(classes, c.Root.Class())
		}
		classes = append(classes, ninth(c, k))
	}
	return classes
}

// outOf leaves a class out, unless it is the only one.
func outOf(classes []pitch.Class, out pitch.Class) []pitch.Class {
	var kept []pitch.Class
	for _, cl := range classes {
		if cl != out {
			kept = append(kept, cl)
		}
	}
	if len(kept) == 0 {
		return classes
	}
	return kept
}

// ninth is the ninth of a seventh chord: a major one, but a minor one over a
// dominant seventh where only that is in the key (common practice, no source).
func ninth(c chord.Chord, k pitch.Key) pitch.Class {
	major, minor := c.Root.Class().Up(2), c.Root.Class().Up(1)
	if dominant(c) && !chord.Scale(k).Has(major) && chord.Scale(k).Has(minor) {
		return minor
	}
	return major
}

func dominant(c chord.Chord) bool { return c.Type.Set().Has(4) && c.Type.Set().Has(10) }

// allowNinth lets a seventh chord without its root, or asked for with its
// ninth, have the ninth: over a dominant either kind.
func (w *weaver) allowNinth(want *Want, c pattern.Cell) {
	if c.Without != 1 && !c.Ninth || !hasSeventh(want.Chord) {
		return
	}
	nine := ninth(want.Chord, w.s.Key)
	kinds := chord.Set(0).With(nine)
	if root := want.Chord.Root.Class(); dominant(want.Chord) {
		kinds = kinds.With(root.Up(1)).With(root.Up(2))
	}
	want.Allowed |= kinds
	for i := range want.Tones {
		if t := &want.Tones[i]; t.Key.Class() == nine {
			t.Accept = kinds
		}
	}
}

// spare are the tones of a full hand that a player may leave out: the fifth of
// a chord of four, and the root where the left hand has it.
func (w *weaver) spare(c chord.Chord, classes []pitch.Class) chord.Set {
	var s chord.Set
	if len(classes) < 4 {
		return s
	}
	s = c.Type.Optional().Up(int(c.Root.Class()))
	if w.hand == pattern.Right && w.p.Rows[pattern.Left] != nil && !w.shared {
		s = s.With(c.Root.Class())
	}
	return s
}
