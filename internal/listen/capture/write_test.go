package capture

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/meter"
	"undersong/internal/sheet/pattern"
)

// rowOf is a row of a pattern.
func rowOf(cells ...pattern.Cell) []pattern.Cell { return cells }

// How long notes are held: to the next stroke of their hand, or as long as they
// were, told in cells; a bar of 4/4, whose beats the text names.
func TestHowLongNotesAreHeld(t *testing.T) {
	for _, c := range []struct {
		name string
		hits []hit
		want string
		free bool
	}{
		{"to the next", []hit{{0, 2.9, 64, "C3"}, {3, 0.95, 64, "E3"}}, "1 - - 3", false},
		{"two beats of three", []hit{{0, 1.8, 64, "C3"}, {3, 0.95, 64, "E3"}}, "1 - . 3", true},
		{"one of three", []hit{{0, 0.9, 64, "C3"}, {3, 0.95, 64, "E3"}}, "1 . . 3", true},
		{"short", []hit{{0, 0.2, 64, "C3"}, {3, 0.95, 64, "E3"}}, "1 . . 3", true},
		{"over the barline", []hit{{0, 0.95, 64, "C3"}, {1, 2.9, 64, "E3"}}, "1 3 - -", false},
		{"the last for one beat", []hit{{0, 0.95, 64, "C3"}, {1, 0.9, 64, "E3"}}, "1 3 . .", true},
		{"the last for two beats", []hit{{0, 0.95, 64, "C3"}, {1, 1.8, 64, "E3"}}, "1 3 - .", true},
		{"three strokes", []hit{{0, 0.95, 64, "C3"}, {1, 1.8, 64, "E3"}, {3, 0.9, 64, "C4"}}, "1 3 - 8", false},
	} {
		got := captured(t, again(c.hits, 3, 4), Options{Meter: meter.Meter{Num: 4, Den: 4}, Tempo: 100, Hands: LeftAlone})
		assert.Equal(t, "left: "+c.want, strings.Join(strings.Fields(grids(got)), " "), c.name)
		assert.Equal(t, c.free, got.Pattern.Free, c.name)
	}
}

// Before the first stroke of a row there is a rest, unless its last is held over.
func TestHowARowBegins(t *testing.T) {
	rest, hold, one := pattern.Cell{}, pattern.Cell{Kind: pattern.Hold}, pattern.Cell{Kind: pattern.Tones, Tones: []pattern.Tone{{Degree: 1}}}
	for _, c := range []struct{ row, want []pattern.Cell }{
		{rowOf(hold, hold, one, rest), rowOf(rest, rest, one, rest)},
		{rowOf(hold, one, hold, hold), rowOf(hold, one, hold, hold)},
		{rowOf(hold, one, hold, one), rowOf(hold, one, hold, one)},
		{rowOf(one, hold, hold, rest), rowOf(one, hold, hold, rest)},
		{rowOf(hold, one, hold, rest), rowOf(rest, one, hold, rest)},
	} {
		w := &writer{p: &pattern.Pattern{Rows: [2][]pattern.Cell{c.row, nil}}}
		w.noHeldStart()
		assert.Equal(t, c.want, w.p.Rows[0])
	}
	assert.Equal(t, []int{1, 3}, strikes(rowOf(hold, one, rest, one)))
}

// The coarsest grid on which all strokes lie.
func TestTheCoarsestGrid(t *testing.T) {
	swing := pattern.Swing{Long: 2, Short: 1}
	for _, c := range []struct {
		num, den int
		ticks    meter.Ticks
		swing    pattern.Swing
		struck   []int
		want     pattern.Grid
		ok       bool
	}{
		{4, 4, meter.Eighth, pattern.Swing{}, []int{0}, pattern.Bars, true},
		{4, 4, meter.Eighth, pattern.Swing{}, []int{0, 4}, pattern.Halves, true},
		{4, 4, meter.Eighth, pattern.Swing{}, []int{0, 2}, pattern.Quarters, true},
		{4, 4, meter.Eighth, pattern.Swing{}, []int{0, 3}, pattern.Eighths, true},
		{4, 4, meter.Sixteenth, pattern.Swing{}, []int{0, 3}, pattern.Sixteenths, true},
		{4, 4, meter.Triplet, pattern.Swing{}, []int{0, 2}, pattern.Triplets, true},
		{3, 4, meter.Eighth, pattern.Swing{}, []int{0, 4}, pattern.Quarters, true}, // halves do not fill the bar
		{6, 8, meter.Eighth, pattern.Swing{}, []int{0, 3}, pattern.Beats, true},
		{6, 8, meter.Eighth, pattern.Swing{}, []int{0, 2}, pattern.Quarters, true},
		{6, 8, meter.Eighth, pattern.Swing{}, []int{0, 1}, pattern.Eighths, true},
		{4, 4, meter.Eighth, swing, []int{0}, pattern.Eighths, true},
		{4, 4, meter.Sixteenth, swing, []int{0}, pattern.Sixteenths, true},
	} {
		s := &sheet{r: laid(c.num, c.den, c.ticks)}
		s.r.swing = c.swing
		s.rows[pattern.Left] = make([][]stroke, s.r.perBar)
		for _, i := range c.struck {
			s.rows[pattern.Left][i] = []stroke{{}}
		}
		got, ok := s.grid()
		assert.Equal(t, c.ok, ok)
		assert.Equal(t, c.want, got, "%s, cells of %d ticks, %v", s.r.meter, c.ticks, c.struck)
	}
}

// A voicing for both hands lies in the register from which all its roots are met.
func TestTheRegisterOfASharedVoicing(t *testing.T) {
	for _, c := range []struct {
		keys string
		want int
	}{
		{"C3 G3 E4, F2 C3 A3", 40},
		{"C2 G2 E3, F2 C3 A3", 36},
		{"C3 G3 E4, F3 C4 A4", 48},
		{"C3 G3 E4, F5 C6 A6", 40}, // none fits: the usual one
	} {
		s := sheetOf(t, pattern.Left, "C F", c.keys)
		s.r.bars, s.shape = 2, pattern.Open
		w := &writer{sheet: s, p: &pattern.Pattern{}, width: 1}
		w.shareRows(pattern.Open)
		assert.Equal(t, c.want, int(w.p.Register[pattern.Left]), c.keys)
		for h := range w.p.Rows {
			require.Len(t, w.p.Rows[h], 1)
			assert.Equal(t, "cho", w.p.Rows[h][0].String())
		}
	}
}

// How often a pattern was played is counted up.
func TestHowOftenItWasPlayed(t *testing.T) {
	two := []hit{{0, 0.95, 64, "C3"}, {1, 0.95, 64, "G3"}, {2, 0.95, 64, "C4"}, {3, 0.95, 64, "G3"}, {4, 0.95, 64, "E3"}, {5, 0.95, 64, "G3"}, {6, 0.95, 64, "E4"}, {7, 0.95, 64, "G3"}}
	o := Options{Meter: meter.Meter{Num: 4, Den: 4}, Tempo: 100, Hands: LeftAlone}
	c := captured(t, again(two, 2, 8), o)
	assert.Equal(t, 2, c.Times)
	assert.Equal(t, 4, c.Bars)
	c = captured(t, again(two, 3, 8), o)
	assert.Equal(t, 3, c.Times)
	part := again(two, 3, 8)
	for _, h := range two[:4] {
		h.at += 24
		part = append(part, h)
	}
	c = captured(t, part, o)
	assert.Equal(t, 2, c.Pattern.Length)
	assert.Equal(t, 7, c.Bars)
	assert.Equal(t, 4, c.Times, "three times and a half")
}
