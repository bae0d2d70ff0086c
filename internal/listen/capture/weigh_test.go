package capture

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/music/meter"
	"undersong/internal/sheet/pattern"
)

// No stroke that tells threes from twos.
func TestThreesThatNothingShows(t *testing.T) {
	for _, c := range []struct {
		name     string
		num, den int
		ticks    meter.Ticks
		pos      []int

		unseenThree, unseenMiddle float64
	}{
		{"a waltz", 3, 4, meter.Quarter, []int{0, 1, 2, 3, 4, 5}, 0, 0},
		{"downbeats of three", 3, 4, meter.Quarter, []int{0, 3, 6}, 1, 0},
		{"downbeats of five", 5, 4, meter.Quarter, []int{0, 5}, 1, 0},
		{"downbeats of four", 4, 4, meter.Quarter, []int{0, 4}, 0, 0},
		{"downbeats of two", 2, 4, meter.Quarter, []int{0, 2}, 0, 0},
		{"beats of 6/8", 6, 8, meter.Eighth, []int{0, 3, 6, 9}, 1, 1},
		{"its third eighths", 6, 8, meter.Eighth, []int{0, 2, 3, 5}, 0, 1},
		{"its second eighths", 6, 8, meter.Eighth, []int{0, 3, 4}, 0, 0},
	} {
		r := laid(c.num, c.den, c.ticks, c.pos...)
		r.weighThrees(takeOver(t, "C", strings.TrimSuffix(strings.Repeat("C3, ", len(c.pos)), ", ")))
		f := &r.aspects
		assert.InDelta(t, c.unseenThree, f[unseenThree], 0, "%s: threes unseen", c.name)
		assert.InDelta(t, c.unseenMiddle, f[unseenMiddle], 0, "%s: second eighths unseen", c.name)
	}
}

// How the last bar ends, where each stroke lasts a cell.
func TestHowTheLastBarEnds(t *testing.T) {
	for _, c := range []struct {
		name   string
		r      *interpretation
		change func(r *interpretation, tk *take)

		off, closing float64
	}{
		{"full", laid(4, 4, meter.Quarter, 0, 1, 2, 3), nil, 0, 0},
		{"two beats are silent", laid(4, 4, meter.Quarter, 0, 0, 0, 1), nil, 2, 0},
		{"three eighths are", laid(4, 4, meter.Eighth, 0, 0, 0, 4), nil, 1.5, 0},
		{"it began a beat late", laid(4, 4, meter.Quarter, 0, 0, 0, 1), func(r *interpretation, _ *take) { r.offset = 1 }, 1, 0},
		{"it sounds on for two", laid(4, 4, meter.Quarter, 0, 1, 2, 3), func(_ *interpretation, tk *take) { tk.groups[3].notes[0].off += 2 * beat }, 2, 0},
		{"what was struck before sounds on", laid(4, 4, meter.Quarter, 0, 1, 2, 3), func(_ *interpretation, tk *take) { tk.groups[0].notes[0].off += 4 * beat }, 1, 0},
		{"a last stroke only ends it", laid(4, 4, meter.Quarter, 0, 1, 2, 4), func(r *interpretation, _ *take) { r.closed, r.bars = true, 1 }, 1, 1},
	} {
		tk := takeOver(t, "C", "C3, C3, C3, C3")
		if c.change != nil {
			c.change(c.r, tk)
		}
		c.r.weighEnd(tk)
		f := &c.r.aspects
		assert.InDelta(t, c.off, f[offEnd], 1e-9, "%s: off the end", c.name)
		assert.InDelta(t, c.closing, f[closing], 0, "%s: closing", c.name)
	}
}

// Where strokes fall, weighed by their places: the first of 4/4 is strong, the
// second weak.
func TestWhereStrokesFall(t *testing.T) {
	r := laid(4, 4, meter.Quarter, 0, 1, 2)
	weak, half := r.weakness(1), r.weakness(2)
	for _, c := range []struct {
		name, keys string
		velocities [3]int

		stroke, low, lowest, accent float64
	}{
		{"low on the first", "C3, C4, C4", [3]int{64, 64, 64}, (weak + half) / 3, 0, 0, 0},
		{"low on the second", "C4, C3, C4", [3]int{64, 64, 64}, (weak + half) / 3, weak, weak, 0},
		{"low on two, one of them the lowest", "C4, C3, E3", [3]int{64, 64, 64}, (weak + half) / 3, (weak + half) / 2, weak, 0},
		{"just low", "C3, F#3, C4", [3]int{64, 64, 64}, (weak + half) / 3, weak / 2, 0, 0},
		{"all alike", "C3, D3, C3", [3]int{64, 64, 64}, (weak + half) / 3, 0, 0, 0},
		{"an accent on the second", "C3, C3, C3", [3]int{64, 90, 64}, (weak + half) / 3, 0, 0, weak},
		{"a little louder", "C3, C3, C3", [3]int{64, 70, 64}, (weak + half) / 3, 0, 0, 0},
	} {
		tk := takeOver(t, "C", c.keys)
		for i, v := range c.velocities {
			tk.groups[i].notes[0].velocity = v
		}
		r := laid(4, 4, meter.Quarter, 0, 1, 2)
		r.weighStrokes(tk)
		f := &r.aspects
		assert.InDelta(t, c.stroke, f[weakStroke], 1e-9, "%s: strokes", c.name)
		assert.InDelta(t, c.low, f[weakLow], 1e-9, "%s: low ones", c.name)
		assert.InDelta(t, c.lowest, f[weakLowest], 1e-9, "%s: the lowest", c.name)
		assert.InDelta(t, c.accent, f[weakAccent], 1e-9, "%s: accents", c.name)
		assert.Zero(t, f[syncope], c.name)
	}
	off := laid(4, 4, meter.Eighth, 1, 3, 4)
	off.weighStrokes(takeOver(t, "C", "C3, C3, C3"))
	assert.InDelta(t, (off.level(2)-off.level(1))/3, off.aspects[syncope], 1e-9)
}

// marked lists the aspects that are not 0.
func marked(r *interpretation) (all []aspect) {
	for a, v := range r.aspects {
		if v != 0 {
			all = append(all, aspect(a))
		}
	}
	return all
}

func TestMetersAreMarked(t *testing.T) {
	for _, c := range []struct {
		num, den, length int
		want             []aspect
	}{
		{4, 4, 1, nil}, {4, 4, 2, nil},
		{3, 4, 1, []aspect{inThree}}, {3, 4, 2, []aspect{inThree}},
		{6, 8, 1, []aspect{inSix}}, {6, 8, 2, []aspect{inSix, shortPair}}, {6, 8, 3, []aspect{inSix}},
		{2, 4, 1, []aspect{inTwo}}, {2, 4, 2, []aspect{inTwo, shortPair}}, {2, 4, 4, []aspect{inTwo, shortPair}},
		{12, 8, 2, []aspect{inTwelve}},
		{5, 4, 2, []aspect{inFive}},
	} {
		r := laid(c.num, c.den, meter.Eighth)
		r.length = c.length
		r.weighMeter()
		assert.Equal(t, c.want, marked(r), "%d bars of %s", c.length, r.meter)
	}
}

func TestGridsAreMarked(t *testing.T) {
	even, uneven := pattern.Swing{}, pattern.Swing{Long: 2, Short: 1}
	for _, c := range []struct {
		num, den int
		ticks    meter.Ticks
		swing    pattern.Swing
		halves   bool
		want     []aspect
	}{
		{4, 4, meter.Quarter, even, true, nil},
		{4, 4, meter.Eighth, even, true, nil},
		{4, 4, meter.Eighth, uneven, false, []aspect{swung}},
		{4, 4, meter.Triplet, even, false, []aspect{triplets, sixteenths, manyFine}},
		{4, 4, meter.Triplet, even, true, []aspect{triplets, sixteenths, manyFine}},
		{4, 4, meter.Sixteenth, even, false, []aspect{sixteenths, manyFine}},
		{4, 4, meter.Sixteenth, even, true, []aspect{sixteenths, manyFine, againFine}},
		{3, 4, meter.Sixteenth, even, true, []aspect{sixteenths}},
		{2, 4, meter.Sixteenth, even, true, []aspect{sixteenths}},
		{6, 8, meter.Sixteenth, even, true, []aspect{sixteenths}},
		{5, 4, meter.Sixteenth, even, false, []aspect{sixteenths, manyFine}},
	} {
		r := laid(c.num, c.den, c.ticks)
		r.swing, r.halves = c.swing, c.halves
		r.weighGrid()
		assert.Equal(t, c.want, marked(r), "%s in %d ticks, swing %s, halves alike: %v", r.meter, c.ticks, c.swing, c.halves)
	}
}
