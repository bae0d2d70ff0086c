package finding

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestJoinedSummary(t *testing.T) {
	var a, b Summary
	a.Totals[WrongBass] = Total{Count: 1, Parts: 1 << LeftHand}
	a.addBar(BarCount{Bar: 3})
	a.Bars[0].Counts[WrongBass] = 1
	b.Totals[WrongBass] = Total{Count: 2, Parts: 1 << LeftHand}
	b.Totals[Late] = Total{Count: 1, Parts: 1<<LeftHand | 1<<RightHand}
	b.addBar(BarCount{Bar: 1})
	b.Bars[0].Counts[WrongBass], b.Bars[0].Counts[Late] = 2, 1
	got := a.Join(b)
	assert.Equal(t, 3, got.Count(WrongBass))
	assert.Equal(t, 4, got.Wrong())
	require.Len(t, got.Troubles, 2)
	assert.Equal(t, Trouble{Kind: WrongBass, Part: LeftHand, Bars: []int{1, 3}, Count: 3}, got.Troubles[0])
	assert.Equal(t, BothHands, got.Troubles[1].Part)
	assert.Len(t, a.Bars, 1, "the parts are left as they were")
}

func TestJoinedTimingIsThatOfAllStrokes(t *testing.T) {
	// 0, 0, 30 and 10, 20: mean 12, and a spread of sqrt(136) worked by hand.
	a := Timing{Strokes: 3, MeanMs: 10, SpreadMs: 14.142135623730951}
	b := Timing{Strokes: 2, MeanMs: 15, SpreadMs: 5}
	got := a.join(b)
	assert.Equal(t, 5, got.Strokes)
	assert.InDelta(t, 12, got.MeanMs, 1e-9)
	assert.InDelta(t, 11.661903789690601, got.SpreadMs, 1e-9)
}
