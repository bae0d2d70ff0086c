package capture

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
)

// laid is groups laid on cells of a meter, as the last of them ends.
func laid(num, den int, ticks meter.Ticks, pos ...int) *interpretation {
	m := meter.Meter{Num: num, Den: den}
	r := &interpretation{pulse: &pulse{cell: beat.Seconds(), pos: pos}, meter: m, ticks: ticks, perBar: int(m.Bar() / ticks), length: 1}
	if n := len(pos); n > 0 {
		r.bars = pos[n-1]/r.perBar + 1
	}
	return r
}

// Places of the bar, the strongest first.
func TestStrongPlaces(t *testing.T) {
	four, three := laid(4, 4, meter.Sixteenth), laid(3, 4, meter.Eighth)
	six, twelve := laid(6, 8, meter.Eighth), laid(12, 8, meter.Eighth)
	thirds := laid(4, 4, meter.Triplet)
	assert.Greater(t, four.level(0), four.level(8))
	assert.Greater(t, four.level(8), four.level(4), "the middle of four beats")
	assert.Equal(t, four.level(4), four.level(12))
	assert.Greater(t, four.level(4), four.level(2))
	assert.Greater(t, four.level(2), four.level(1))
	assert.Equal(t, four.level(2), four.level(14))
	assert.Zero(t, four.level(15))
	assert.Equal(t, four.level(0), four.level(16), "the next bar")
	assert.Equal(t, four.level(8), four.level(24))
	assert.Equal(t, four.level(4), three.level(2))
	assert.Equal(t, four.level(4), six.level(3), "the second of two beats is no middle of four")
	assert.Equal(t, four.level(8), twelve.level(6))
	assert.Equal(t, four.level(2), six.level(1))
	assert.Equal(t, four.level(2), thirds.level(1), "a third of a beat")
	assert.Equal(t, four.level(4), thirds.level(3))
	assert.Zero(t, four.weakness(0))
	assert.Less(t, four.weakness(8), four.weakness(4))
	assert.Less(t, four.weakness(4), four.weakness(2))
	assert.InDelta(t, 1, four.weakness(2), 0)
}

// A stroke off the beat passes over the beat where nothing is struck on that.
func TestSyncopes(t *testing.T) {
	for _, c := range []struct {
		name   string
		pos    []int
		offset int
		over   int // the place that is passed over; 0 for none
	}{
		{"to the beat", []int{1, 2}, 0, 0},
		{"over the second beat", []int{1, 3}, 0, 2},
		{"over the second and the third", []int{1, 5}, 0, 4},
		{"over the barline", []int{7, 9}, 0, 8},
		{"from a beat over parts of it", []int{0, 2}, 0, 0},
		{"from the first to the next bar", []int{0, 8}, 0, 0},
		{"later in the bar", []int{0, 2}, 1, 2},
		{"later, to the beat", []int{0, 1}, 1, 0},
		{"later, from the beat on", []int{1, 3}, 1, 0},
	} {
		r := laid(4, 4, meter.Eighth, c.pos...)
		r.offset = c.offset
		want := 0.0
		if c.over > 0 {
			want = r.level(c.over) - r.level(c.pos[0]+c.offset)
			assert.Positive(t, want)
		}
		assert.Equal(t, want, r.passedOver(0, 2), c.name)
		assert.Zero(t, r.passedOver(1, 2), "the last passes over nothing")
	}
}

func TestWhatCountsAsLow(t *testing.T) {
	for _, c := range []struct {
		keys string
		want int
	}{
		{"C3, C4", 54},
		{"C4 E4, C3 G3, E3", 54},
		{"C3, D3", -1},
		{"C3 C4, D3 D4", -1},
		{"C3, A3", 52},
	} {
		assert.Equal(t, c.want, takeOver(t, "C", c.keys).lowLimit(), c.keys)
	}
}

// The lowest notes of each chord of a row.
func TestTheLowestNotesOfEachChord(t *testing.T) {
	tk := takeOver(t, "C F", "C3, C4, F2, F3, G2, C4")
	r := laid(2, 4, meter.Quarter, 0, 1, 2, 3, 4, 5)
	assert.Equal(t, []pitch.Num{43, 41}, r.bottoms(tk))
	r.closed = true
	assert.Len(t, r.counted(tk), 5)
}
