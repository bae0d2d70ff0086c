package byear

// goOn adds every way in which a hypothesis may go on.
func (r *hypotheses) goOn(from *hypothesis, s strike) {
	r.tryWrong(*from, s)
	r.tryAgain(*from, s)
	if from.pos+1 < len(r.tune.keys) {
		r.tryNext(*from, s)
		r.trySkip(*from, s)
	}
}

// off is how far above a note of the tune the key lies.
func (r *hypotheses) off(from *hypothesis, pos int, s strike) int {
	return s.key - r.tune.keys[pos] - from.shift
}

func (r *hypotheses) tryWrong(next hypothesis, s strike) {
	far := mostFar
	if next.pos+1 < len(r.tune.keys) {
		off := r.off(&next, next.pos+1, s)
		far = min(far, abs(off))
		if off%12 == 0 {
			next.cost += costDeaf
		}
	}
	next.cost += costWrong + costFar*far
	next.step = wrong
	next.tries++
	r.fresh = append(r.fresh, next)
}

// tryNext takes the key for the note that is due, in any octave.
func (r *hypotheses) tryNext(next hypothesis, s strike) {
	next.ends(s)
	next.pos++
	off := r.off(&next, next.pos, s)
	if off%12 != 0 {
		return
	}
	next.step = right
	begins := r.tune.begins(next.pos)
	if begins {
		next.pass = pass{entire: true}
	}
	if off == 0 {
		r.add(next, s)
		return
	}
	moved := next
	moved.shift += off
	if begins {
		moved.cost += costMove
	} else {
		moved.cost += costOctave
		moved.step = octave
	}
	r.add(moved, s)
	next.cost += costOctave
	next.step = octave
	r.add(next, s)
}

// trySkip takes the key for the note after the one that is due.
func (r *hypotheses) trySkip(next hypothesis, s strike) {
	next.ends(s)
	next.pos += 2
	if next.pos >= len(r.tune.keys) || r.tune.begins(next.pos) || r.tune.begins(next.pos-1) || r.off(&next, next.pos, s) != 0 {
		return
	}
	next.cost += costSkip
	if r.tune.keys[next.pos-2] == r.tune.keys[next.pos-1] {
		next.cost += costTied - costSkip
	}
	next.step = skipped
	next.pass.entire = false
	r.add(next, s)
}

// tryAgain takes the key for a note of the phrase that was found before.
func (r *hypotheses) tryAgain(from hypothesis, s strike) {
	start := r.tune.starts[r.tune.phrase[from.pos]]
	if off := r.off(&from, start, s); off%12 == 0 {
		next := from
		next.ends(s)
		next.pos = start
		next.shift += off
		next.cost += costRestart
		if r.tune.ends(from.pos) {
			next.cost += costAgain - costRestart
		}
		if off != 0 {
			next.cost += costMove
		}
		r.begin(next, s)
	}
	for pos := max(start+1, from.pos-mostBack); pos <= from.pos; pos++ {
		if r.off(&from, pos, s) != 0 {
			continue
		}
		next := from
		next.ends(s)
		next.cost += costBack
		next.step = back
		if pos == from.pos {
			next.cost += costRetry - costBack
			next.step = retry
		}
		next.pos = pos
		r.fresh = append(r.fresh, next)
	}
}
