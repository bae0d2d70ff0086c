package handsep

// Reconsider looks at an onset anew that was partly told of when its first notes
// came: the right hand's thumb, struck a little before the bass, may have passed
// for it. Where another division between the hands explains the onset better, and
// what was told stays right in it, the notes change hands.
func (s *Separator) Reconsider() {
	o := &s.Onset
	if !o.Told() || o.allTold() {
		return
	}
	before := s.troubles()
	if before == 0 {
		return
	}
	kept := o.notes
	var stood [2]snapshot
	for i, h := range s.Hands {
		if o.stood[i].valid {
			stood[i] = h.snapshot(o.Open[i].Stroke)
			h.restore(&o.stood[i])
		}
	}
	for i := range o.notes[:o.n] {
		o.notes[i].Taken = false
	}
	s.Assign()
	if s.stillRight() && s.troubles() < before {
		s.changeHands(&stood)
		return
	}
	o.notes = kept
	for i, h := range s.Hands {
		if stood[i].valid {
			h.restore(&stood[i])
		}
	}
}

// troubles counts what is wrong with the onset as it is divided: notes that belong
// to nothing, and notes that lack.
func (s *Separator) troubles() int {
	n := 0
	for i, h := range s.Hands {
		if h.Free() {
			continue
		}
		j := s.Onset.Open[i].Stroke
		if j < 0 {
			for range s.Onset.fresh(h.Which) {
				n++
			}
			continue
		}
		served, wrong := s.divided(h)
		n += wrong
		if !h.Stroke(j).Judged {
			n += Lacking(h.Want(j), served)
		}
	}
	return n
}

// stillRight reports that the strokes told of are right as the onset is divided.
func (s *Separator) stillRight() bool {
	for i, h := range s.Hands {
		if !s.Onset.stood[i].valid {
			continue
		}
		served, wrong := s.divided(h)
		if wrong > 0 || Lacking(h.Want(s.Onset.Open[i].Stroke), served) > 0 {
			return false
		}
	}
	return true
}

// changeHands gives the strokes told of the notes that are theirs now.
func (s *Separator) changeHands(stood *[2]snapshot) {
	for i, h := range s.Hands {
		if !stood[i].valid {
			continue
		}
		s.Commit(h)
		j := s.Onset.Open[i].Stroke
		st := h.Stroke(j)
		st.Judged, st.Complete, st.DoneAt = true, true, stood[i].stroke.DoneAt
		h.Moved(j)
	}
}
