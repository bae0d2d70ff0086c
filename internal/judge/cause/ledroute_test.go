package cause

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/finding"
	"undersong/internal/judge/flow"
	"undersong/internal/test/sounding"
)

// What was struck and the follower must go the same way: bars left out lead nowhere back,
// and who went back is not ahead.
func TestLeapsThatAgree(t *testing.T) {
	wentBack := flow.Break{Kind: finding.WentBack, Bar: 6, ToBar: 4}
	leftOut := flow.Break{Kind: finding.LostBeat, Bar: 4, ToBar: 7, Beats: -8}
	beats := flow.Break{Kind: finding.LostBeat, Bar: 4, ToBar: 5, Beats: -3}
	stop := flow.Break{Kind: finding.Stopped, Bar: 4, ToBar: 5}
	for name, c := range map[string]struct {
		b    flow.Break
		back bool
		want bool
	}{
		"back":                               {wentBack, true, true},
		"back, and ahead by what was struck": {wentBack, false, false},
		"ahead":                              {leftOut, false, true},
		"ahead, and back by what was struck": {leftOut, true, false},
		"beats too few, back":                {beats, true, true},
		"beats too few, ahead":               {beats, false, true},
		"a stop, then back":                  {stop, true, true},
		"a stop, then ahead":                 {stop, false, true},
	} {
		assert.Equal(t, c.want, agrees(&c.b, c.back), name)
	}
}

// After a leap the player must be right in some bars and harmonies for it to be sure.
func TestWhenALeapIsSure(t *testing.T) {
	right := func(bar int) finding.Finding { return mistake(finding.Right, finding.LeftHand, bar, 1) }
	wrong := mistake(finding.WrongBass, finding.LeftHand, 0, 1)
	// told is one right stroke in each of some bars after another, and one more, that is wrong, in some of them.
	told := func(bars, wrongs int) (all []finding.Finding) {
		for bar := 1; bar <= bars; bar++ {
			if all = append(all, right(bar)); bar > bars-wrongs {
				all = append(all, mistake(finding.WrongBass, finding.LeftHand, bar, 1))
			}
		}
		return all
	}
	for name, c := range map[string]struct {
		told []finding.Finding // in the harmony of its bar
		sure bool
		on   bool
	}{
		"nothing yet":                  {nil, false, true},
		"four strokes, two bars":       {[]finding.Finding{right(1), right(1), right(2), right(2)}, true, true},
		"three":                        {[]finding.Finding{right(1), right(2), right(3)}, false, true},
		"four in a bar":                {[]finding.Finding{right(1), right(1), right(1), right(1)}, false, true},
		"one wrong in one of seven":    {told(7, 1), true, true},
		"in two of seven":              {told(7, 2), false, true},
		"in two of eight, and so well": {told(8, 2), true, true},
		"one in four wrong":            {[]finding.Finding{right(1), wrong, right(2), right(2), right(3)}, true, true},
		"two in seven":                 {[]finding.Finding{right(1), wrong, right(2), wrong, right(3), right(3), right(4)}, false, true},
		"four wrong":                   {[]finding.Finding{wrong, wrong, wrong, wrong}, false, true},
		"five":                         {[]finding.Finding{wrong, wrong, wrong, wrong, wrong}, false, false},
		"five, and one right":          {[]finding.Finding{right(1), wrong, wrong, wrong, wrong, wrong}, false, true},
	} {
		a := away{on: true, bar: -1, harmony: -1}
		for i := range c.told {
			a.count(&c.told[i], c.told[i].Bar)
		}
		assert.Equal(t, c.sure, a.sure(), name)
		assert.Equal(t, c.on, a.on, name)
	}
	a := away{on: true, bar: -1, harmony: -1}
	for bar := range 4 {
		f := right(bar)
		a.count(&f, 7)
	}
	assert.False(t, a.sure(), "four bars of one harmony")
	a = away{}
	f := right(1)
	a.count(&f, 1)
	assert.Equal(t, away{}, a, "nobody leapt")
}

// Who leaves two bars out leaps ahead; had the follower gone back, that would be none.
func TestALeapTheOtherWayIsNone(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", sixteen, "two-beat")
	j := New(s, leading)
	for _, ev := range slowly(rearranged(s, 0, bars(1, 6), bars(9, 12))) {
		j.Feed(ev)
	}
	way := j.led.away.way
	r, ok := j.route(&way, true)
	assert.True(t, ok)
	assert.Equal(t, []int{5, 8}, []int{j.led.moments[r.left].bar, j.led.moments[r.to].bar}, "bars from 0")
	way.Kind = finding.WentBack
	_, ok = j.route(&way, true)
	assert.False(t, ok)
}
