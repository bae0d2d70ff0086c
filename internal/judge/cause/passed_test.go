package cause

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/finding"
	"undersong/internal/test/sounding"
)

// What was told of in one round says nothing of the next, and what was passed in one is
// passed in the next again.
func TestStrokesThatWerePassedInARound(t *testing.T) {
	const ok, no = finding.Right, finding.Missing
	type told struct {
		kind               finding.Kind
		pass, want, second int
	}
	for name, c := range map[string]struct {
		told []told
		nats float64
		of   [2]int
	}{
		"passed in both":                   {[]told{{ok, 0, 0, -1}, {ok, 0, 2, -1}, {ok, 1, 0, -1}, {ok, 1, 2, -1}}, 2 * ofMistake, [2]int{0, 2}},
		"told of in the second":            {[]told{{ok, 1, 0, -1}, {no, 1, 1, -1}, {ok, 1, 2, -1}}, 0, [2]int{}},
		"told of in the first":             {[]told{{no, 0, 1, -1}, {ok, 1, 0, -1}, {ok, 1, 2, -1}}, ofMistake, [2]int{0, 1}},
		"two told of at once":              {[]told{{ok, 1, 0, -1}, {no, 1, 1, 2}, {ok, 1, 3, -1}}, 0, [2]int{}},
		"two told of in the first":         {[]told{{no, 0, 1, 2}, {ok, 1, 0, -1}, {ok, 1, 3, -1}}, 2 * ofMistake, [2]int{1, 1}},
		"two told of in the third":         {[]told{{ok, 2, 4, -1}, {no, 2, 5, 6}, {ok, 2, 7, -1}}, 0, [2]int{}},
		"two bars, as many as are passed":  {[]told{{ok, 0, 0, -1}, {ok, 0, 8, -1}}, 4*ofMistake + 3*ofMore, [2]int{3, 4}},
		"and three strokes of a bar again": {[]told{{ok, 0, 0, -1}, {ok, 0, 8, -1}, {ok, 0, 12, -1}}, 6*ofMistake + 4*ofMore, [2]int{4, 6}},
	} {
		j := ledBy(t)
		p := passed{score: j.Score, seen: map[int]bool{}}
		nats := 0.0
		for _, x := range c.told {
			f := stroke(j.Score, x.kind, x.pass, x.want)
			f.Second = x.second
			nats += p.take(f)
		}
		assert.InDelta(t, c.nats, nats, 1e-9, name)
		assert.Equal(t, c.of, p.of, name)
	}
}

// Where both hands strike together, what one hand leaves out is missed by other means: it
// does not lie on the way.
func TestStrokesAtOneTimeAreNotOnTheWay(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", eight, "block-whole")
	p := passed{score: s, seen: map[int]bool{}}
	for want := 0; want < 8; want += 2 {
		assert.Equal(t, s.Wants[want].At, s.Wants[want+1].At)
		assert.Zero(t, p.take(stroke(s, finding.Right, 0, want)), "bar %d", want/2+1)
	}
	assert.Equal(t, [2]int{}, p.of)
}

// Once a hand has rested for two bars it is looked for again after four, counted from its
// last stroke.
func TestAHandThatRestsOn(t *testing.T) {
	j := ledBy(t)
	j.never = [2]bool{}
	for _, c := range []struct {
		want  int
		looks bool
	}{{2, false}, {11, true}, {15, false}, {17, false}, {19, true}, {27, false}, {31, false}} {
		j.led.looks = false
		j.rests(stroke(j.Score, finding.Right, 0, c.want))
		assert.Equal(t, c.looks, j.led.looks, "stroke %d", c.want)
	}
	again := ledBy(t)
	again.rests(stroke(again.Score, finding.Right, 0, 4))
	again.rests(stroke(again.Score, finding.Right, 0, 1))
	assert.Equal(t, again.Score.Wants[1].At, again.led.rests[0].at, "who goes back begins anew")
	f := stroke(again.Score, finding.Right, 0, 8)
	f.Part = finding.BothHands
	again.rests(f)
	assert.Equal(t, again.Score.Wants[8].At, again.led.rests[0].at, "a stroke of both hands")
	assert.Equal(t, again.led.rests[0].at, again.led.rests[1].at)
}
