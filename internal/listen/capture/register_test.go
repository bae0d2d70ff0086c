package capture

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/test/sounding"
)

// A left hand that goes over its octave, and a right one that plays figures, lie
// elsewhere than others do.
func TestWideHands(t *testing.T) {
	for _, c := range []struct {
		name   string
		hand   pattern.Hand
		cells  string
		blocks bool
		want   bool
	}{
		{"within an octave", pattern.Left, "C3, F3 | G3, C4 | E3, A3 | B3, E4", false, false},
		{"an octave", pattern.Left, "C3, F3 | C4, F4", false, true},
		{"over one chord alone", pattern.Left, "C3, F3 | C4, C4", false, false},
		{"a tenth in one stroke", pattern.Left, "C3 E4, F3 A4", false, true},
		{"chords over a bass do not count", pattern.Left, "C2, F2 | C4 E4 G4, F4 A4 C5", true, false},
		{"but as figures", pattern.Left, "C2, F2 | C4 E4 G4, F4 A4 C5", false, true},
		{"a right hand's chords", pattern.Right, "C4 E4, F4 A4", false, false},
		{"its figures", pattern.Right, "C4, F4 | E4, A4", false, true},
	} {
		s := sheetOf(t, c.hand, "C F", c.cells)
		assert.Equal(t, c.want, s.wide(c.hand, c.blocks), c.name)
		first := s.registers(c.hand, c.blocks)[0]
		assert.Equal(t, c.want, first != usual[c.hand][0], c.name)
	}
	s := sheetOf(t, pattern.Left, "C F", "G3, A3 | C3, C4 | E3, F3")
	assert.Equal(t, pitch.Num(48), s.lowestOf(pattern.Left, mustChords(t, "C")[0]))
	assert.Equal(t, pitch.Num(53), s.lowestOf(pattern.Left, mustChords(t, "F")[0]))
}

// The lowest root over each chord, or the lowest key where none is struck.
func TestTheLowestRoots(t *testing.T) {
	for _, c := range []struct{ keys, want string }{
		{"C4", "C4"}, {"C4 C3", "C3"}, {"E3 C4", "C4"}, {"C4, E3", "C4"}, {"G3 E3", "E3"}, {"E4, G3, E3", "E3"}, {"E3, C4, C5", "C4"}, {"E3, C5, C4", "C4"},
	} {
		lowest, rooted := map[chord.Chord]pitch.Num{}, map[chord.Chord]bool{}
		noteLowest(strokesOf(takeOver(t, "C", c.keys)), lowest, rooted)
		assert.Equal(t, sounding.Keys(t, c.want)[0], lowest[mustChords(t, "C")[0]], c.keys)
	}
}

// From where up a hand plays, as pattern files say it.
func TestRegisters(t *testing.T) {
	for _, c := range []struct {
		name   string
		hand   pattern.Hand
		chords string
		cells  string
		want   string
	}{
		{"a bass in the usual register, from E2", pattern.Left, "C F G", "C3, F2, G2", "E2"},
		{"a bass from C3", pattern.Left, "C F G", "C3, F3, G3", "C3"},
		{"a bass from C2", pattern.Left, "C F G", "C2, F2, G2", "C2"},
		{"a bass from C1", pattern.Left, "C F G", "C1, F1, G1", "C1"},
		{"a figure of a tenth, from C2", pattern.Left, "C F G", "C2, F2, G2 | G2, C3, D3 | E3, A3, B3", "C2"},
		{"a right hand's figure from middle C", pattern.Right, "C F G", "C4, F4, G4 | E4, A4, B4 | G4, C5, D5", "C4"},
		{"from C5", pattern.Right, "C F G", "C5, F5, G5 | E5, A5, B5 | G5, C6, D6", "C5"},
	} {
		s := sheetOf(t, c.hand, c.chords, c.cells)
		s.setRegister(c.hand, false)
		assert.Equal(t, sounding.Keys(t, c.want)[0], s.low[c.hand], c.name)
	}
}

// Whole chords where a demonstration puts them, and an octave away.
func TestRegistersOfChords(t *testing.T) {
	for cells, want := range map[string]string{
		"C4 E4 G4, C4 F4 A4, B3 D4 G4": "G3",
		"C5 E5 G5, C5 F5 A5, B4 D5 G5": "G4",
	} {
		s := sheetOf(t, pattern.Right, "C F G", cells)
		s.setRegister(pattern.Right, true)
		assert.Equal(t, sounding.Keys(t, want)[0], s.low[pattern.Right], cells)
	}
	s := sheetOf(t, pattern.Right, "C F G", "C4 E4 G4, C4 F4 A4, B3 D4 G4")
	assert.Greater(t, s.blockScore(pattern.Right, 55), s.blockScore(pattern.Right, 67))
	assert.Greater(t, s.blockScore(pattern.Right, 55), s.blockScore(pattern.Right, 43))
	twice := sheetOf(t, pattern.Right, "C F G C F G", "C4 E4 G4, C4 F4 A4, B3 D4 G4, C4 E4 G4, C4 F4 A4, B3 D4 G4")
	assert.InDelta(t, s.blockScore(pattern.Right, 55), twice.blockScore(pattern.Right, 55), 1e-9, "however often")
	none := &sheet{t: s.t, r: s.r}
	assert.Zero(t, none.blockScore(pattern.Right, 55))
	off := func(keys string) float64 {
		return sheetOf(t, pattern.Right, "C F G", keys).blocksOff(pattern.Right, 55)
	}
	assert.InDelta(t, off("C4 E4 G4"), off("C5 E5 G5"), 1e-9, "an octave mark makes up for an octave")
	assert.InDelta(t, off("C4 E4 G4"), off("C4 E4 G4, G4, C4"), 1e-9, "what is no chord does not count")
	assert.Less(t, off("C4 E4 G4"), off("E4 G4 C5"))
}

func TestStrokesByTime(t *testing.T) {
	s := sheetOf(t, pattern.Left, "C", "C3, C3, C3 | | G3, G3, G3 | E3")
	var got []float64
	for _, st := range s.inTime(pattern.Left) {
		got = append(got, st.at)
	}
	assert.Equal(t, []float64{0, 2, 3, 4, 6, 8, 10}, got)
}
