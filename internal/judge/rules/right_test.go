package rules

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/judge/finding"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/test/sounding"
)

const ms = time.Millisecond

// keys reads "C3 E4".
func keys(t testing.TB, text string) (k pitch.Nums) {
	t.Helper()
	return pitch.NumsOf(sounding.Keys(t, text)...)
}

// want is what a pattern wants of a hand at a beat of a bar, counted from 1.
func want(t testing.TB, s *score.Score, h pattern.Hand, bar int, beat float64) *score.Want {
	t.Helper()
	for i := range s.Wants {
		if w := &s.Wants[i]; w.Hand == h && w.Bar == bar-1 && w.Beat == beat {
			return w
		}
	}
	require.Fail(t, "nothing is wanted there")
	return nil
}

// Of several things that are wrong with a stroke, the one that the hand must mend
// first is told.
func TestAWholeStroke(t *testing.T) {
	late := 200 * ms
	for _, c := range []struct {
		name  string
		whole Whole
		want  finding.Kind
	}{
		{"nothing is wrong", Whole{Tolerance: 80 * ms}, finding.Right},
		{"late", Whole{Offset: late, Tolerance: 80 * ms}, finding.Late},
		{"early", Whole{Offset: -late, Tolerance: 80 * ms}, finding.Early},
		{"as late as usual", Whole{Offset: 90 * ms, Usual: 40 * ms, Tolerance: 80 * ms}, finding.Right},
		{"one by one", Whole{Spread: true, Offset: late}, finding.Spread},
		{"in another octave", Whole{OtherOctave: true, Spread: true, Offset: late}, finding.WrongNote},
		{"another note on top than the tune's", Whole{Buried: true, OtherOctave: true}, finding.WrongInversion},
		{"turned over", Whole{Turned: true, OtherOctave: true, Spread: true, Offset: late}, finding.WrongInversion},
		{"a bass among the chords", Whole{Misplaced: true, Turned: true, Offset: late}, finding.WrongBass},
	} {
		assert.Equal(t, c.want, c.whole.Kind(), c.name)
	}
}

// At 80 ms to either side, with a habit of 30 ms.
func TestOffTheBeat(t *testing.T) {
	for _, c := range []struct {
		off, usual time.Duration
		want       finding.Kind
	}{
		{0, 0, finding.Right},
		{80 * ms, 0, finding.Right},
		{80*ms + 1, 0, finding.Late},
		{-80 * ms, 0, finding.Right},
		{-80*ms - 1, 0, finding.Early},
		{110 * ms, 30 * ms, finding.Right},
		{110*ms + 1, 30 * ms, finding.Late},
		{80 * ms, -30 * ms, finding.Right}, // far from the habit, but on the beat
		{-110 * ms, -30 * ms, finding.Right},
		{-110*ms - 1, -30 * ms, finding.Early},
		{-80 * ms, 30 * ms, finding.Right},
	} {
		assert.Equal(t, c.want, OffBeat(c.off, c.usual, 80*ms), "%v, usually %v", c.off, c.usual)
	}
}

func TestHowFarIsInTime(t *testing.T) {
	for _, c := range []struct {
		level     Level
		beat, gap time.Duration
		want      time.Duration
	}{
		{Steady, 500 * ms, time.Second, 85 * ms},
		{Steady, 850 * ms, time.Second, 85 * ms},
		{Steady, time.Second, time.Second, 100 * ms}, // a tenth of a slow beat
		{Steady, 500 * ms, 100 * ms, 47 * ms},        // hardly half of a short gap
		{Gentle, 500 * ms, time.Second, 120 * ms},
		{Gentle, time.Second, time.Second, 130 * ms},
		{Gentle, 500 * ms, 100 * ms, 48 * ms},
		{Strict, 500 * ms, time.Second, 40 * ms},
		{Strict, time.Second, time.Second, 50 * ms},
		{Strict, 500 * ms, 100 * ms, 35 * ms},
	} {
		assert.Equal(t, c.want, c.level.Tolerance(c.beat, c.gap), "%s: %v, %v", c.level.Name, c.beat, c.gap)
	}
}

func TestLevelsByName(t *testing.T) {
	for _, l := range []Level{Gentle, Steady, Strict} {
		got, err := ParseLevel(l.Name)
		assert.NoError(t, err)
		assert.Equal(t, l, got)
	}
	_, err := ParseLevel("kind")
	assert.EqualError(t, err, `level "kind" is not one of gentle, steady, strict`)
}

// A habit is known after twelve strokes, is at most 50 ms, and is not made by one slip.
func TestHabit(t *testing.T) {
	var h Habit
	for i := range 12 {
		assert.Zero(t, h.Usual(), "after %d strokes", i)
		h.Add(20 * ms)
	}
	assert.InDelta(t, 20*ms, h.Usual(), 1)
	h.Add(10 * time.Second)
	assert.InDelta(t, 20*ms+(150*ms-20*ms)/13, h.Usual(), float64(ms)/10, "a slip counts as 150 ms")
	var early Habit
	for range 100 {
		early.Add(-200 * ms)
	}
	assert.Equal(t, -50*ms, early.Usual())
	early.Add(-10 * time.Second)
	assert.InDelta(t, -150*ms, early.mean, float64(ms)/10)
	for range 100 {
		early.Add(30 * ms)
	}
	assert.InDelta(t, 30*ms, early.Usual(), float64(3*ms), "what was long ago is forgotten")
	var late Habit
	for range 24 {
		late.Add(60 * ms)
	}
	assert.Equal(t, 50*ms, late.Usual())
	late.Add(0)
	assert.InDelta(t, 60*ms*23/24, late.mean, 1, "each stroke weighs a twenty-fourth")
}

// A chord is spread from twice its tolerance on, and from 100 ms on; it begins in
// time.
func TestSpread(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", "| C | F |", "block-whole")
	chord, bass := want(t, s, pattern.Right, 1, 1), want(t, s, pattern.Left, 1, 1)
	rolled := want(t, sounding.ScoreOf(t, "4/4", "| C | F |", "rolled-whole"), pattern.Right, 1, 1)
	for _, c := range []struct {
		w                      *score.Want
		first, last, tolerance time.Duration
		want                   bool
	}{
		{chord, 0, 170 * ms, 85 * ms, false},
		{chord, 0, 170*ms + 1, 85 * ms, true},
		{chord, 100 * ms, 270 * ms, 85 * ms, false},
		{chord, 100 * ms, 270*ms + 1, 85 * ms, true},
		{chord, -85 * ms, 200 * ms, 85 * ms, true},
		{chord, -85*ms - 1, 200 * ms, 85 * ms, false},
		{chord, 0, 100 * ms, 30 * ms, false},
		{chord, 0, 100*ms + 1, 30 * ms, true},
		{bass, 0, 300 * ms, 85 * ms, false},
		{rolled, 0, 300 * ms, 85 * ms, false},
	} {
		assert.Equal(t, c.want, Spread(c.w, c.first, c.last, c.tolerance), "%v to %v", c.first, c.last)
	}
}
