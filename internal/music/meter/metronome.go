package meter

// marks are the steps of a metronome: from each tempo on, so many beats a minute, as
// they stand on Maelzel's scale from 40 to 208, and the same on either side of it
// (common practice, no source).
var marks = []struct{ from, step Tempo }{
	{SlowestTempo, 2}, {60, 3}, {72, 4}, {120, 6}, {144, 8},
}

// Mark is the next tempo on a metronome, some steps up, or down where steps is below
// 0: about a twentieth a step. A tempo between two marks goes to the nearer way on.
func (t Tempo) Mark(steps int) Tempo {
	for ; steps > 0; steps-- {
		t = min(t.above(), FastestTempo)
	}
	for ; steps < 0; steps++ {
		t = max(t.below(), SlowestTempo)
	}
	return t
}

// above is the first mark over t.
func (t Tempo) above() Tempo {
	next := SlowestTempo
	for next <= t {
		next += stepFrom(next)
	}
	return next
}

// below is the last mark under t.
func (t Tempo) below() Tempo {
	last := SlowestTempo
	for next := last; next < t; next += stepFrom(next) {
		last = next
	}
	return last
}

func stepFrom(t Tempo) Tempo {
	step := marks[0].step
	for _, m := range marks {
		if t >= m.from {
			step = m.step
		}
	}
	return step
}
