package cause

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/finding"
	"undersong/internal/judge/flow"
	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
)

// strikeMoments strikes moments of the score, from a time on, a beat of 500 ms after
// another, and returns when the next would come.
func strikeMoments(j *Judge, at float64, from, to int) float64 {
	wanted := j.led.wanted(j)
	for k := from; k <= to; k++ {
		for i := range j.Score.Wants {
			if w := &j.Score.Wants[i]; w.At == wanted[k].place {
				for _, key := range w.Keys() {
					j.kept.add(event.On(sec(at), uint8(key), 70))
				}
			}
		}
		j.led.open.at = sec(at)
		at += 0.5
	}
	return at
}

// What is played must fit a new place better than the old one: by less for who went back
// or left bars out and plays on well, by most for who seems to be ahead, or back in time.
func TestHowMuchBetterANewPlaceMustFit(t *testing.T) {
	const back, lost, stop = finding.WentBack, finding.LostBeat, finding.Stopped
	for name, c := range map[string]struct {
		b                   flow.Break
		clean, back, inTime bool
		want                float64
	}{
		"ahead":                       {flow.Break{Kind: lost, Bar: 1, ToBar: 4}, false, false, false, aheadEvidence},
		"back":                        {flow.Break{Kind: back}, false, true, false, leapEvidence},
		"back in time":                {flow.Break{Kind: back}, false, true, true, aheadEvidence},
		"back, and well":              {flow.Break{Kind: back}, true, true, false, cleanEvidence},
		"back in time, and well":      {flow.Break{Kind: back}, true, true, true, aheadEvidence},
		"bars left out, and well":     {flow.Break{Kind: lost, Bar: 1, ToBar: 3}, true, false, false, cleanAhead},
		"the next bar, and well":      {flow.Break{Kind: lost, Bar: 1, ToBar: 2}, true, false, false, stopEvidence},
		"a beat too few, and well":    {flow.Break{Kind: lost, Beats: -1}, true, false, false, cleanAhead},
		"a beat too few, back, well":  {flow.Break{Kind: lost, Beats: -1}, true, true, false, cleanEvidence},
		"a beat too many, and well":   {flow.Break{Kind: lost, Beats: 1}, true, false, false, stopEvidence},
		"a stop, and well":            {flow.Break{Kind: stop}, true, false, false, stopEvidence},
		"a stop, and not so well":     {flow.Break{Kind: stop}, false, false, false, aheadEvidence},
		"into the next round, well":   {flow.Break{Kind: lost, Bar: 1, ToBar: 5, ToPass: 1}, true, false, false, stopEvidence},
		"a beat too few, not so well": {flow.Break{Kind: lost, Beats: -1}, false, true, true, aheadEvidence},
	} {
		assert.Equal(t, c.want, least(&c.b, c.clean, c.back, c.inTime), name)
	}
	assert.Less(t, cleanEvidence, cleanAhead, "more is asked for ahead than back")
	assert.Less(t, leapEvidence, aheadEvidence)
}

// Who plays on well is right in three bars and harmonies, and wrong in a quarter at most.
func TestWhoPlaysOnWell(t *testing.T) {
	for name, c := range map[string]struct {
		bars, harmonies, wrongBars int
		want                       bool
	}{
		"three bars":            {3, 3, 0, true},
		"two":                   {2, 3, 0, false},
		"two harmonies":         {3, 2, 0, false},
		"one in four wrong":     {4, 3, 1, true},
		"one in three":          {3, 3, 1, false},
		"two in eight":          {8, 8, 2, true},
		"two in seven":          {7, 7, 2, false},
		"nothing right so far":  {0, 0, 0, false},
		"many bars of one kind": {9, 1, 0, false},
	} {
		l := away{bars: c.bars, harmonies: c.harmonies, wrongBars: c.wrongBars}
		assert.Equal(t, c.want, l.clean(), name)
	}
	assert.True(t, (&away{right: 6, wrong: 2, bars: 2, harmonies: 2}).sure(), "three times as many as are wrong")
	assert.False(t, (&away{right: 5, wrong: 2, bars: 2, harmonies: 2}).sure())
	// Mistakes of a bar count as one bar, the first of all too.
	for name, c := range map[string]struct {
		bars []int
		want int
	}{"one": {[]int{0}, 1}, "two in the first bar": {[]int{0, 0}, 1}, "in two bars": {[]int{0, 0, 1}, 2}, "to and fro": {[]int{2, 3, 2}, 3}} {
		l := away{on: true, bar: -1, harmony: -1}
		for _, bar := range c.bars {
			f := mistake(finding.WrongBass, finding.LeftHand, bar, 1)
			l.count(&f, bar)
		}
		assert.Equal(t, c.want, l.wrongBars, name)
	}
}

// Four bars are played, and then something else: back, ahead, or just on.
func TestTheRouteOfALeap(t *testing.T) {
	bar := meter.Ticks(meter.Whole)
	last := 3*bar + 3*meter.Quarter
	for name, c := range map[string]struct {
		pause    float64 // seconds
		from, to int     // moments that are struck after it
		clean    bool
		b        flow.Break
		ok       bool
	}{
		"two bars back after a pause":  {1, 8, 19, false, flow.Break{Kind: finding.WentBack, Bar: 3, To: 2 * bar, ToBar: 2}, true},
		"the same, and well":           {1, 8, 19, true, flow.Break{Kind: finding.WentBack, Bar: 3, To: 2 * bar, ToBar: 2}, true},
		"back in time":                 {0, 8, 19, false, flow.Break{Kind: finding.WentBack, Bar: 3, To: 2 * bar, ToBar: 2}, false},
		"back in time, and well":       {0, 8, 19, true, flow.Break{Kind: finding.WentBack, Bar: 3, To: 2 * bar, ToBar: 2}, true},
		"two bars left out, and well":  {0, 24, 31, true, flow.Break{Kind: finding.LostBeat, Bar: 3, To: 6 * bar, ToBar: 6}, true},
		"on after a pause":             {1, 16, 27, false, flow.Break{Kind: finding.Stopped, Bar: 3, To: 4 * bar, ToBar: 4}, false},
		"on in time":                   {0, 16, 27, true, flow.Break{Kind: finding.LostBeat, Bar: 3, To: 4 * bar, ToBar: 4}, false},
		"too few strokes to go by yet": {1, 8, 8, true, flow.Break{Kind: finding.WentBack, Bar: 3, To: 2 * bar, ToBar: 2}, false},
	} {
		j := ledBy(t)
		ends := strikeMoments(j, 1, 0, 15)
		strikeMoments(j, ends+c.pause, c.from, c.to)
		c.b.At, c.b.Left, c.b.Since = last, sec(ends-0.5), sec(ends+c.pause)
		r, ok := j.route(&c.b, c.clean)
		assert.Equal(t, c.ok, ok, name)
		if !c.ok || !ok {
			continue
		}
		assert.Equal(t, []int{15, c.from}, []int{r.left, r.to}, name)
		assert.Equal(t, sec(ends-0.5), r.before, name)
		assert.Equal(t, sec(0.5+c.pause), r.pause, name)
	}
}

// A leap is found in another key, too.
func TestTheRouteOfALeapInAnotherKey(t *testing.T) {
	bar := meter.Ticks(meter.Whole)
	for _, up := range []int{2, -10, 14} {
		j := ledBy(t)
		ends := strikeMoments(j, 1, 0, 15)
		strikeMoments(j, ends+1, 8, 19)
		j.reading.up = up
		for i := range j.kept.n {
			j.kept.ring[i].Data1 += 2
		}
		r, ok := j.route(&flow.Break{Kind: finding.WentBack, Bar: 3, At: 3*bar + 3*meter.Quarter, To: 2 * bar, ToBar: 2, Left: sec(ends - 0.5), Since: sec(ends + 1)}, false)
		assert.True(t, ok, "%d up", up)
		assert.Equal(t, []int{15, 8}, []int{r.left, r.to}, "%d up", up)
	}
}

// Of many bars that were sure the latest sixteen are known.
func TestTheLatestBarsBeforeALeap(t *testing.T) {
	j := ledBy(t)
	strikeMoments(j, 1, 0, 31)
	strikeMoments(j, 17, 0, 31)
	for n := 1; n <= 20; n++ {
		j.led.anchored++
		j.led.anchors[n%mostAnchored] = anchor{n % 8, sec(float64(n))}
	}
	struck, _ := j.beforeLeap(&flow.Break{At: meter.Whole, Left: sec(27)})
	if assert.NotEmpty(t, struck) {
		assert.Equal(t, sec(17), struck[0].when)
	}
}

// What is looked at begins with a bar that was sure, from one to five bars before the
// leap; else four bars before, wherever that was.
func TestWhatWasStruckBeforeALeap(t *testing.T) {
	bar := meter.Ticks(meter.Whole)
	for name, c := range map[string]struct {
		anchors []anchor
		begins  float64 // seconds
		places  [2]int  // moments: from where to where it may begin in the score
	}{
		"a sure bar":               {[]anchor{{1, sec(7)}}, 7, [2]int{4, 4}},
		"the first of two":         {[]anchor{{1, sec(7)}, {2, sec(9)}}, 7, [2]int{4, 4}},
		"just a bar before":        {[]anchor{{5, sec(15)}}, 15, [2]int{20, 20}},
		"less than a bar before":   {[]anchor{{5, sec(15.1)}}, 9, [2]int{0, 23}},
		"five bars before":         {[]anchor{{0, sec(7)}}, 7, [2]int{0, 0}},
		"more than that":           {[]anchor{{0, sec(6.9)}}, 9, [2]int{0, 23}},
		"nothing that was sure":    {nil, 9, [2]int{0, 23}},
		"too early, and well then": {[]anchor{{0, sec(3)}, {3, sec(9)}}, 9, [2]int{12, 12}},
	} {
		j := ledBy(t)
		strikeMoments(j, 1, 0, 31)
		for _, a := range c.anchors {
			j.led.anchored++
			j.led.anchors[j.led.anchored%mostAnchored] = a
		}
		struck, begins := j.beforeLeap(&flow.Break{At: 5*bar + 3*meter.Quarter, Left: sec(17)})
		if assert.NotEmpty(t, struck, name) {
			assert.Equal(t, sec(c.begins), struck[0].when, name)
			assert.Equal(t, sec(16.5), struck[len(struck)-1].when, name)
		}
		for k := range j.led.wanted(j) {
			assert.Equal(t, k >= c.places[0] && k <= c.places[1], begins(&j.led.moments[k]), "%s: moment %d", name, k)
		}
	}
	j := ledBy(t)
	strikeMoments(j, 1, 0, 31)
	_, begins := j.beforeLeap(&flow.Break{At: 9 * bar, Left: sec(17)})
	assert.False(t, begins(&moment{place: bar - 1}), "more than eight bars before")
	assert.True(t, begins(&moment{place: bar}))
	assert.True(t, begins(&moment{place: 9 * bar}))
	assert.False(t, begins(&moment{place: 9*bar + 1}), "after the leap")
}

// What is told of a way: back, or bars left out; a way to the next bar is none.
func TestALeapIsTold(t *testing.T) {
	for name, c := range map[string]struct {
		left, to int // moments, four to a bar
		want     finding.CauseKind
		bars     []int
	}{
		"the same bar again":   {7, 4, finding.Restarted, []int{2, 2}},
		"the same stroke":      {7, 7, finding.Restarted, []int{2, 2}},
		"two bars back":        {15, 4, finding.Restarted, []int{4, 2}},
		"to the next bar":      {4, 8, finding.NoCause, nil},
		"within a bar":         {4, 6, finding.NoCause, nil},
		"a bar left out":       {7, 12, finding.Skipped, []int{3, 3}},
		"three bars left out":  {7, 20, finding.Skipped, []int{3, 5}},
		"out of the first bar": {0, 8, finding.Skipped, []int{2, 2}},
	} {
		j := ledBy(t)
		j.led.wanted(j)
		j.led.open.at, j.led.away.way.Pass, j.reading.pass = sec(30), 1, 2
		j.tellLeap(&route{left: c.left, to: c.to, pause: sec(2)})
		told := j.Causes()
		if c.want == finding.NoCause {
			assert.Empty(t, told, name)
			continue
		}
		want := finding.Cause{Kind: c.want, Bar: c.bars[0], ToBar: c.bars[1], Pass: 3, At: sec(30), Hand: finding.BothHands}
		if c.want == finding.Restarted {
			want.Pause = sec(2)
		}
		assert.Equal(t, []finding.Cause{want}, told, name)
		assert.Equal(t, told, j.all, name)
	}
}

// A leap that is sure takes back the mistakes of the place that was left: those after the
// last stroke there, and until it was known.
func TestALeapExplainsMistakes(t *testing.T) {
	bar := meter.Ticks(meter.Whole)
	for name, c := range map[string]struct {
		right, wrong, bars int
		looked             int
		patient, over      bool
		later              float64 // seconds, after it was known
		told               bool
	}{
		"sure":                          {12, 0, 3, 0, true, false, 0, true},
		"two bars of a recording":       {8, 0, 2, 0, true, false, 0, false},
		"two bars, live":                {8, 0, 2, 0, false, false, 0, true},
		"looked at in this bar":         {12, 0, 3, 3, true, false, 0, false},
		"too few right":                 {3, 0, 3, 0, false, false, 0, false},
		"as it ends, two right":         {2, 0, 1, 0, true, true, 0, true},
		"as it ends, one right":         {1, 0, 1, 0, true, true, 0, false},
		"as it ends, two and one wrong": {2, 1, 1, 0, true, true, 0, false},
		"not yet over":                  {2, 0, 1, 0, true, false, 0, false},
		"six bars after it was known":   {12, 0, 3, 0, true, false, 12, true},
		"more than that: forgotten":     {12, 0, 3, 0, true, false, 12.1, false},
	} {
		j := ledBy(t)
		j.options.Patient = c.patient
		ends := strikeMoments(j, 1, 0, 15)
		strikeMoments(j, ends+1, 8, 19)
		known := ends + 6.5
		j.led.open.at = sec(known + c.later)
		j.led.away = away{on: true, right: c.right, wrong: c.wrong, bars: c.bars, harmonies: c.bars, looked: c.looked,
			way: flow.Break{Kind: finding.WentBack, Bar: 3, At: 3*bar + 3*meter.Quarter, To: 2 * bar, ToBar: 2, Left: sec(ends - 0.5), Since: sec(ends + 1), Known: sec(known)}}
		d := &j.doubt
		d.wrong = 7
		d.held = []finding.Finding{
			{Kind: finding.WrongBass, At: sec(ends - 0.5)}, // the last stroke before
			{Kind: finding.WrongBass, At: sec(ends + 1)},
			{Kind: finding.Lost, At: sec(ends + 1.5)},
			{Kind: finding.Right, At: sec(ends + 1.5)},
			{Kind: finding.Missing, At: sec(known)},
			{Kind: finding.Missing, At: sec(known + 0.1)},
		}
		j.wentAway(c.over)
		if !c.told {
			assert.Empty(t, j.all, name)
			assert.Len(t, d.held, 6, name)
			continue
		}
		if assert.Len(t, j.all, 1, name) {
			assert.Equal(t, []int{4, 3}, []int{j.all[0].Bar, j.all[0].ToBar}, name)
		}
		assert.False(t, j.leaping(), name)
		var held []finding.Kind
		for _, f := range d.held {
			held = append(held, f.Kind)
		}
		assert.Equal(t, []finding.Kind{finding.WrongBass, finding.Right, finding.Missing}, held, name)
		assert.Equal(t, 5, d.wrong, name)
	}
}
