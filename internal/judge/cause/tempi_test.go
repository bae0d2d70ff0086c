package cause

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/test/sounding"
)

// C again and again is right in any tempo, where all is in C; E, which comes with every second
// beat, in one, or in one twice as fast.
func TestTwoTempiMayFit(t *testing.T) {
	for name, c := range map[string]struct {
		key  pitch.Num
		beat float64 // seconds
		want []float64
	}{
		"C, slower":       {60, 0.7, []float64{0.5 / 0.7}},
		"E, slower":       {64, 0.7, []float64{0.5 / 0.7, 1 / 0.7}},
		"E, a bit faster": {64, 0.45, []float64{0.5 / 0.45, 1 / 0.45}},
		"C, a third":      {60, 1.5, []float64{1. / 3}},
		"E, a third":      {64, 1.5, []float64{2. / 3, 1. / 3}},
	} {
		s := sounding.ScoreOf(t, "4/4", "| C | C | C | C | C | C | C | C |", "two-beat")
		j := listening(s, false)
		var ev evidence
		for i := range 8 {
			ev.struck = append(ev.struck, strike{key: c.key, at: sec(1 + c.beat*float64(i)), opens: true})
		}
		var got []float64
		for _, r := range j.paces(&ev) {
			got = append(got, r.pace)
		}
		if assert.Len(t, got, len(c.want), name) {
			assert.InDeltaSlice(t, c.want, got, 1e-6, name)
		}
	}
}

// Six strokes, one each second: lines through the first and the fifth. Each explains so many
// strokes, less the places that it leaves out; none is nearly the click's tempo, or beyond
// three times it.
func TestLinesThroughTwoStrokes(t *testing.T) {
	for up := range pitch.Num(2) {
		j := judgeOf(t, false)
		ev := strokesAt(j, 1, 2, 3, 4, 5, 6)
		for i := range ev.struck {
			ev.struck[i].key += up
		}
		ev.present.up = int(up)
		got := map[float64]int{}
		for _, c := range j.lines(nil, &ev, &ev.struck[0], &ev.struck[4], []int{0, 1, 2, 3, 4, 5}, 4) {
			if c.r.late == 0 {
				got[c.r.pace] = c.explained
			}
			assert.LessOrEqual(t, j.inScore(&c.r, sec(1)), 750*ms, "it begins not far from where it would")
		}
		assert.Equal(t, map[float64]int{
			0.5: 6, 0.625: 2 - 1, 0.875: 2 - 3, 1.125: 2 - 5, 1.375: 2 - 7, 2.5: 4 - 16, 2.625: 2 - 17, 2.875: 2 - 19,
		}, got, "%d up", up)
	}
	j := judgeOf(t, false)
	ev := strokesAt(j, 1, 2, 3, 4, 5)
	fastest := 0.0
	for _, c := range j.lines(nil, &ev, &ev.struck[0], &ev.struck[4], nil, 4) {
		fastest = max(fastest, c.r.pace)
	}
	assert.InDelta(t, 3, fastest, 1e-9, "three times as fast just may be")
}

// A line goes on through the end of a round: half as fast, over the last two beats of one and
// the first two of the next.
func TestALineThroughTheEndOfARound(t *testing.T) {
	j := judgeOf(t, true)
	var ev evidence
	for i := range 8 {
		p := &j.places[(28+i)%32]
		ev.struck = append(ev.struck, strike{key: p.wants[0].Tones[0].Key, at: sec(9 + float64(i)), opens: true})
	}
	r := reading{pace: 0.495, late: sec(13 - 16/0.495 - 1)} // the next round begins at 13 seconds
	j.fit(&r, &ev)
	assert.InDelta(t, 0.5, r.pace, 1e-6)
	assert.InDelta(t, 13-32-1, r.late.Seconds(), 1e-6)
}

// Where two tempi cross just as the last stroke comes, one still takes the place of the other.
func TestATempoBeginsWithTheLastStroke(t *testing.T) {
	for last, want := range map[float64]change{9: {leave: sec(8.925), enter: sec(8.85)}, 8.999: {leave: sec(5), enter: sec(5)}} {
		j := judgeOf(t, false)
		j.told, j.doubt.since = true, sec(5)
		ev := strokesAt(j, 5, 6, 7, 8, last)
		assert.Equal(t, want, j.crossing(&reading{pace: 0.5, late: sec(-8)}, &ev), "the last at %g", last)
	}
}

// Hands have each other's part where that lies in their reach: the left hand's an octave or two
// higher, the right hand's as much lower.
func TestHandsAreCrossedByTheirReach(t *testing.T) {
	lowest := func(wants []score.Want, h pattern.Hand) (key pitch.Num) {
		key = 127
		for i := range wants {
			if w := &wants[i]; w.Hand == h {
				key = min(key, w.Tones[0].Key)
			}
		}
		return key
	}
	for name, want := range map[string][][2]pitch.Num{
		"pedal-tonic": {{12, -12}, {24, -12}, {12, -24}, {24, -24}},
		"two-beat":    {{24, -12}, {12, -24}, {24, -24}},
	} {
		s := sounding.ScoreOf(t, "4/4", eight, name)
		var got [][2]pitch.Num
		for _, r := range listening(s, false).swaps() {
			var up [2]pitch.Num
			for h := range up {
				up[h] = lowest(r.score.Wants, pattern.Hand(h).Other()) - lowest(s.Wants, pattern.Hand(h))
			}
			got = append(got, up)
		}
		assert.Equal(t, want, got, name)
	}
}
