package capture

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/music/meter"
)

// A known tempo speaks for its beat, two of them and its parts, and for its bar.
func TestCellsOfAKnownTempo(t *testing.T) {
	tk := &take{}
	assert.Empty(t, tk.hints())
	tk.o.Tempo = 120
	assert.InDeltaSlice(t, []float64{1, 0.5, 0.25, 0.5 / 3, 0.125, 0.5 / 6}, tk.hints(), 1e-9)
	tk.o.Meter = meter.Meter{Num: 3, Den: 4}
	assert.InDeltaSlice(t, []float64{1, 0.5, 0.25, 0.5 / 3, 0.125, 0.5 / 6, 1.5}, tk.hints(), 1e-9)
}

// Of each meter the likeliest is kept, of equals the first.
func TestTheLikeliestOfEachMeter(t *testing.T) {
	costing := func(r *interpretation, cost float64) *interpretation { r.cost = cost; return r }
	first := costing(laid(4, 4, meter.Quarter), 2)
	all := keepLikelier(nil, first)
	all = keepLikelier(all, costing(laid(4, 4, meter.Eighth), 2))
	assert.Equal(t, []*interpretation{first}, all)
	three := costing(laid(3, 4, meter.Quarter), 5)
	all = keepLikelier(all, three)
	assert.Equal(t, []*interpretation{first, three}, all)
	better := costing(laid(4, 4, meter.Eighth), 1)
	all = keepLikelier(all, better)
	assert.Equal(t, []*interpretation{better, three}, all)
	all = keepLikelier(all, costing(laid(3, 4, meter.Eighth), 6))
	assert.Equal(t, []*interpretation{better, three}, all)
}

// The likeliest is taken where it is a pattern, with those that are about as likely.
func TestWhichInterpretationIsTaken(t *testing.T) {
	tk := takeOver(t, "C", "C3, C3, C3")
	_, err := tk.chosen(nil)
	assert.ErrorIs(t, err, errNoGrid)
	tk.o.OnBeat = 1
	_, err = tk.chosen(nil)
	assert.ErrorIs(t, err, errNoGrid)
	tk.o.OnBeat = 1.5
	_, err = tk.chosen(nil)
	assert.ErrorIs(t, err, errOnBeat)
	for _, c := range []struct {
		length, bars, slips int
		err                 error
	}{
		{1, 1, 0, nil}, {4, 4, 0, nil}, {5, 5, 0, errNoRepeat},
		{1, 5, 1, nil},         // a third of the strokes are slips
		{1, 5, 2, errNoRepeat}, // more
		{1, 4, 2, nil},         // in few bars
	} {
		r := laid(4, 4, meter.Quarter)
		r.length, r.bars, r.slips = c.length, c.bars, c.slips
		got, err := tk.chosen([]*interpretation{r})
		assert.Equal(t, c.err, err, "%+v", c)
		if err == nil {
			assert.Same(t, r, got)
		}
	}
	best, near, far := laid(4, 4, meter.Quarter), laid(3, 4, meter.Quarter), laid(6, 8, meter.Eighth)
	best.cost, near.cost, far.cost = 7, 7, 70
	got, err := tk.chosen([]*interpretation{best, near, far})
	assert.NoError(t, err)
	assert.Equal(t, []meter.Meter{near.meter}, got.rivals)
}

// The first note falls on a beat that was told, if the cells have it.
func TestWhereTheFirstNoteFalls(t *testing.T) {
	for _, c := range []struct {
		beat   float64
		ticks  meter.Ticks
		offset int
		ok     bool
	}{
		{0, meter.Quarter, 0, true}, {1, meter.Quarter, 0, true}, {2, meter.Quarter, 1, true}, {4, meter.Quarter, 3, true},
		{5, meter.Quarter, 0, false}, {2.5, meter.Quarter, 0, false},
		{2.5, meter.Eighth, 3, true}, {4.5, meter.Eighth, 7, true}, {2.25, meter.Eighth, 0, false},
	} {
		tk := takeOver(t, "C", "C3, C3")
		tk.o.OnBeat = c.beat
		p := &pulse{cell: beat.Seconds() * float64(c.ticks) / float64(meter.Quarter), pos: []int{0, 1}, line: []float64{0, 0.6}}
		r := tk.interpret(p, meter.Meter{Num: 4, Den: 4}, c.ticks)
		assert.Equal(t, c.ok, r != nil, "beat %g", c.beat)
		if r != nil {
			assert.Equal(t, c.offset, r.offset, "beat %g", c.beat)
		}
	}
}

// A tempo that nobody counts in is no interpretation, but where it was told; nor is
// what goes on for more than 64 bars.
func TestWhatIsNoInterpretation(t *testing.T) {
	for _, c := range []struct {
		name  string
		tempo float64 // of the quarters
		told  meter.Tempo
		last  int // quarters from the first stroke to the last
		want  bool
	}{
		{"usual", 100, 0, 1, true},
		{"slow", 42, 0, 1, true},
		{"too slow", 38, 0, 1, false},
		{"fast", 215, 0, 1, true},
		{"too fast", 225, 0, 1, false},
		{"as slow as was told", 35, 35, 1, true},
		{"as fast as was told", 240, 240, 1, true},
		{"slower than any", 10, 10, 1, false},
		{"faster than any", 500, 500, 1, false},
		{"64 bars", 100, 0, 63 * 4, true},
		{"65 bars", 100, 0, 64 * 4, false},
	} {
		tk := takeOver(t, "C", "C3, D3")
		tk.o.Tempo = c.told
		p := &pulse{cell: 60 / c.tempo, pos: []int{0, c.last}, line: []float64{0, 0}}
		assert.Equal(t, c.want, tk.interpret(p, meter.Meter{Num: 4, Den: 4}, meter.Quarter) != nil, c.name)
	}
}

// A last stroke on the downbeat, on the bass of the first, only ends the playing.
func TestALastStrokeThatOnlyEndsIt(t *testing.T) {
	for _, c := range []struct {
		name, keys string
		pos        []int
		closed     bool
		bars       int
	}{
		{"a waltz and its end", "C3, C4 E4, C4 E4, C3", []int{0, 1, 2, 3}, true, 1},
		{"an octave lower", "C3, C4 E4, C4 E4, C2", []int{0, 1, 2, 3}, true, 1},
		{"an octave higher", "C3, C4 E4, C4 E4, C4", []int{0, 1, 2, 3}, false, 2},
		{"on another note", "C3, C4 E4, C4 E4, B2", []int{0, 1, 2, 3}, false, 2},
		{"off the downbeat", "C3, C4 E4, C4 E4, C3", []int{0, 1, 2, 4}, false, 2},
		{"not alone in its bar", "C3, C4 E4, C3, C3", []int{0, 1, 3, 3}, false, 2},
		{"two strokes a bar are enough", "C3, C4, C3", []int{0, 1, 3}, true, 1},
		{"one a bar is the pattern", "C3, C3, C3", []int{0, 3, 6}, false, 3},
		{"two strokes in all", "C3, C3", []int{0, 3}, false, 2},
		{"no new bar", "C3, C4, C4", []int{0, 1, 2}, false, 1},
	} {
		r := laid(3, 4, meter.Quarter, c.pos...)
		r.bars = 0
		r.countBars(takeOver(t, "C", c.keys))
		assert.Equal(t, c.closed, r.closed, c.name)
		assert.Equal(t, c.bars, r.bars, c.name)
	}
}
