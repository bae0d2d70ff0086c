package engine

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
	"undersong/internal/test/sounding"
)

// hold gives every note of a stroke these keys, one more than it had where there
// is one more, in the order of their times from its own.
func hold(p *sounding.Take, hand bool, bar int, beat float64, offs []int, keys ...pitch.Num) *sounding.Take {
	h := left
	if hand {
		h = right
	}
	var first sounding.Note
	p.Each(h, bar, beat, func(n *sounding.Note) {
		if first.Key == 0 {
			first = *n
		}
		n.Velocity = 0
	})
	for i, k := range keys {
		n := first
		n.Key, n.At = k, max(0, n.At+time.Duration(offs[i])*time.Millisecond)
		p.Notes = append(p.Notes, n)
	}
	return p
}

// Two hands meet in the middle, reach and double notes, and strike a little
// apart: which hand struck what must be seen from the whole group.
func TestHandsThatMeet(t *testing.T) {
	const r = true
	for _, c := range []struct {
		name, meter, bars, pattern string
		change                     func(p *sounding.Take)
		want                       []string
	}{
		{"the right thumb before a bass of the same name", "4/4", "| F | Bb |", "block-half",
			func(p *sounding.Take) { hold(p, r, 2, 1, []int{-6, 3, 5}, 58, 62, 65) }, nil},
		{"the right thumb before a moving bass", "4/4", "| C | C |", "boogie-climb",
			func(p *sounding.Take) { hold(p, r, 2, 2, []int{-8, 2, 4}, 55, 60, 64) }, nil},
		{"a fifth doubled below, where the left rests", "4/4", "| G | G |", "afterbeats",
			func(p *sounding.Take) { hold(p, r, 1, 4.5, []int{0, 2, 4, 9}, 62, 67, 71, 55) }, nil},
		{"a low hand on the keys of the resting other", "4/4", "| G7 | G7 |", "driving-beats",
			func(p *sounding.Take) {
				for b := 1.0; b <= 4; b++ {
					hold(p, r, 1, b, []int{0, 4, 2, 6}, 55, 59, 62, 65)
				}
			}, nil},
		{"a late right hand over octaves", "4/4", "| F | F |", "open-fifths",
			func(p *sounding.Take) { hold(p, r, 1, 3, []int{124, 126, 128}, 57, 60, 65) },
			[]string{"right late: bar 1, beat 3: F/A 126 ms late - sooner, on beat 3"}},
		{"a thumb that goes with its chords an octave up", "4/4", "| C | C |", "thumb-pulse",
			func(p *sounding.Take) {
				for i := range p.Notes {
					if n := &p.Notes[i]; n.Hand == right {
						n.Key += 12
					}
				}
			}, nil},
		{"a whole rocking left hand an octave up", "4/4", "| C | F |", "boogie-rocking",
			func(p *sounding.Take) {
				for i := range p.Notes {
					if n := &p.Notes[i]; n.Hand == left {
						n.Key += 12
					}
				}
			}, nil},
		{"a stroke of both hands too many is one", "4/4", "| C | C |", "block-half",
			func(p *sounding.Take) {
				p.Add(36, 500*ms, 600*ms).Add(60, 503*ms, 600*ms).Add(64, 503*ms, 600*ms).Add(67, 505*ms, 600*ms)
			},
			[]string{"both extra: bar 1, beat 2: C E G do not belong here - leave out C E G"}},
		{"one wrong note in a doubled chord", "4/4", "| C | C |", "block-half",
			func(p *sounding.Take) { hold(p, r, 1, 3, []int{0, 1, 2, 3}, 62, 64, 67, 76) },
			[]string{"right wrong-note: bar 1, beat 3: Em7/D, wanted C - keep E G, D down to C"}},
		{"a bass so high that it lies close under the chord", "4/4", "| F | F |", "block-half",
			func(p *sounding.Take) { hold(p, !r, 1, 3, []int{0}, 57); hold(p, r, 1, 3, []int{3, 4, 6}, 60, 65, 69) },
			[]string{"left wrong-bass: bar 1, beat 3: bass A, the root is wanted here - play F"}},
		{"the same, before a chord in an inversion that is asked for", "4/4", "| A7 | A7 |", "block-first",
			func(p *sounding.Take) {
				hold(p, !r, 1, 1, []int{0}, 55)
				hold(p, r, 1, 1, []int{3, 4, 6, 9}, 61, 64, 67, 69)
			},
			[]string{"left wrong-bass: bar 1, beat 1: bass G, the root is wanted here - go up to A"}},
		{"a chord doubled at the top, and no bass", "4/4", "| C | C |", "block-half",
			func(p *sounding.Take) { hold(p, !r, 1, 3, nil); hold(p, r, 1, 3, []int{0, 3, 4, 6}, 64, 67, 72, 76) },
			[]string{"left missing: bar 1, beat 3: no bass - strike C"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := sounding.ScoreOf(t, c.meter, c.bars, c.pattern)
			p := sounding.Exact(s)
			c.change(p)
			if c.want == nil {
				c.want = []string{}
			}
			assert.Equal(t, c.want, wrongs(s, p))
		})
	}
}

// Of a stroke too many, a hand that is judged alone is told its own notes.
func TestAStrokeTooManyOfAHandAlone(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", "| C | C |", "block-half")
	s.Only = score.LeftAlone
	p := sounding.Exact(s).Add(36, 500*ms, 600*ms).Add(60, 503*ms, 600*ms).Add(64, 503*ms, 600*ms)
	assert.Equal(t, []string{"left extra: bar 1, beat 2: C does not belong here - leave out C"}, wrongs(s, p))
}

const ms = time.Millisecond
