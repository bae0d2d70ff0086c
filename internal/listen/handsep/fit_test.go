package handsep

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
)

// What one note more is to a stroke that has its notes already.
func TestOneNoteMore(t *testing.T) {
	lone := []score.Tone{{Key: 48, Accept: chord.Set(0).With(0)}}
	any := []score.Tone{{Key: 60, Accept: chord.Set(0).With(0).With(4).With(7)}}
	fifth := []score.Tone{{Key: 48, Accept: chord.Set(0).With(0)}, {Key: 55, Accept: chord.Set(0).With(7)}}
	seventh := chord.Set(0).With(0).With(4).With(7).With(10)
	for _, c := range []struct {
		name string
		want score.Want
		key  pitch.Num
		fit  fit
	}{
		{"a bass in octaves", score.Want{Role: score.Bass, Tones: lone}, 60, doubling},
		{"another note than the bass", score.Want{Role: score.Bass, Tones: lone}, 55, foreign},
		{"a lone note struck with a chord", score.Want{Role: score.Block, Tones: lone}, 60, foreign},
		{"a figure's note again", score.Want{Role: score.Figure, Tones: lone}, 60, foreign},
		{"a fifth's note again", score.Want{Role: score.Figure, Tones: fifth}, 60, doubling},
		{"the tune's note again", score.Want{Role: score.Melody, Tones: lone}, 60, foreign},
		{"one more of those that serve as the tune's", score.Want{Role: score.Melody, Tones: any}, 64, doubling},
		{"a chord's note under a lone tune", score.Want{Role: score.Melody, Tones: lone, Allowed: seventh}, 58, foreign},
		{"under a tune in chords", score.Want{Role: score.Melody, Tones: fifth, Allowed: seventh}, 58, doubling},
		{"a note that is not of it there", score.Want{Role: score.Melody, Tones: fifth, Allowed: seventh}, 57, foreign},
		{"in chords without a tune", score.Want{Role: score.Block, Tones: fifth, Allowed: seventh}, 58, foreign},
		{"in a whole chord", score.Want{Role: score.Block, Whole: true, Tones: fifth, Allowed: seventh}, 58, doubling},
	} {
		h := newBench(t, "4/4", "| C | F |", "block-whole").Hands[right]
		f, tone, octave := h.match(&c.want, c.key, 1<<len(c.want.Tones)-1)
		assert.Equal(t, c.fit, f, c.name)
		assert.Equal(t, -1, tone, "%s: it serves no tone", c.name)
		assert.False(t, octave, c.name)
	}
}
