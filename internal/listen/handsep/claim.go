package handsep

import (
	"undersong/internal/sheet/pattern"
)

// Astray reports that a hand's notes are no try at its open stroke: struck long
// before it, or wrong and long after.
func (s *Separator) Astray(h *Hand) bool {
	open := &s.Onset.Open[h.Which]
	if open.tooEarly() || !open.tooLate() {
		return open.tooEarly()
	}
	whole, _ := s.whole(h)
	return !whole
}

// Unasked reports a hand whose notes nothing asks for: it has nothing to play, or
// has played it, or they are no try at its stroke and not to be kept for it.
func (s *Separator) Unasked(h *Hand) bool {
	if h.Free() {
		return false
	}
	open := &s.Onset.Open[h.Which]
	switch {
	case open.Stroke < 0 || s.past(h.Stroke(open.Stroke)):
		return true
	case !s.Astray(h):
		return false
	}
	whole, _ := s.whole(h)
	return !open.tooEarly() || !whole || h.Stroke(open.Stroke).Early.Len() > 0
}

// Sure reports that a hand's fresh notes make its open stroke complete beyond
// doubt: nothing that may still come could change that, or give one of them to the
// other hand.
func (s *Separator) Sure(h *Hand) bool {
	open := &s.Onset.Open[h.Which]
	if open.Stroke < 0 || h.Free() {
		return false
	}
	if st := h.Stroke(open.Stroke); st.Judged || st.Foreign > 0 || open.tooEarly() {
		return false
	}
	_, every := s.whole(h)
	return every && !s.contested(h) && !s.displaced(h)
}

// displaced reports a figure's note in another octave: its own octave may still
// come, and this be the other hand's.
func (s *Separator) displaced(h *Hand) bool {
	j := s.Onset.Open[h.Which].Stroke
	w, served := h.Want(j), h.Stroke(j).Served
	for n := range s.Onset.fresh(h.Which) {
		if _, _, octave := h.match(w, n.Key, served); octave {
			return true
		}
	}
	return false
}

// contested reports that one of a hand's notes is wanted by the other hand too,
// which is no farther from it: its own hand's note may still be on the way.
func (s *Separator) contested(h *Hand) bool {
	other := s.Hands[h.Which.Other()]
	if other.Free() {
		return s.sung(h)
	}
	j := s.Onset.Open[other.Which].Stroke
	if j < 0 || other.Stroke(j).Judged {
		return false
	}
	mine, theirs := h.middle(s.Onset.Open[h.Which].Stroke), other.middle(j)
	for n := range s.Onset.fresh(h.Which) {
		f, _, _ := other.match(other.Want(j), n.Key, other.Stroke(j).Served)
		if f == wanted && distanceCost(int(n.Key), theirs) <= distanceCost(int(n.Key), mine) {
			return true
		}
	}
	return false
}

// sung reports that one of a hand's notes lies where the other, free hand may
// have struck it as a note of the tune.
func (s *Separator) sung(h *Hand) bool {
	middle := h.middle(s.Onset.Open[h.Which].Stroke)
	for n := range s.Onset.fresh(h.Which) {
		off := int(n.Key) - middle
		if h.Which == pattern.Right {
			off = -off
		}
		if off > handSpan {
			return true
		}
	}
	return false
}
