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
