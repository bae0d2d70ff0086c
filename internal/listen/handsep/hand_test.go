package handsep

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
)

// keys reads "C3 E4".
func keys(text string) (k pitch.Nums) {
	for _, word := range strings.Fields(text) {
		p, err := pitch.ParsePitch(word)
		if err != nil {
			panic(err)
		}
		k.Add(p.Num())
	}
	return k
}

func TestStrokesAreFoundByTheirPlaces(t *testing.T) {
	b := newBench(t, "4/4", "| C | F |", "two-beat")
	l, r := b.Hands[left], b.Hands[right]
	assert.Equal(t, 4, l.Len())
	assert.Equal(t, 0, l.StrokeAt(0, 0))
	assert.Equal(t, -1, l.StrokeAt(0, meter.Quarter), "the right hand's beat")
	assert.Equal(t, 0, r.StrokeAt(0, meter.Quarter))
	assert.Equal(t, 2, l.StrokeAt(0, meter.Whole))
	assert.Equal(t, 6, l.StrokeAt(1, meter.Whole), "in the second pass")
	assert.Equal(t, -1, l.StrokeAt(0, 2*meter.Whole), "after the end")
	assert.Equal(t, 1, l.FirstFrom(1))
	assert.Equal(t, 1, l.FirstFrom(meter.Half))
	assert.Equal(t, 4, l.FirstFrom(2*meter.Whole))
	assert.Equal(t, 1, l.Pass(6))
	assert.Equal(t, 0, l.Pass(3))
	assert.Equal(t, l.WantIndex(2), l.WantIndex(6))
	assert.Equal(t, meter.Whole, l.Want(6).At)
	free := newBench(t, "4/4", "| C |", "broken-up").Hands[right]
	assert.True(t, free.Free() && free.Over())
	assert.Equal(t, -1, free.StrokeAt(0, 0))
	free.Restart(1, 0)
	assert.Zero(t, free.Cursor)
}

func TestBeforeAPlace(t *testing.T) {
	h := newBench(t, "4/4", "| C | F |", "two-beat").Hands[left]
	for _, c := range []struct {
		cursor, pass int
		at           meter.Ticks
		loops, want  bool
	}{
		{0, 0, 0, false, false},
		{0, 0, 1, false, true},
		{1, 0, meter.Half, false, false},
		{1, 0, meter.Half + 1, false, true},
		{3, 1, 0, false, true},
		{4, 1, 0, true, false},
		{4, 1, 1, true, true},
		{5, 1, 0, true, false},
		{4, 2, 0, true, true},
		{4, 9, 9, false, false}, // over
	} {
		h.Cursor, h.Loops = c.cursor, c.loops
		assert.Equal(t, c.want, h.Before(c.pass, c.at), "%+v", c)
	}
	h.Loops, h.Cursor = false, 3
	assert.False(t, h.Over())
	h.Cursor = 4
	assert.True(t, h.Over())
}

// Sixteen strokes are remembered; what is older is forgotten.
func TestStrokesAreRememberedForAWhile(t *testing.T) {
	h := newBench(t, "4/4", "| C | F | G7 | C |", "driving-eighths").Hands[right]
	for j := range 20 {
		h.Stroke(j).Served = uint32(j)
	}
	_, ok := h.StrokeOf(h.WantIndex(3), 0)
	assert.False(t, ok)
	j, ok := h.StrokeOf(h.WantIndex(4), 0)
	assert.True(t, ok)
	assert.Equal(t, 4, j)
	_, ok = h.StrokeOf(h.WantIndex(4), 1)
	assert.False(t, ok, "of another pass")
	assert.Equal(t, uint32(19), h.Stroke(19).Served)
	assert.Zero(t, h.Stroke(20).Served, "made ready")
	h.Restart(0, 0)
	_, ok = h.StrokeOf(h.WantIndex(19), 0)
	assert.False(t, ok)
	h.Stroke(0)
	j, ok = h.StrokeOf(h.WantIndex(0), 0)
	assert.True(t, ok)
	assert.Zero(t, j, "the first is remembered as others are")
	assert.Zero(t, h.Cursor)
	assert.True(t, h.bearing.loose)
	h.Restart(1, meter.Whole)
	assert.Equal(t, h.Len()+8, h.Cursor)
}

func TestTheLastWholeChord(t *testing.T) {
	h := newBench(t, "4/4", "| C | F |", "block-half").Hands[right]
	assert.Nil(t, h.LastWhole(0))
	assert.Nil(t, h.LastWhole(2), "nothing is remembered")
	one := h.Stroke(1)
	assert.Same(t, one, h.LastWhole(2))
	assert.Same(t, one, h.LastWhole(3), "the nearest that is remembered")
	h.Stroke(2)
	assert.Equal(t, 2, h.LastWhole(3).Index)
	long := newBench(t, "4/4", "| C | F | G7 | C |", "driving-eighths").Hands[right]
	long.Stroke(0)
	assert.Equal(t, 0, long.LastWhole(15).Index)
	assert.Nil(t, long.LastWhole(16), "its room is the stroke's own")
}

// Where a hand lies is known by the middle of what it struck last.
func TestWhereAHandLies(t *testing.T) {
	for _, c := range []struct {
		heard       string
		drift, lift int
	}{
		{"C4 E4 G4", 0, 0},
		{"E4 G4 C5", 5, 0}, // its middle is a fourth higher
		{"C5 E5 G5", 12, 12},
		{"F4 A4 C5", 5, 0},
		{"Gb4 Bb4 Db5", 6, 12}, // nearer to an octave up
		{"C3 E3 G3", -12, -12},
		{"F3 A3 C4", -7, -12},
		{"Gb3 Bb3 Db4", -6, 0},
		{"", 0, 0},
	} {
		h := newBench(t, "4/4", "| C | F |", "block-whole").Hands[right]
		h.Stroke(0).Heard = keys(c.heard)
		h.Moved(0)
		assert.Equal(t, c.drift, h.bearing.drift, c.heard)
		assert.Equal(t, c.lift, h.bearing.lift, c.heard)
	}
	h := newBench(t, "4/4", "| C | F |", "low-high-middle-high").Hands[left]
	h.Stroke(0).Heard = keys("C4")
	h.Moved(0)
	assert.Equal(t, 12, h.bearing.drift)
	assert.Zero(t, h.bearing.lift, "a lone note is no chord that a figure may take up")
	assert.Equal(t, int(h.Want(1).Tones[0].Key)+12, h.middle(1))
	assert.Equal(t, h.Want(1).Tones[0].Key+12, h.Home(1))
}

func TestOctavesAreRounded(t *testing.T) {
	for semitones, want := range map[int]int{-19: -24, -18: -12, -7: -12, -6: 0, 0: 0, 5: 0, 6: 12, 12: 12, 17: 12, 18: 24, 24: 24} {
		assert.Equal(t, want, octaves(semitones), "%d semitones", semitones)
	}
}

// The octave of a figure is that of its first note, or that of the last chord.
func TestTheOctaveOfAFigure(t *testing.T) {
	for _, c := range []struct {
		name, first, next string
		lift              int
		displaced         bool
	}{
		{"as written", "C3", "G3", 0, false},
		{"all an octave lower", "C2", "G2", 0, false},
		{"the first note lower, the rest as the last chord", "C2", "G3", 0, false},
		{"the rest an octave lower than the first", "C2", "G1", 0, true},
		{"or lower", "C3", "G2", 0, true},
		{"as the last chord, which was lower", "C3", "G2", -12, false},
	} {
		b := newBench(t, "4/4", "| C | F |", "low-high-middle-high")
		h := b.Hands[left]
		b.open(1, 1).strike(c.first).told(left)
		h.bearing.lift = c.lift
		b.open(1, 1.5).strike(c.next)
		assert.Equal(t, c.displaced, b.displaced(h), c.name)
		b.told(left)
		assert.Equal(t, c.displaced, h.Stroke(1).OtherOctave, c.name)
	}
	b := newBench(t, "4/4", "| C | F |", "low-high-middle-high")
	h := b.Hands[left]
	b.open(1, 1).strike("C2").told(left)
	assert.Equal(t, -12, h.bearing.shift)
	h.Unsettle()
	b.open(1, 1.5).strike("G2").told(left)
	assert.Equal(t, -12, h.bearing.shift, "known anew by the next note")
	h.Unsettle()
	b.open(1, 2).strike("E3").told(left)
	assert.Equal(t, 0, h.bearing.shift)
	assert.False(t, h.bearing.loose)
}

// The highest keys of each harmony bound where a tune over a figure is its own.
func TestTops(t *testing.T) {
	h := newBench(t, "4/4", "| C | F |", "low-high-middle-high").Hands[left]
	for j := range h.Len() {
		most := pitch.Num(0)
		for i := range h.Len() {
			if h.Want(i).Harmony == h.Want(j).Harmony {
				most = max(most, h.Want(i).Tones[0].Key)
			}
		}
		assert.Equal(t, most, h.tops[j])
	}
}
