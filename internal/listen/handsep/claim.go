package handsep

import (
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

// Astray reports that a hand's notes are no try at its open stroke: struck long
// before it, or wrong and long after.
func (s *Separator) Astray(h *Hand) bool {
	open := &s.Onset.Open[h.Which]
	if open.tooEarly() || !open.tooLate() {
		return open.tooEarly()
	}
	whole, _ := s.whole(h)
	return !whole && !s.joins(h)
}

// joins reports that a hand's fresh notes serve more of its open stroke and nothing
// else: a chord that is struck note by note.
func (s *Separator) joins(h *Hand) bool {
	j := s.Onset.Open[h.Which].Stroke
	st := h.Stroke(j)
	if st.Judged || st.Foreign > 0 || len(h.Want(j).Tones) < 2 {
		return false
	}
	served, wrong := s.divided(h)
	return wrong == 0 && served != st.Served
}

// Broken reports a stroke of which more may come, though late: a chord that is
// rolled, or has come note by note so far.
func (h *Hand) Broken(j int) bool {
	st, w := h.Stroke(j), h.Want(j)
	if st.Judged || st.Foreign > 0 || st.Served == 0 || len(w.Tones) < 2 {
		return false
	}
	return w.Roll || st.Onsets > 1 || st.Heard.Len() == 1 && Lacking(w, 0) >= fewestBroken
}

// Reclaim gives the left hand a note that the right has no use for, where the bass is
// due by a click and nothing was struck for it: however far off, it is a try at the
// bass. Where the time is the player's own, it may belong to another place.
func (s *Separator) Reclaim() {
	if !s.bassAwaited() {
		return
	}
	right := s.Hands[pattern.Right]
	n := s.useless(right)
	if n == nil {
		n = s.spare(right)
	}
	if n != nil && !s.ahead(right, n.Key) {
		n.Hand = pattern.Left
	}
}

// ahead reports that a hand's next stroke comes so soon that a note of the onset may
// have been struck for it, early: it lies nearer to it than to the other hand's.
func (s *Separator) ahead(h *Hand, key pitch.Num) bool {
	open, other := &s.Onset.Open[h.Which], s.Hands[h.Which.Other()]
	j := open.Stroke + 1
	if h.Free() || j%h.Len() == 0 || s.lasts(h.Want(j-1).At, h.Want(j).At)+open.Until > open.Reach {
		return false
	}
	theirs := other.middle(s.Onset.Open[other.Which].Stroke)
	return distanceCost(int(key), h.middle(j)) < distanceCost(int(key), theirs)
}

// bassAwaited reports that a lone bass is due by a click, and nothing was struck for
// it.
func (s *Separator) bassAwaited() bool {
	left, open := s.Hands[pattern.Left], &s.Onset.Open[pattern.Left]
	if s.score.Only != score.BothHands || left.Free() || open.Stroke < 0 || s.Onset.Has(pattern.Left) {
		return false
	}
	st, w := left.Stroke(open.Stroke), left.Want(open.Stroke)
	return w.Role == score.Bass && len(w.Tones) == 1 && !st.Judged && st.Heard.Len() == 0 && open.Reach > 0 && open.inTime()
}

// spare is the lowest note of the onset where the right hand's stroke is whole
// without it, and no tone of it is served by it alone; else nil. A note that is doubled
// at the top stays where the chord lies nearer with it than with the top.
func (s *Separator) spare(right *Hand) *Strike {
	notes := s.Onset.Notes()
	if len(notes) < 2 || right.Free() || notes[0].Taken || s.Unasked(right) {
		return nil
	}
	lowest := &notes[0]
	with, wrong := s.divided(right)
	lowest.Hand = pattern.Left
	without, _ := s.divided(right)
	lowest.Hand = pattern.Right
	j := s.Onset.Open[pattern.Right].Stroke
	if wrong > 0 || without != with || Lacking(right.Want(j), with) > 0 {
		return nil
	}
	off := func(notes []Strike) int {
		d := int(notes[0].Key+notes[len(notes)-1].Key)/2 - right.middle(j)
		return max(d, -d)
	}
	if off(notes[:len(notes)-1]) < off(notes[1:]) {
		return nil
	}
	return lowest
}

// useless is the one fresh note that a hand has no use for, its stroke being
// complete or nothing asked of it; nil where there is none, or more.
func (s *Separator) useless(h *Hand) *Strike {
	if h.Free() {
		return nil
	}
	unasked := s.Unasked(h)
	var served uint32
	var w *score.Want
	if !unasked {
		j := s.Onset.Open[h.Which].Stroke
		w, served = h.Want(j), h.Stroke(j).Served
	}
	var only *Strike
	for n := range s.Onset.fresh(h.Which) {
		f, tone := foreign, 0
		if !unasked {
			f, tone, _ = h.match(w, n.Key, served)
		}
		switch f {
		case wanted:
			served |= 1 << uint(tone)
		case foreign:
			if only != nil {
				return nil
			}
			only = n
		}
	}
	if !unasked && Lacking(w, served) > 0 {
		return nil
	}
	return only
}

// Unasked reports a hand whose notes nothing asks for: it has nothing to play, or
// has played it, or they are no try at its stroke and not to be kept for it.
func (s *Separator) Unasked(h *Hand) bool {
	if h.Free() {
		return false
	}
	open := &s.Onset.Open[h.Which]
	if open.Stroke < 0 || s.past(h.Stroke(open.Stroke)) {
		return true
	}
	if !s.Astray(h) {
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
	return every && !s.contested(h) && !s.displaced(h) && !s.wide(h) && !s.holdsBass(h)
}

// holdsBass reports a chord one of whose notes may be a try at the bass.
func (s *Separator) holdsBass(h *Hand) bool {
	return h.Which == pattern.Right && len(h.Want(s.Onset.Open[pattern.Right].Stroke).Tones) > 1 && s.bassAwaited()
}

// wide reports that a hand's notes lie further apart than it is asked to span with
// ease, while the other hand's stroke is still to come: the outer one may be that
// hand's.
func (s *Separator) wide(h *Hand) bool {
	other := s.Hands[h.Which.Other()]
	open := &s.Onset.Open[other.Which]
	if other.Free() || open.Stroke < 0 || !open.due() || other.Stroke(open.Stroke).Judged {
		return false
	}
	w := h.Want(s.Onset.Open[h.Which].Stroke)
	asked := w.Tones[len(w.Tones)-1].Key - w.Tones[0].Key
	low, high := pitch.Num(0), pitch.Num(0)
	for n := range s.Onset.fresh(h.Which) {
		if high == 0 {
			low = n.Key
		}
		high = n.Key
	}
	return high-low > max(openHand, asked)
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
