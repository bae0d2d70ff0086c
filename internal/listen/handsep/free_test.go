package handsep

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
)

const sungTune = "| C | F |\nm: | E2 G2 c2 E2 | A2 F2 D2 F2 |"

// What notes of a free hand cost over a left hand's figure C3 E3 G3 C4; the tune is
// E G C5 E: 4 a note, and 10 a semitone under the margin of six over the figure.
func TestTheCostOfAFreeHand(t *testing.T) {
	for _, c := range []struct {
		name, bars, notes string
		change            func(b *bench)
		want              int
	}{
		{"far over the figure", "| C | F |", "E5", nil, 4},
		{"just clear of it", "| C | F |", "F#4", nil, 4},
		{"a semitone inside", "| C | F |", "F4", nil, 14},
		{"inside", "| C | F |", "G3", nil, 4 + 10*11},
		{"two notes", "| C | F |", "E5 G5", nil, 8},
		{"the figure lies an octave higher", "| C | F |", "F#5", func(b *bench) { b.Hands[left].bearing.drift = 12 }, 4},
		{"and inside it there", "| C | F |", "F5", func(b *bench) { b.Hands[left].bearing.drift = 12 }, 14},
		{"a note told of in its own hand", "| C | F |", "G3", func(b *bench) { b.Onset.notes[0].Taken = true }, 0},
		{"and in the other", "| C | F |", "G3", func(b *bench) { b.Onset.notes[0].Taken, b.Onset.notes[0].Hand = true, left }, 32},
		{"the left hand is over", "| C | F |", "G3", func(b *bench) { b.Onset.Open[left], b.Hands[left].Cursor = Nothing, b.Hands[left].Len() }, 4},
		{"where it loops it begins again", "| C | F |", "G3", func(b *bench) {
			b.Onset.Open[left], b.Hands[left].Cursor, b.Hands[left].Loops = Nothing, b.Hands[left].Len(), true
		}, 114},
		{"between its strokes the next counts", "| C | F |", "G3", func(b *bench) { b.Onset.Open[left] = Nothing }, 114},
		{"its keys were left out of account", "| C | F |", "E5", func(b *bench) { b.Onset.Alone, b.score.Only = true, score.LeftAlone }, 64},
		{"but it is the one that is judged", "| C | F |", "E5", func(b *bench) { b.Onset.Alone, b.score.Only = true, score.RightAlone }, 4},
		{"a note of the tune inside", sungTune, "E4", nil, 4},
		{"the tune's, under a hand that lies higher", sungTune, "E4", func(b *bench) { b.Hands[left].bearing.drift = 24 }, 4 + 10*(60+24+6-64)},
	} {
		b := newBench(t, "4/4", c.bars, "broken-up").open(1, 1)
		for i, k := 0, keys(c.notes); i < k.Len(); i++ {
			b.Onset.Add(Strike{Key: k.At(i), Hand: right})
		}
		if c.change != nil {
			c.change(b)
		}
		assert.Equal(t, c.want, b.freeCost(b.Hands[right], 0, b.Onset.n), c.name)
	}
	both := newBench(t, "4/4", "| N.C. | N.C. |", "broken-up").open(1, 1)
	both.Onset.Add(Strike{Key: 60})
	assert.Equal(t, 4, both.freeCost(both.Hands[right], 0, 1), "both hands are free")
}

// The same of notes over one that is the left hand's.
func TestTheCostOfTheUpperNotes(t *testing.T) {
	for _, c := range []struct {
		name, bars, notes string
		change            func(b *bench)
		want              int
	}{
		{"far over the figure", "| C | F |", "C3 E5 G5", nil, 2 * 4},
		{"both hands are free", "| N.C. | N.C. |", "C3 E5 G5", nil, 2 * 4},
		{"its keys were left out of account", "| C | F |", "C3 E5 G5", func(b *bench) { b.Onset.Alone, b.score.Only = true, score.LeftAlone }, 2 * 64},
		{"clear of the figure, but a semitone over the left hand's note", "| C | F |", "F#4 G4", nil, 4 + 2*24},
		{"over the stroke that is open, wherever the next is", "| C | F |", "C3 G3", func(b *bench) { b.Hands[left].Cursor = 8 }, 4 + 10*11},
	} {
		b := newBench(t, "4/4", c.bars, "broken-up").open(1, 1)
		for i, k := 0, keys(c.notes); i < k.Len(); i++ {
			b.Onset.Add(Strike{Key: k.At(i)})
		}
		if c.change != nil {
			c.change(b)
		}
		assert.Equal(t, c.want, b.freeCost(b.Hands[right], 1, b.Onset.n), c.name)
	}
}

// A free left hand under a right hand's figure, whose stroke is G5.
func TestTheCostOfAFreeLeftHand(t *testing.T) {
	b := newBench(t, "4/4", "| C | F |", "name: x\nmeter: 4/4\ngrid: eighths\nright: 5 3 1 3 5 3 1 3\n").open(1, 1)
	low := b.Hands[right].Want(0).Tones[0].Key
	cost := func(key pitch.Num) int {
		b.Onset.n = 0
		b.Onset.Add(Strike{Key: key, Hand: left})
		return b.freeCost(b.Hands[left], 0, 1)
	}
	assert.Equal(t, 4, cost(low-2))
	assert.Equal(t, 14, cost(low-1), "within a second of it")
	b.Hands[right].bearing.drift = 12
	assert.Equal(t, 4, cost(low+10))
	assert.Equal(t, 14, cost(low+11))
	b.Hands[right].bearing.drift = 0
	b.score.Only = score.RightAlone
	assert.Equal(t, 4, cost(low-7), "a hand that is not judged is farther away")
	assert.Equal(t, 14, cost(low-6))
}

// Two hands hardly come closer than a third.
func TestHandsDoNotCrowd(t *testing.T) {
	b := newBench(t, "4/4", sungTune, "broken-up").open(1, 1)
	cost := func(notes string, cut int) int {
		b.Onset.n = 0
		for i, k := 0, keys(notes); i < k.Len(); i++ {
			b.Onset.Add(Strike{Key: k.At(i)})
		}
		return b.crowding(b.Hands[right], cut, b.Onset.n)
	}
	assert.Equal(t, 0, cost("G3 A#3", 1), "a third")
	assert.Equal(t, 24, cost("G3 A3", 1))
	assert.Equal(t, 48, cost("G3 G#3", 1))
	assert.Equal(t, 0, cost("G3 A3", 0), "one hand has all")
	assert.Equal(t, 0, cost("G3 A3", 2))
	assert.Equal(t, 0, cost("Eb4 E4", 1), "the tune's own note may")
	b.Onset.n = 0
	for _, key := range []pitch.Num{60, 61} {
		b.Onset.Add(Strike{Key: key})
	}
	assert.Equal(t, 48, b.crowding(b.Hands[left], 0, 1), "the left hand's topmost against the right's")
	assert.Equal(t, 0, b.crowding(b.Hands[left], 0, 2))
	assert.Equal(t, 0, b.crowding(b.Hands[left], 0, 0))
}

// The tune is known within half a beat of its place, and octaves above it.
func TestNotesOfTheTune(t *testing.T) {
	b := newBench(t, "4/4", sungTune, "broken-up")
	at := func(place meter.Ticks, note string) (meter.Ticks, bool) {
		b.Onset.Place = place
		k := keys(note)
		return b.inTune(k.At(0))
	}
	for _, c := range []struct {
		place meter.Ticks
		note  string
		away  meter.Ticks
		ok    bool
	}{
		{0, "E4", 0, true},
		{0, "E5", 0, true},
		{0, "E3", 0, false},
		{0, "F4", 0, false},
		{meter.Eighth, "E4", meter.Eighth, true},
		{meter.Eighth + 1, "E4", 0, false},
		{meter.Eighth, "G4", meter.Eighth, true},
		{meter.Eighth - 1, "G4", 0, false},
		{meter.Quarter, "G4", 0, true},
		{2*meter.Whole - meter.Eighth, "F4", meter.Eighth, true},
	} {
		away, ok := at(c.place, c.note)
		assert.Equal(t, c.ok, ok, "%d %s", c.place, c.note)
		if c.ok {
			assert.Equal(t, c.away, away, "%d %s", c.place, c.note)
		}
	}
}

// A note of the tune is the right hand's where it lies over the left hand's stroke,
// or is three times nearer to its own place.
func TestTheTuneIsClearOfTheLeftHand(t *testing.T) {
	b := newBench(t, "4/4", sungTune, "name: x\nmeter: 4/4\ngrid: eighths\nleft: 1 3 5 3 1 3 5 3\n").open(1, 1)
	left, e4 := b.Hands[left], keys("E4")
	require.True(t, b.clearOf(left, 0, e4.At(0)), "over its stroke C3")
	left.bearing.drift = 24
	b.Onset.Place = 100
	assert.False(t, b.clearOf(left, 0, e4.At(0)), "under it, and as near to its place")
	left.bearing.drift = 16
	assert.False(t, b.clearOf(left, 0, e4.At(0)), "on its stroke's own key")
	left.bearing.drift = 24
	b.Onset.Place = 0
	assert.True(t, b.clearOf(left, 1, e4.At(0)), "its stroke is an eighth away, the tune's is here")
	b.Onset.Place = 120
	assert.False(t, b.clearOf(left, 1, e4.At(0)), "360 is no more than three times 120")
	b.Onset.Place = 119
	assert.True(t, b.clearOf(left, 1, e4.At(0)))
	b.Onset.Open[0] = Nothing
	b.Onset.Place = 120
	assert.True(t, b.clearOf(left, 1, e4.At(0)), "nothing is open there")
	f4 := keys("F4")
	assert.False(t, b.clearOf(left, 1, f4.At(0)), "no note of the tune")
}
