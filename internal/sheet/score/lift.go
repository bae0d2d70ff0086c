package score

import "undersong/internal/music/pitch"

// mostLift is how many octaves a tune goes up: more would make it another tune.
const mostLift = 2

// Lift is how many octaves up the tune is clear of the accompaniment, or of the
// hand of it that is wanted: the fewest that leave the fewest of its notes covered.
// It goes up as a whole, so that no leap changes.
func (s *Score) Lift() int {
	best, fewest := 0, len(s.Melody)+1
	for octaves := range mostLift + 1 {
		up := pitch.Num(12 * octaves)
		if n := s.covered(up); n < fewest && s.top()+up <= pitch.PianoHigh {
			best, fewest = octaves, n
		}
	}
	return best
}

// top is the tune's highest key.
func (s *Score) top() pitch.Num {
	high := pitch.Num(0)
	for _, n := range s.Melody {
		high = max(high, n.Key())
	}
	return high
}

// covered counts the notes of the tune over which, or on which, the
// accompaniment sounds.
func (s *Score) covered(up pitch.Num) int {
	count := 0
	for _, n := range s.Melody {
		for i := range s.Wants {
			w := &s.Wants[i]
			if w.At >= n.At+n.Dur {
				break
			}
			if w.At+w.Dur > n.At && s.Only.Judges(w.Hand) && w.Tones[len(w.Tones)-1].Key >= n.Key()+up {
				count++
				break
			}
		}
	}
	return count
}
