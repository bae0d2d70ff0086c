package score

import (
	"undersong/internal/music/chord"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
)

// approach wants a note a half or whole step from the bass that comes next, or
// the kind of step that the cell names.
func (w *weaver) approach(want *Want, c pattern.Cell) {
	want.Approach = true
	next := w.nextBass(w.until)
	var accept chord.Set
	for _, step := range []int{-2, -1, 1, 2} {
		if (c.Octave == 0 || step*c.Octave > 0) && w.leads(next, step, c.Step) {
			accept = accept.With(next.Up(step))
		}
	}
	target := next.From(w.p.Register[w.hand])
	step := w.approachStep(next, c)
	want.Tones = []Tone{{Key: target + step, Accept: accept, AnyOctave: true}}
	want.Allowed = accept
}

// nextBass is the bass of the harmony that sounds at a time; past the end the
// tune begins again. Where no chord is, the tonic stands in.
func (w *weaver) nextBass(at meter.Ticks) pitch.Class {
	if at >= w.s.Length {
		at = 0
	}
	for h := w.s.HarmonyAt(at); h < len(w.s.Harmonies); h++ {
		if c := w.s.Harmonies[h].Chord; !c.IsNone() {
			return c.Bass.Class()
		}
	}
	return w.s.Key.Tonic.Class()
}

// leads reports a step, in semitones, by which a note of the kind asked for goes
// to the next bass. To the tonic of a minor key the raised seventh leads, too.
func (w *weaver) leads(next pitch.Class, step int, kind pattern.Step) bool {
	k := w.s.Key
	switch kind {
	case pattern.HalfStep:
		return step == 1 || step == -1
	case pattern.ScaleStep:
		return chord.Scale(k).Has(next.Up(step)) || k.Minor && step == -1 && next == k.Tonic.Class()
	}
	return true
}

// approachStep chooses the demonstrated step into a class: a half step where
// that is asked for, else the scale's own from that side where it is a half
// step, else a whole step in the scale, else a half step.
func (w *weaver) approachStep(next pitch.Class, c pattern.Cell) pitch.Num {
	sign := -1
	if c.Octave > 0 {
		sign = 1
	}
	if scale := chord.Scale(w.s.Key); c.Step != pattern.HalfStep && !scale.Has(next.Up(sign)) && scale.Has(next.Up(2*sign)) {
		return pitch.Num(2 * sign)
	}
	return pitch.Num(sign)
}
