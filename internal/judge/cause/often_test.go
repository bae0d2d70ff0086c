package cause

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/judge/finding"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
	"undersong/internal/test/sounding"
)

// valley is Red River Valley with a pattern.
func valley(t *testing.T, name string) *score.Score {
	t.Helper()
	s, err := score.Build(material.DemoChart(t, "red-river-valley"), material.Shipped(t, name), score.Options{})
	require.NoError(t, err)
	return s
}

// The lowest note of the right hand's chord is now and then an octave above the bass, and
// would do for it: a bar is wrong here, two are right there, and no stretch is wrong for
// long.
func TestAHandIsSilentWhereTheOthersNotesWouldDo(t *testing.T) {
	for _, name := range []string{"block-whole", "driving-quarters", "three-three-two"} {
		for _, patient := range []bool{true, false} {
			s := valley(t, name)
			p := sounding.Exact(s)
			for i := range p.Notes {
				if n := &p.Notes[i]; n.Hand == pattern.Left {
					n.Velocity = 0
				}
			}
			h, _ := played(s, p.Events(), Options{Patient: patient}, 0)
			if assert.Len(t, h.causes, 1, name) {
				assert.Equal(t, finding.Silent, h.causes[0].Kind)
				assert.Equal(t, finding.LeftHand, h.causes[0].Hand)
			}
			assert.Less(t, len(wrongs(h.found)), 20, name)
		}
	}
}

// One wrong note in every bar has no cause.
func TestWhatIsOftenWrongMayHaveNoCause(t *testing.T) {
	s := valley(t, "two-beat")
	p := sounding.Exact(s)
	for i := range p.Notes {
		if n := &p.Notes[i]; n.Hand == pattern.Left && i%6 == 0 {
			n.Key += pitch.Num(i/6%2*3 - 2)
		}
	}
	h, _ := played(s, p.Events(), Options{Patient: true}, 0)
	assert.Empty(t, h.causes)
	assert.Greater(t, len(wrongs(h.found)), 8)
}

// At 5, then after 2 more, 3, 4, 6, 9, 13, 19, and 24 at last.
func TestHowOftenCausesAreLookedFor(t *testing.T) {
	var o often
	var looked []int
	for o.n < 120 {
		o.add(time.Duration(o.n) * time.Second)
		if o.n >= mostOften && o.looks() {
			looked = append(looked, o.n)
		}
	}
	assert.Equal(t, []int{5, 7, 10, 14, 20, 29, 42, 61, 85, 109}, looked)
	assert.Equal(t, 115*time.Second, o.from(mostOften))
	assert.Equal(t, 119*time.Second, o.from(1))
}

// A silent hand's bass is C3 under C4 E4 G4, and its chord there over C3.
func TestNotesThatAreTheOtherHands(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", eight, "block-whole")
	for _, c := range []struct {
		part           finding.Part
		key            pitch.Num
		beyond, others bool
	}{
		{finding.LeftHand, 57, false, false},
		{finding.LeftHand, 58, true, false},
		{finding.LeftHand, 60, true, true},
		{finding.LeftHand, 64, true, true},
		{finding.LeftHand, 72, true, false},
		{finding.RightHand, 51, false, false},
		{finding.RightHand, 50, true, false},
		{finding.RightHand, 48, true, true},
	} {
		f := finding.Finding{Part: c.part}
		for s.Wants[f.Want].Hand != pattern.Hand(c.part) {
			f.Want++
		}
		assert.False(t, beyond(&f, s), "nothing was struck")
		f.Heard.Add(c.key)
		assert.Equal(t, c.beyond, beyond(&f, s), "%v %d", c.part, c.key)
		assert.Equal(t, c.others, others(&f, s), "%v %d", c.part, c.key)
		f.Want = -1
		assert.False(t, beyond(&f, s), "of no stroke")
	}
}
