package performer

import (
	"slices"

	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
)

// voice lets the habits use the freedoms of the score.
func (t *Take) voice() {
	for _, h := range []pattern.Hand{pattern.Left, pattern.Right} {
		t.shiftOctaves(h)
	}
	for i := range t.plain {
		t.revoice(i)
		t.thin(i)
		t.double(i)
	}
}

// shiftOctaves moves a hand, one figure at a time: a figure goes from one
// anchor to the next, and stays where it is if any of it would leave the
// keyboard or cross the other hand.
func (t *Take) shiftOctaves(h pattern.Hand) {
	by := pitch.Num(12 * t.h.OctaveShift[h])
	if by == 0 {
		return
	}
	var figure []int
	move := func() {
		for _, i := range figure {
			if !t.clear(t.plain, i, moved(t.plain[i].Keys, by)) {
				return
			}
		}
		for _, i := range figure {
			t.plain[i].Keys = moved(t.plain[i].Keys, by)
		}
	}
	for i := range t.s.Wants {
		w := &t.s.Wants[i]
		if w.Hand != h {
			continue
		}
		if w.Anchor {
			move()
			figure = nil
		}
		figure = append(figure, i)
	}
	move()
}

func moved(keys []pitch.Num, by pitch.Num) []pitch.Num {
	out := make([]pitch.Num, len(keys))
	for i, k := range keys {
		out[i] = k + by
	}
	return out
}

// revoice turns a chord that may lie in any inversion; all its strokes within
// one harmony alike.
func (t *Take) revoice(i int) {
	w, st := &t.s.Wants[i], &t.plain[i]
	if t.h.Revoice == 0 || !w.Whole || w.Inversion != pattern.AnyInversion || len(st.Keys) < 2 {
		return
	}
	r := t.random(forVoicing, w.Harmony, int(w.Hand))
	if r.Float64() >= t.h.Revoice {
		return
	}
	turns := chord.Turned(st.Keys)
	first := r.IntN(len(turns))
	for n := range turns {
		if keys := turns[(first+n)%len(turns)]; t.clear(t.plain, i, keys) {
			st.Keys = keys
			return
		}
	}
}

// thin leaves out what may be.
func (t *Take) thin(i int) {
	w, st := &t.s.Wants[i], &t.plain[i]
	if t.h.LeaveOut == 0 {
		return
	}
	r := t.random(forVoicing, w.Harmony, 2+int(w.Hand))
	for _, tone := range w.Tones {
		if r.Float64() >= t.h.LeaveOut || !tone.Optional || len(st.Keys) < 2 {
			continue
		}
		if at := slices.IndexFunc(st.Keys, func(k pitch.Num) bool { return k.Class() == tone.Key.Class() }); at >= 0 {
			st.Keys = slices.Delete(slices.Clone(st.Keys), at, at+1)
		}
	}
}

// widestDoubling is the widest a hand opens for a doubled note, in semitones.
const widestDoubling = 12

// double adds the lowest note an octave higher.
func (t *Take) double(i int) {
	w, st := &t.s.Wants[i], &t.plain[i]
	if t.h.Double == 0 || !w.Whole {
		return
	}
	top := st.Keys[0] + 12
	if top <= slices.Max(st.Keys) || int(top-st.Keys[0]) > widestDoubling {
		return
	}
	if t.random(forVoicing, w.Harmony, 4+int(w.Hand)).Float64() < t.h.Double {
		if keys := append(append([]pitch.Num(nil), st.Keys...), top); t.clear(t.plain, i, keys) {
			st.Keys = keys
		}
	}
}
