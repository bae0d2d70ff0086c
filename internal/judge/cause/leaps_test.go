package cause

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/finding"
)

// Eight bars of four strokes each, half a second apart, from 1 second on.
func TestWhichStrokeIsNearest(t *testing.T) {
	for name, c := range map[string]struct {
		r    reading
		loop bool
		at   float64
		want spot
	}{
		"the first":                      {reading{}, false, 1, spot{0, 0}},
		"before it":                      {reading{}, false, -3, spot{0, 0}},
		"just before":                    {reading{}, false, 0.8, spot{0, 0}},
		"nearer to the first":            {reading{}, false, 1.24, spot{0, 0}},
		"between: the first":             {reading{}, false, 1.25, spot{0, 0}},
		"nearer to the second":           {reading{}, false, 1.26, spot{0, 1}},
		"after the last":                 {reading{}, false, 16.95, spot{0, 31}},
		"long after":                     {reading{}, false, 20, spot{0, 31}},
		"a beat late":                    {reading{late: sec(0.5)}, false, 3, spot{0, 3}},
		"half as fast":                   {reading{pace: 0.5}, false, 3, spot{0, 2}},
		"before the second round":        {reading{}, true, 16.92, spot{0, 31}},
		"the second round":               {reading{}, true, 16.93, spot{1, 0}},
		"the third round":                {reading{}, true, 33.6, spot{2, 1}},
		"counted from the second round":  {reading{pass: 1}, true, 17.5, spot{1, 1}},
		"the third, counted from second": {reading{pass: 1}, true, 33.6, spot{2, 1}},
	} {
		assert.Equal(t, c.want, judgeOf(t, c.loop).spotAt(&c.r, sec(c.at)), name)
	}
	j := judgeOf(t, true)
	assert.Equal(t, spot{0, 1}, spot{0, 0}.next(j.places))
	assert.Equal(t, spot{0, 31}, spot{0, 30}.next(j.places))
	assert.Equal(t, spot{1, 0}, spot{0, 31}.next(j.places))
	for _, c := range []struct {
		a, b spot
		want bool
	}{{spot{0, 3}, spot{0, 3}, false}, {spot{0, 3}, spot{0, 4}, true}, {spot{0, 4}, spot{0, 3}, false}, {spot{0, 9}, spot{1, 0}, true}, {spot{1, 0}, spot{0, 9}, false}} {
		assert.Equal(t, c.want, c.a.before(c.b), "%v before %v", c.a, c.b)
	}
}

// A stroke after another, and where it would be so many seconds late: back, bars left out,
// or neither. Bar 3 begins at 5 seconds.
func TestWhoHasLeapt(t *testing.T) {
	const no = finding.NoCause
	for name, c := range map[string]struct {
		told       bool
		before, at float64 // seconds; before is 0 where nothing was struck before
		late       float64
		want       finding.CauseKind
		bar, to    int
	}{
		"the same stroke again":             {true, 5, 6, 1, finding.Restarted, 3, 3},
		"a bar back":                        {true, 5, 6, 3, finding.Restarted, 3, 2},
		"the next stroke, a beat late":      {true, 5, 6, 0.5, no, 0, 0},
		"three strokes left out":            {true, 6.5, 7, -1.5, no, 0, 0},
		"a bar left out":                    {true, 6.5, 7, -2, finding.Skipped, 4, 4},
		"two bars left out":                 {true, 6.5, 7, -4, finding.Skipped, 4, 5},
		"a bar's worth from within a bar":   {true, 5, 6, -1.5, finding.Skipped, 3, 3},
		"and two bars'":                     {true, 5, 6, -3.5, finding.Skipped, 4, 4},
		"a bar nearly":                      {true, 6.5, 7, -1.93, finding.Skipped, 4, 4},
		"nothing before: from where it is":  {true, 0, 7, -2, finding.Skipped, 4, 4},
		"nothing before, and no bar left":   {true, 0, 7, 0, no, 0, 0},
		"from the beginning, bars left out": {false, 0, 1, -4, finding.Skipped, 1, 2},
		"from the beginning, strokes":       {false, 0, 1, -1.5, no, 0, 0},
		"before it begins":                  {false, 0, 0.7, -4, no, 0, 0},
		"hardly before it begins":           {false, 0, 0.85, -4, finding.Skipped, 1, 2},
		"on into the next round":            {true, 15, 15.5, -3.5, no, 0, 0},
	} {
		j := judgeOf(t, true)
		j.told = c.told
		j.doubt.since = sec(4.8)
		ev := evidence{struck: []strike{{at: sec(c.before)}, {at: sec(c.at)}}}
		from := 1
		if c.before == 0 {
			ev.struck, from = ev.struck[1:], 0
		}
		got, ok := j.leapt(&reading{late: sec(c.late)}, &ev, from)
		assert.Equal(t, c.want != no, ok, name)
		if !ok {
			continue
		}
		assert.Equal(t, c.want, got.Kind, name)
		assert.Equal(t, []int{c.bar, c.to}, []int{got.Bar, got.ToBar}, name)
		assert.Equal(t, finding.BothHands, got.Hand, name)
		if c.want == finding.Restarted {
			assert.Equal(t, sec(c.at-c.before), got.Pause, name)
		}
	}
}
