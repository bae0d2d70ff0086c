package handsep

import (
	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

// Motion is the semitones that fingers travel from one set of keys to another.
func Motion(from, to *pitch.Nums) int {
	var a, b [pitch.MostNums]pitch.Num
	return chord.Motion(from.Fill(&a), to.Fill(&b))
}

// allTones stands for every tone of a want.
const allTones = ^uint32(0)

// Shortest is the least motion from keys to a close voicing of those tones of
// the wanted chord that are in a set of bits.
func Shortest(from *pitch.Nums, w *score.Want, tones uint32) int {
	to, _ := nearestVoicing(from, w, tones)
	return Motion(from, &to)
}

// nearestVoicing is the close voicing of a whole chord that the fingers reach
// with the least motion, among the inversions that the want allows.
func nearestVoicing(from *pitch.Nums, w *score.Want, tones uint32) (pitch.Nums, bool) {
	var best pitch.Nums
	bestMotion := -1
	if from.Len() == 0 {
		return best, false
	}
	low := int(from.At(0))
	for first := low - 12; first <= low+12; first++ {
		v, ok := closeFrom(pitch.Num(first), w, tones)
		if !ok || w.Inversion >= 0 && v.At(0).Class() != w.Bottom {
			continue
		}
		if m := Motion(from, &v); bestMotion < 0 || m < bestMotion {
			best, bestMotion = v, m
		}
	}
	return best, bestMotion >= 0
}

// closeFrom stacks the wanted classes upwards from a lowest key, where that key
// is one of them.
func closeFrom(first pitch.Num, w *score.Want, tones uint32) (pitch.Nums, bool) {
	var v pitch.Nums
	if !first.Valid() || first+12 > pitch.PianoHigh {
		return v, false
	}
	has := false
	for i := range w.Tones {
		if tones>>uint(i)&1 == 0 {
			continue
		}
		above := w.Tones[i].Key.Class().Above(first.Class())
		has = has || above == 0
		v.Insert(first + pitch.Num(above))
	}
	return v, has
}

// Goal is where the hand should be for stroke j, as near as can be to what it
// struck. The nearest inversion is counted from the chord before instead.
func (h *Hand) Goal(j int) pitch.Nums {
	w, st := h.Want(j), h.Stroke(j)
	if w.Whole {
		from := &st.Heard
		if before := h.LastWhole(j); before != nil && before.Complete && (w.Inversion == pattern.NearestInversion || from.Len() == 0) {
			from = &before.Heard
		}
		if v, ok := nearestVoicing(from, w, allTones); ok {
			return v
		}
	}
	var v pitch.Nums
	for i := range w.Tones {
		v.Insert(h.goalOf(j, i).Within(0, 127)) // however far off the hand has struck
	}
	return v
}

// Shown is where a demonstration puts stroke j.
func (h *Hand) Shown(j int) pitch.Nums {
	var v pitch.Nums
	for _, t := range h.Want(j).Tones {
		v.Insert(t.Key)
	}
	return v
}

// goalOf is the key for one tone of a stroke: in a figure the octave of the figure,
// else the octave nearest to a lone note that was struck, else where the hand is.
func (h *Hand) goalOf(j, tone int) pitch.Num {
	w, st := h.Want(j), h.Stroke(j)
	key := w.Tones[tone].Key
	if !w.Anchor && (w.Role == score.Melody || w.Role == score.Figure && !w.Tones[tone].AnyOctave) {
		return key + pitch.Num(h.bearing.shift)
	}
	if len(w.Tones) == 1 && st.Heard.Len() == 1 && !h.FarBass(j) {
		return key.Class().Near(st.Heard.At(0))
	}
	return key + pitch.Num(octaves(h.bearing.drift))
}

// TuneOnTop reports that the highest note of a stroke is the tune's, and notes
// where it lies: a phrase may be played in another octave, but not change it. Where
// a phrase began in another octave than the one before, and goes back to that at
// once, its first note was alone there: that stroke is leapt, else -1. Where two
// notes change to one octave, the phrase goes on there.
func (h *Hand) TuneOnTop(j int) (onTop bool, leapt int) {
	w, st := h.Want(j), h.Stroke(j)
	tune, top := w.Tones[len(w.Tones)-1], st.Heard.Last()
	leapt = -1
	if !tune.Accept.Has(top.Class()) {
		return false, leapt
	}
	off := octaves(int(top - tune.Key))
	if w.Anchor {
		h.bearing.begin(j, off)
	} else {
		leapt = h.bearing.goOn(off)
	}
	if leapt <= j-ring { // long ago, and forgotten
		leapt = -1
	}
	h.bearing.stray = off
	st.OtherOctave = off != h.bearing.shift
	return true, leapt
}

// begin begins a phrase of the tune in an octave, by stroke j.
func (b *bearing) begin(j, octave int) {
	b.leapt, b.from = 0, b.shift
	if octave != b.shift {
		b.leapt, b.shift = j+1, octave
	}
}

// goOn goes on with it, and returns the stroke that was alone in its octave, or -1.
func (b *bearing) goOn(octave int) int {
	leapt := b.leapt - 1
	b.leapt = 0
	if octave == b.stray {
		b.shift = octave
	}
	if leapt >= 0 && octave == b.from {
		b.shift = octave
		return leapt
	}
	return -1
}

// Written is where the tune's stroke j lies in the octave that is played.
func (h *Hand) Written(j int) pitch.Nums {
	var v pitch.Nums
	for _, t := range h.Want(j).Tones {
		v.Insert(t.Key + pitch.Num(h.bearing.shift))
	}
	return v
}

// FarBass reports a lone bass that was struck more than an octave from where the
// hand lies, and from where it is written: a chord in another octave moves no bass.
func (h *Hand) FarBass(j int) bool {
	w, heard := h.Want(j), &h.Stroke(j).Heard
	if w.Role != score.Bass || len(w.Tones) != 1 || heard.Len() != 1 {
		return false
	}
	off, written := heard.At(0)-h.Home(j), heard.At(0)-w.Tones[0].Key
	return min(max(off, -off), max(written, -written)) > 12
}

// Home is the key for the lone note of stroke j where the hand lies.
func (h *Hand) Home(j int) pitch.Num {
	return h.Want(j).Tones[0].Key + pitch.Num(octaves(h.bearing.drift))
}

// octaves rounds semitones to whole octaves.
func octaves(semitones int) int { return int(pitch.Num(semitones+126)/12)*12 - 120 }
