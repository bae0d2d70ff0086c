package meter

// Grids are the note values that a sign in a bar of chords may stand for, besides
// even shares: the beat and its half, or its third in compound meters.
func (m Meter) Grids() [2]Ticks {
	if m.Compound() {
		return [2]Ticks{m.Beat(), m.Beat() / 3}
	}
	return [2]Ticks{m.Beat(), m.Beat() / 2}
}

// Even reports whether n chords share the beats of a length evenly: one has them
// all, however odd; several have whole beats each.
func (m Meter) Even(n int, length Ticks) bool {
	return n == 1 || length%(Ticks(n)*m.Beat()) == 0
}

// Share is how long each of n signs, chords and dots, lasts in a bar of a length:
// a beat, a half beat (an eighth in compound meters), or, without dots, an even
// share. It is 0 where they do not fill the bar.
func (m Meter) Share(n int, dots bool, length Ticks) Ticks {
	for _, u := range m.Grids() {
		if Ticks(n)*u == length {
			return u
		}
	}
	if n > 0 && !dots && m.Even(n, length) {
		return length / Ticks(n)
	}
	return 0
}
