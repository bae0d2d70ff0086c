package handsep

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// The right hand's thumb comes a little before the bass and passes for it, and the
// left hand's stroke is told; only the last note shows whose it was.
func TestTheThumbThatPassedForTheBass(t *testing.T) {
	b := newBench(t, "4/4", "| F | Bb |", "block-half")
	b.open(1, 1).strike("F2 F5 A5 C6").told(left, right) // the right hand is looked for higher up
	b.open(2, 1).strike("Bb3").told(left).strike("D4 F4")
	b.Assign()
	assert.Equal(t, "Bb3 | D4 F4", b.who(), "what was told stays")
	b.strike("Bb2")
	b.Reconsider()
	assert.Equal(t, "Bb2 | Bb3 D4 F4", b.who())
	bass := b.Hands[left].Stroke(b.Onset.Open[left].Stroke)
	assert.Equal(t, keys("Bb2"), bass.Heard, "the stroke has the notes that are its own now")
	assert.True(t, bass.Judged && bass.Complete)
	assert.Equal(t, b.Onset.Start, bass.DoneAt, "it was told when it was told")
	assert.Equal(t, 0, b.Hands[left].bearing.drift, "and the hand lies where that is")
	whole, every := b.whole(b.Hands[right])
	assert.True(t, whole && every, "the chord can be told whole")
}

// Where nothing better is found, all stays as it was told.
func TestWhatWasToldStays(t *testing.T) {
	for _, c := range []struct {
		name, first, then, want string
	}{
		{"all is right", "F2", "F4 A4 C5", "F2 | F4 A4 C5"},
		{"a wrong note in the chord", "F2", "F4 B4 C5", "F2 | F4 B4 C5"},
		{"a note is missing", "F2", "F4 A4", "F2 | F4 A4"},
		{"the bass has no other note to stand for it", "F3", "F4 A4 D5", "F3 | F4 A4 D5"},
	} {
		b := newBench(t, "4/4", "| F | Bb |", "block-half").open(1, 1)
		b.strike(c.first).told(left).strike(c.then)
		kept := *b.Hands[left].Stroke(b.Onset.Open[left].Stroke)
		b.Reconsider()
		assert.Equal(t, c.want, b.who(), c.name)
		assert.Equal(t, kept, *b.Hands[left].Stroke(b.Onset.Open[left].Stroke), c.name)
		for _, n := range b.Onset.Notes() {
			assert.Equal(t, n.Hand == left, n.Taken, c.name)
		}
	}
}

// What was told must be right under the new division, too: the left hand's bass is
// not given up for a better right hand.
func TestNothingToldTurnsWrong(t *testing.T) {
	b := newBench(t, "4/4", "| F | Bb |", "block-half").open(1, 1)
	b.strike("F3").told(left).strike("A3 C4 F4")
	before := b.troubles()
	assert.Zero(t, before)
	b.Reconsider()
	assert.Equal(t, "F3 | A3 C4 F4", b.who())
}

func TestTroublesAreCounted(t *testing.T) {
	for _, c := range []struct {
		notes string
		beat  float64
		want  int
	}{
		{"F2 F4 A4 C5", 1, 0},
		{"F2 F4 A4", 1, 1},
		{"F2", 1, 3},
		{"F4 A4 C5", 1, 1},
		{"G2 F4 A4 C5", 1, 2}, // a note that belongs to nothing, and one that lacks
		{"G2 F4 B4 D5", 1, 6},
		{"F2 F4", 2, 2}, // nothing is open
	} {
		b := newBench(t, "4/4", "| F | Bb |", "block-half").open(1, c.beat).strike(c.notes)
		assert.Equal(t, c.want, b.troubles(), c.notes)
	}
	free := newBench(t, "4/4", "| F | Bb |", "broken-up").open(1, 1).strike("F3 E5")
	assert.Zero(t, free.troubles(), "a free hand has none")
	told := newBench(t, "4/4", "| F | Bb |", "block-half").open(1, 1).strike("F2").told(left).strike("A4")
	assert.Equal(t, 2, told.troubles(), "what was told lacks nothing")
}

// A hand that was looked for lower down: from there the wrong E3 would be the right
// hand's, but it is as wrong in either, and stays.
func TestWhatIsAsWrongStays(t *testing.T) {
	b := newBench(t, "4/4", "| F | Bb |", "block-half").open(1, 1)
	b.Hands[left].bearing.drift = -16
	b.strike("F2").told(left).strike("E3")
	assert.Equal(t, "F2 E3 |", b.who())
	b.Reconsider()
	assert.Equal(t, "F2 E3 |", b.who())
}
