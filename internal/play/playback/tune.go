package playback

import (
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

// tuneScore is the tune as strokes of the right hand, some octaves up.
func tuneScore(s *score.Score, octaves int) *score.Score {
	c := *s
	c.Only, c.Wants = score.BothHands, nil
	for _, n := range s.Melody {
		at, end := s.Swung(n.At), s.Swung(n.At+n.Dur)
		c.Wants = append(c.Wants, score.Want{
			At: at, Dur: end - at, Hand: pattern.Right, Role: score.Figure, Bar: n.Bar,
			Tones: []score.Tone{{Key: n.Key() + pitch.Num(12*octaves)}},
		})
	}
	return &c
}

// mostLift is how many octaves a tune goes up: more would make it another tune.
const mostLift = 2

// lift is how many octaves up the tune is clear of the accompaniment, or of the
// hand of it that is wanted: the fewest that leave the fewest of its notes covered.
// It goes up as a whole, so that no leap changes.
func lift(s *score.Score) int {
	best, fewest := 0, len(s.Melody)+1
	for octaves := range mostLift + 1 {
		up := pitch.Num(12 * octaves)
		if n := covered(s, up); n < fewest && top(s)+up <= pitch.PianoHigh {
			best, fewest = octaves, n
		}
	}
	return best
}

func top(s *score.Score) pitch.Num {
	high := pitch.Num(0)
	for _, n := range s.Melody {
		high = max(high, n.Key())
	}
	return high
}

// covered counts the notes of the tune over which, or on which, the
// accompaniment sounds.
func covered(s *score.Score, up pitch.Num) int {
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
