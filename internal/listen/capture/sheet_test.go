package capture

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
)

// cellsOf counts the strokes in each cell of a hand.
func cellsOf(s *sheet, h pattern.Hand) (all []int) {
	for _, strokes := range s.rows[h] {
		all = append(all, len(strokes))
	}
	return all
}

// What was played is laid over the pattern's bars: five bars of a pattern of two.
func TestPlayingLaidOverThePattern(t *testing.T) {
	tk := takeOver(t, "C", "C3, G3, C3, C4, C3, G3, C3")
	tk.o.Hands = LeftAlone
	r := laid(2, 4, meter.Quarter, 0, 1, 2, 3, 4, 5, 8)
	r.length = 2
	s := tk.sheet(r)
	assert.Equal(t, []int{3, 2}, s.reps)
	assert.Equal(t, []int{3, 2, 1, 1}, cellsOf(s, pattern.Left))
	assert.False(t, s.plays(pattern.Right))
	assert.True(t, s.plays(pattern.Left))
	assert.Equal(t, 2, s.unsure(), "both of the second bar came once in two times")
	s.steady()
	assert.Equal(t, []int{3, 2, 1, 1}, cellsOf(s, pattern.Left))
	s.reps = []int{4, 4}
	assert.Equal(t, 1, s.unsure(), "two of four; one of four is none")
	s.steady()
	assert.Equal(t, []int{3, 2, 0, 0}, cellsOf(s, pattern.Left), "one of four is dropped")
}

// Two groups on one cell are one stroke.
func TestGroupsOnOneCell(t *testing.T) {
	tk := takeOver(t, "C", "G3, C3, C4")
	tk.o.Hands = LeftAlone
	s := tk.sheet(laid(2, 4, meter.Quarter, 0, 0, 1))
	assert.Equal(t, []int{1, 1}, cellsOf(s, pattern.Left))
	assert.Equal(t, []pitch.Num{48, 55}, []pitch.Num{s.rows[pattern.Left][0][0].notes[0].key, s.rows[pattern.Left][0][0].notes[1].key}, "from below")
}

func TestMoreThanHalf(t *testing.T) {
	two := func(st *stroke) bool { return len(st.notes) == 2 }
	assert.True(t, most(strokesOf(takeOver(t, "C", "C3 E3, C3, C3 G3")), two))
	assert.False(t, most(strokesOf(takeOver(t, "C", "C3 E3, C3")), two))
}
