package finding

import (
	"encoding/json"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/sheet/pattern"
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

// Worked by hand.
func TestTimingOfStrokes(t *testing.T) {
	s, _, _ := twoBars(t)
	tally := NewTally(s)
	ms := func(n float64) time.Duration { return time.Duration(n * float64(time.Millisecond)) }
	tally.Time(pattern.Right, 0, ms(30))
	tally.Time(pattern.Right, time.Second, ms(-10))
	for i := range 15 {
		tally.Time(pattern.Left, 3*time.Second+time.Duration(i)*500*time.Millisecond, ms(float64(2*i)))
	}
	sum := tally.Summary()
	assert.Equal(t, Timing{Strokes: 2, MeanMs: 10, SpreadMs: 20}, sum.Timing[RightHand], "30 and -10")
	assert.Equal(t, 15, sum.Timing[LeftHand].Strokes)
	assert.InDelta(t, 14, sum.Timing[LeftHand].MeanMs, 1e-9)
	assert.Zero(t, sum.Timing[LeftHand].DriftMs, "fewer than sixteen are chance")
	tally.Time(pattern.Left, 10500*time.Millisecond, ms(30))
	left := tally.Summary().Timing[LeftHand]
	assert.InDelta(t, 15, left.MeanMs, 1e-9)
	assert.InDelta(t, 9.2195444572928871, left.SpreadMs, 1e-9, "the square root of 85")
	assert.InDelta(t, 30, left.DriftMs, 1e-9, "2 ms from stroke to stroke, fifteen times")
	none := NewTally(s)
	assert.Equal(t, [2]Timing{}, none.Summary().Timing)

	still := NewTally(s)
	for range 20 {
		still.Time(pattern.Left, time.Second, ms(5))
	}
	assert.Equal(t, Timing{Strokes: 20, MeanMs: 5}, still.Summary().Timing[LeftHand], "all at one moment there is no drift")
	assert.Equal(t, left.DriftMs, left.join(Timing{Strokes: 3, DriftMs: -9}).DriftMs, "the longer take's tendency")
	assert.Equal(t, -9.0, Timing{Strokes: 2, DriftMs: 7}.join(Timing{Strokes: 3, DriftMs: -9}).DriftMs)
	assert.Equal(t, 7.0, Timing{Strokes: 3, DriftMs: 7}.join(Timing{Strokes: 3, DriftMs: -9}).DriftMs, "of two as long the first")
	assert.Equal(t, Timing{}, Timing{}.join(Timing{}))
}

func TestASummaryIsTheSameThroughJSON(t *testing.T) {
	s, bass, chord := twoBars(t)
	tally := NewTally(s)
	tally.Count(&Finding{Kind: Right, Want: bass[0]})
	tally.Count(&Finding{Kind: Missing, Part: RightHand, Bar: 1, Want: chord[1], Heard: keys(t, "G4"), Goal: keys(t, "G4", "F5")})
	tally.Time(pattern.Left, time.Second, time.Millisecond)
	sum := tally.Summary()
	sum.Basses = BassSummary{Bars: []BassBar{{3, Misfit, -1}}, All: 4, Leading: 3}
	sum.Tune = TuneSummary{
		Phrases: []PhraseSummary{{0, true, false, 2, 5}}, Found: 1, Whole: true, Hardest: 4, HardestMiss: 3, Task: TaskSummary{true, false, 2, 1},
	}
	text, err := json.Marshal(sum)
	require.NoError(t, err)
	assert.Contains(t, string(text), `"totals":{"missing":{"count":1,"hands":2,"aspects":[0,1,0,0,0,0],"lacked":64},"right":{`)
	assert.Contains(t, string(text), `"bars":[{"bar":1,"counts":{"right":1}},{"bar":2,"counts":{"missing":1}}]`)
	assert.Contains(t, string(text), `"troubles":[{"kind":"missing","hand":"right","bars":[2],"count":1,"aspect":"tones","lacked":64}]`)
	back := Summary{Totals: Totals{Late: {Count: 9}}}
	require.NoError(t, json.Unmarshal(text, &back))
	assert.Equal(t, sum, back, "and nothing that was there before")

	for _, broken := range []string{`{"totals":{"wrong":{}}}`, `{"totals":3}`, `{"bars":[{"counts":{"late":"x"}}]}`, `{"troubles":[{"aspect":"bad"}]}`} {
		assert.Error(t, json.Unmarshal([]byte(broken), &back), broken)
	}
}

func TestOfWhichHandATroubleIs(t *testing.T) {
	for want, set := range map[Part][]PartSet{LeftHand: {1}, RightHand: {2}, BothHands: {0, 3, 4, 7, 9, 16}, Foot: {8}} {
		for _, s := range set {
			assert.Equal(t, want, s.Only(), s)
		}
	}
	assert.Equal(t, []Part{LeftHand, RightHand}, []Part{PartOf(pattern.Left), PartOf(pattern.Right)})
}

// Bars stand in the order in which they are played: an intro's before all others.
func TestBarsAreSummedInOrder(t *testing.T) {
	bars := func(numbers ...int) (s Summary) {
		for _, n := range numbers {
			b := BarCount{Bar: n}
			b.Counts[Late] = 1
			s.addBar(b)
		}
		return s
	}
	var got []int
	sum := bars(3, 1, 3).Join(bars(2, -2, -1, 3))
	for _, b := range sum.Bars {
		got = append(got, b.Bar)
	}
	assert.Equal(t, []int{-1, -2, 1, 2, 3}, got)
	assert.Equal(t, 3, sum.Bars[4].Counts[Late])
	assert.Equal(t, 1, sum.Bars[0].Counts[Late])
}
