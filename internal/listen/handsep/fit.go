package handsep

import (
	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
)

// fit says how a key serves a stroke.
type fit uint8

const (
	foreign  fit = iota
	doubling     // a chord tone that is there already, or one more of the chord
	wanted
)

// match finds the tone of a wanted stroke that a key serves, given those already
// served. octave reports a figure's note in another octave than its figure.
func (h *Hand) match(w *score.Want, key pitch.Num, served uint32) (f fit, tone int, octave bool) {
	c := key.Class()
	for i := range w.Tones {
		t := &w.Tones[i]
		if served>>uint(i)&1 == 1 || !t.Accept.Has(c) {
			continue
		}
		b := &h.bearing
		off := w.Role == score.Figure && !t.AnyOctave && !w.Anchor && !b.loose && key != t.Key+pitch.Num(b.shift) && key != t.Key+pitch.Num(b.lift)
		return wanted, i, off
	}
	if (w.Whole || w.Role == score.Melody && len(w.Tones) > 1) && w.Allowed.Has(c) || doubles(w, c) {
		return doubling, -1, false
	}
	return foreign, -1, false
}

// doubles reports a class that a stroke may have more than once.
func doubles(w *score.Want, c pitch.Class) bool {
	var all chord.Set
	for i := range w.Tones {
		all |= w.Tones[i].Accept
	}
	return (len(w.Tones) > 1 || w.Role == score.Bass || w.Role == score.Melody && w.Tones[0].Accept != chord.Set(0).With(c)) && all.Has(c)
}

// Lacking counts the required tones of a wanted stroke that are not served.
func Lacking(w *score.Want, served uint32) int {
	n := 0
	for i := range w.Tones {
		if served>>uint(i)&1 == 0 && !w.Tones[i].Optional {
			n++
		}
	}
	return n
}

// divided is what a hand's fresh notes serve of its open stroke, with those that
// were served before, and how many serve nothing.
func (s *Separator) divided(h *Hand) (served uint32, wrong int) {
	j := s.Onset.Open[h.Which].Stroke
	w := h.Want(j)
	served = h.Stroke(j).Served
	for n := range s.Onset.fresh(h.Which) {
		switch f, tone, _ := h.match(w, n.Key, served); f {
		case foreign:
			wrong++
		case wanted:
			served |= 1 << uint(tone)
		}
	}
	return served, wrong
}

// whole reports that a hand's fresh notes are all wanted and complete its open
// stroke; every reports that no further note can change that: those that may be
// left out are there, too.
func (s *Separator) whole(h *Hand) (whole, every bool) {
	w := h.Want(s.Onset.Open[h.Which].Stroke)
	served, wrong := s.divided(h)
	whole = wrong == 0 && served != 0 && Lacking(w, served) == 0
	return whole, whole && served == 1<<uint(len(w.Tones))-1
}
