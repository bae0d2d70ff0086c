package performer

import (
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

// voice lets the habits use the freedoms of the score.
func (t *take) voice() {
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
func (t *take) shiftOctaves(h pattern.Hand) {
	by := pitch.Num(12 * t.h.OctaveShift[h])
	if by == 0 {
		return
	}
	var figure []int
	move := func() {
		for _, i := range figure {
			if !t.clear(t.plain, i, moved(t.plain[i].keys, by)) {
				return
			}
		}
		for _, i := range figure {
			t.plain[i].keys = moved(t.plain[i].keys, by)
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
func (t *take) revoice(i int) {
	w, st := &t.s.Wants[i], &t.plain[i]
	if t.h.Revoice == 0 || !w.Whole || w.Inversion != pattern.AnyInversion || len(st.keys) < 2 {
		return
	}
	r := t.random(forVoicing, w.Harmony, int(w.Hand))
	if r.Float64() >= t.h.Revoice {
		return
	}
	turns := turned(st.keys)
	first := r.IntN(len(turns))
	for n := range turns {
		if keys := turns[(first+n)%len(turns)]; t.clear(t.plain, i, keys) {
			st.keys = keys
			return
		}
	}
}

// turned is a close chord's next inversions: up, with the lowest note an octave
// higher, and down.
func turned(keys []pitch.Num) [][]pitch.Num {
	n := len(keys)
	up := append(append([]pitch.Num(nil), keys[1:]...), keys[0]+12)
	down := append([]pitch.Num{keys[n-1] - 12}, keys[:n-1]...)
	var a, b stroke
	a.set(up)
	b.set(down)
	return [][]pitch.Num{a.keys, b.keys}
}

// thin leaves out what may be.
func (t *take) thin(i int) {
	w, st := &t.s.Wants[i], &t.plain[i]
	if t.h.LeaveOut == 0 {
		return
	}
	r := t.random(forVoicing, w.Harmony, 2+int(w.Hand))
	for _, tone := range w.Tones {
		if r.Float64() < t.h.LeaveOut && tone.Optional && len(st.keys) > 1 {
			st.keys = without(st.keys, classKey(st.keys, tone))
		}
	}
}

// classKey is the place of the key that plays a tone, or -1.
func classKey(keys []pitch.Num, tone score.Tone) int {
	for i, k := range keys {
		if k.Class() == tone.Key.Class() {
			return i
		}
	}
	return -1
}

func without(keys []pitch.Num, at int) []pitch.Num {
	var kept []pitch.Num
	for i, k := range keys {
		if i != at {
			kept = append(kept, k)
		}
	}
	return kept
}

// widestDoubling is the widest a hand opens for a doubled note, in semitones.
const widestDoubling = 12

// double adds the lowest note an octave higher.
func (t *take) double(i int) {
	w, st := &t.s.Wants[i], &t.plain[i]
	if t.h.Double == 0 || !w.Whole {
		return
	}
	top := st.keys[0] + 12
	if top <= highest(st.keys) || int(top-st.keys[0]) > widestDoubling {
		return
	}
	if t.random(forVoicing, w.Harmony, 4+int(w.Hand)).Float64() < t.h.Double {
		if keys := append(append([]pitch.Num(nil), st.keys...), top); t.clear(t.plain, i, keys) {
			st.keys = keys
		}
	}
}
