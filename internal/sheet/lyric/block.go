package lyric

// block opens a part without a name where a blank row ends the one before: after an
// intro, after a chorus where no verse bears a name, after a verse without a name.
func (s *sheet) block(i int) {
	last := len(s.parts) - 1
	if last < 0 || i == 0 || s.kinds[i-1] != blank {
		return
	}
	p := &s.parts[last]
	worded, chorded := s.below(i)
	switch {
	case len(p.phrases) == 0 && !s.recalled(p):
		return
	case len(p.phrases) == 0, // a chorus that was sung before, named alone
		p.named && !p.worded() && worded,
		!p.named && (worded || p.worded()),
		p.named && p.kind != "verse" && !s.labelled && worded,
		p.chorded() && worded && !chorded:
		s.open(header{kind: after(p, worded), times: 1}, s.rows[i].num, false)
	}
}

// after is the kind of a block without a name behind a part.
func after(p *part, worded bool) string {
	if !worded {
		return "instrumental"
	}
	return "verse"
}

// recalled reports whether a part without lines stands for one before of its kind,
// where its verses have no names.
func (s *sheet) recalled(p *part) bool {
	if s.labelled || p.kind == "verse" {
		return false
	}
	for i := range s.parts[:len(s.parts)-1] {
		if q := &s.parts[i]; q.kind == p.kind && q.chorded() {
			return true
		}
	}
	return false
}

// below says what stands in the rows from one on until a blank one.
func (s *sheet) below(i int) (worded, chorded bool) {
	for ; i < len(s.rows); i++ {
		switch s.kinds[i] {
		case blank, sectionRow, directiveRow:
			return worded, chorded
		case chordRow:
			chorded = true
		case inlineRow:
			return true, true
		case lyrics:
			worded = true
		}
	}
	return worded, chorded
}
