package capture

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/sheet/pattern"
)

// Where cells begin, in cells of mean length: swung two to one the second of each
// pair comes a third of a cell late.
func TestWhereCellsBegin(t *testing.T) {
	even, swung := pattern.Swing{}, pattern.Swing{Long: 2, Short: 1}
	for pos, want := range []float64{0, 4. / 3, 2, 2 + 4./3, 4} {
		assert.InDelta(t, want, place(swung, pos), 1e-9)
		assert.InDelta(t, pos, place(even, pos), 0)
	}
	for _, c := range []struct {
		swing pattern.Swing
		at    float64
		want  int
	}{
		{even, 0, 0}, {even, 0.4, 0}, {even, 0.6, 1}, {even, -0.6, -1}, {even, 3.9, 4},
		{swung, 0.6, 0}, {swung, 0.7, 1}, {swung, 1.6, 1}, {swung, 1.7, 2}, {swung, 2, 2}, {swung, 2.66, 2}, {swung, 2.68, 3}, {swung, 3.9, 4},
	} {
		assert.Equal(t, c.want, nearest(c.swing, c.at), "%.2f, swing %s", c.at, c.swing)
	}
}

// Pulses of about the same length say the same, unless one of them swings.
func TestPulsesThatSayTheSame(t *testing.T) {
	swung := pattern.Swing{Long: 2, Short: 1}
	all := []pulse{
		{cell: 0.5, cost: 1}, {cell: 0.501, cost: 2}, {cell: 0.499, cost: 3}, {cell: 0.5, swing: swung, cost: 4},
		{cell: 0.25, cost: 5}, {cell: 0.5, swing: swung, cost: 6}, {cell: 0.6, cost: 7}, {cell: 0.251, cost: 8},
	}
	var costs []float64
	for _, p := range distinct(all) {
		costs = append(costs, p.cost)
	}
	assert.Equal(t, []float64{1, 4, 5, 7}, costs, "the first of each")
}

// Lengths that a cell may have: the distances between strokes, and their parts.
func TestCellsToTry(t *testing.T) {
	has := func(all []float64, want float64) bool {
		for _, c := range all {
			if c > want*0.99 && c < want*1.01 {
				return true
			}
		}
		return false
	}
	all := cells([]float64{10, 10.6, 11.2, 11.8}, nil)
	for _, want := range []float64{1.2, 0.6, 0.4, 0.3, 0.15, 0.075} {
		assert.True(t, has(all, want), "%.3f", want)
	}
	for _, not := range []float64{1.8, 10, 0.9, 0.05} {
		assert.False(t, has(all, not), "%.3f: no distance between neighbours, nor to the next but one", not)
	}
	assert.IsIncreasing(t, all)
	assert.True(t, has(cells([]float64{0, 0.6}, []float64{2.5}), 2.5), "a hint")
	assert.False(t, has(cells([]float64{0, 20}, nil), 20), "longer than any bar")
}

// Strokes on a pulse: evenly, with one left out, with a slight drift.
func TestStrokesOnAPulse(t *testing.T) {
	for _, c := range []struct {
		name  string
		times []float64
		cell  float64
		swing pattern.Swing
		pos   []int
		mean  float64
	}{
		{"even", []float64{0, 0.5, 1, 1.5}, 0.5, pattern.Swing{}, []int{0, 1, 2, 3}, 0.5},
		{"about", []float64{0, 0.5, 1, 1.5}, 0.48, pattern.Swing{}, []int{0, 1, 2, 3}, 0.5},
		{"two left out", []float64{0, 0.5, 2}, 0.5, pattern.Swing{}, []int{0, 1, 4}, 0.5},
		{"slower and slower", []float64{0, 0.5, 1.02, 1.56, 2.12, 2.7, 3.3}, 0.5, pattern.Swing{}, []int{0, 1, 2, 3, 4, 5, 6}, 0.55},
		{"swung", []float64{0, 0.4, 0.6, 1, 1.2}, 0.3, pattern.Swing{Long: 2, Short: 1}, []int{0, 1, 2, 3, 4}, 0.3},
		{"two on one cell", []float64{0, 0.05, 1}, 0.5, pattern.Swing{}, []int{0, 0, 2}, 0.5},
		{"none goes back", []float64{0, 1, 1.01}, 1, pattern.Swing{}, []int{0, 1, 1}, 1},
	} {
		p := trackPulse(c.times, c.cell, c.swing)
		assert.Equal(t, c.pos, p.pos, c.name)
		assert.InDelta(t, c.mean, p.cell, 0.03, c.name)
	}
	steady, uneven := trackPulse([]float64{0, 0.5, 1, 1.5, 2}, 0.5, pattern.Swing{}), trackPulse([]float64{0, 0.54, 1, 1.46, 2}, 0.5, pattern.Swing{})
	assert.Less(t, steady.cost, uneven.cost, "an even playing fits better")
	fine := trackPulse([]float64{0, 0.5, 1, 1.5, 2}, 0.125, pattern.Swing{})
	assert.Less(t, steady.cost, fine.cost, "a fine grid catches anything")
	assert.InDeltaSlice(t, []float64{0, 0.5, 1, 1.5, 2}, steady.line, 1e-9)
	assert.Equal(t, 2, steady.offbeats())
	late := trackPulse([]float64{7, 7.5, 8, 8.5}, 0.5, pattern.Swing{})
	assert.InDeltaSlice(t, []float64{7, 7.5, 8, 8.5}, late.line, 1e-9)
	assert.InDelta(t, 0.5, late.cell, 1e-9)
	one := trackPulse([]float64{3, 3.02}, 0.5, pattern.Swing{})
	assert.Equal(t, []int{0, 0}, one.pos)
	assert.InDeltaSlice(t, []float64{3.01, 3.01}, one.line, 0.005, "on one place the middle counts")
	assert.InDelta(t, 0.5, one.cell, 0, "nothing tells its length")
}
