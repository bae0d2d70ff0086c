package cause

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/engine"
	"undersong/internal/judge/finding"
	"undersong/internal/judge/flow"
	"undersong/internal/judge/rules"
	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/test/sounding"
)

// ledBy listens to a player who leads, in eight bars of 4/4 at 120.
func ledBy(t *testing.T) *Judge {
	return New(sounding.ScoreOf(t, "4/4", eight, "two-beat"), Options{Options: engine.Options{Level: rules.Steady, Led: true}, Patient: true})
}

// Another tempo is told once, where it is steady for five bars, and holds while it is about
// so.
func TestATempoIsToldOfWhoLeads(t *testing.T) {
	for name, c := range map[string]struct {
		places int
		beat   float64 // seconds, for 0.5 as it is written
		kind   finding.CauseKind
	}{
		"as written":    {24, 0.5, finding.NoCause},
		"freely slower": {24, 0.6, finding.NoCause},
		"slower":        {24, 0.62, finding.HalfTempo},
		"freely faster": {24, 0.412, finding.NoCause},
		"faster":        {24, 0.405, finding.DoubleTempo},
		"for four bars": {20, 1, finding.NoCause},
		"for five":      {21, 1, finding.HalfTempo},
	} {
		j := ledBy(t)
		j.led.steady = *placesAt(c.places, func(i int) float64 { return 3 + c.beat*float64(i) })
		j.led.open.at = sec(20)
		j.paceTold(2)
		told := j.Causes()
		if c.kind == finding.NoCause {
			assert.Empty(t, told, name)
			continue
		}
		if assert.Len(t, told, 1, name) {
			assert.Equal(t, c.kind, told[0].Kind, name)
			assert.Equal(t, []int{1, (c.places-1)/4 + 1}, []int{told[0].Bar, told[0].ToBar}, name)
			assert.InDelta(t, 0.5/c.beat, told[0].Ratio, 0.001, name)
			assert.Equal(t, sec(20), told[0].At, name)
		}
	}
	for name, c := range map[string]struct {
		beat  float64
		to    int
		holds bool
	}{"then about so": {1.07, 8, true}, "then another": {1.1, 6, false}} {
		j := ledBy(t)
		j.led.steady = *placesAt(21, func(i int) float64 { return float64(i) })
		j.paceTold(2)
		on := *placesAt(32, func(i int) float64 { return c.beat * float64(i) })
		on.told, on.holds = j.led.steady.told, j.led.steady.holds
		j.led.steady = on
		j.paceTold(2)
		assert.Len(t, j.all, 1, name)
		assert.Equal(t, c.to, j.all[0].ToBar, name)
		assert.Equal(t, c.holds, j.led.steady.holds, name)
	}
}

// What it costs to name a reading where the player leads, and in how many harmonies it must be right.
func TestWhatAReadingCostsOfWhoLeads(t *testing.T) {
	key := reading{up: 2}
	key.causes[what].Kind = finding.OtherKey
	for name, c := range map[string]struct {
		r      reading
		told   bool
		costs  float64
		fewest int
	}{
		"as written again":   {reading{}, true, backAgain, 1},
		"from the beginning": {key, false, ofFirst + margin, 2},
		"later":              {key, true, ofCause + margin, 3},
	} {
		j := ledBy(t)
		j.told = c.told
		assert.InDelta(t, c.costs, j.costsLed(&c.r), 1e-9, name)
		assert.Equal(t, c.fewest, j.fewest(&c.r), name)
	}
}

// Who goes back, but not from the end; leaves bars out; or is ahead of time.
func TestWhoGoesElsewhere(t *testing.T) {
	for name, c := range map[string]struct {
		b    flow.Break
		want bool
	}{
		"back":                {flow.Break{Kind: finding.WentBack, At: 5 * meter.Whole}, true},
		"back from the end":   {flow.Break{Kind: finding.WentBack, At: 7*meter.Whole + 3*meter.Quarter}, false},
		"back just before it": {flow.Break{Kind: finding.WentBack, At: 7*meter.Whole + meter.Half}, true},
		"a bar left out":      {flow.Break{Kind: finding.LostBeat, Bar: 2, ToBar: 4, Beats: 1}, true},
		"a beat too few":      {flow.Break{Kind: finding.LostBeat, Bar: 2, ToBar: 3, Beats: -1}, true},
		"a beat too many":     {flow.Break{Kind: finding.LostBeat, Bar: 2, ToBar: 3, Beats: 1}, true},
		"a stop":              {flow.Break{Kind: finding.Stopped, Bar: 2, ToBar: 3}, true},
	} {
		assert.Equal(t, c.want, ledBy(t).goesElsewhere(&c.b), name)
	}
}

// A break within two bars after another belongs to it; one that leads to where the player
// would be without shows that there was none.
func TestOneBreakAfterAnother(t *testing.T) {
	first := flow.Break{Kind: finding.WentBack, Pass: 0, At: 4 * meter.Whole, Bar: 4, To: 2 * meter.Whole, ToBar: 2, Left: sec(8), Since: sec(10), Known: sec(11), Silent: sec(1)}
	second := func(known, since float64, to meter.Ticks) flow.Break {
		return flow.Break{Kind: finding.LostBeat, At: 2*meter.Whole + meter.Half, Bar: 2, To: to, ToBar: int(to / meter.Whole), Left: sec(since - 0.5), Since: sec(since), Known: sec(known), Beats: -1}
	}
	for name, c := range map[string]struct {
		b    flow.Break
		on   bool
		left meter.Ticks // from where the player is taken to have gone
	}{
		"where they would be anyway": {second(14, 13, 6*meter.Whole+meter.Half), false, 0},
		"a bar from there":           {second(14, 13, 5*meter.Whole+meter.Half), false, 0},
		"a bar on":                   {second(14, 13, 7*meter.Whole+meter.Half), false, 0},
		"more than a bar":            {second(14, 13, 5*meter.Whole+meter.Quarter), true, 4 * meter.Whole},
		"elsewhere":                  {second(14, 13, 0), true, 4 * meter.Whole},
		"within two bars":            {second(15, 13, 0), true, 4 * meter.Whole},
		"later: by itself":           {second(15.01, 13, 6*meter.Whole), true, 2*meter.Whole + meter.Half},
	} {
		j := ledBy(t)
		j.broke([]flow.Break{first})
		assert.True(t, j.leaping(), name)
		assert.Equal(t, away{on: true, way: first, bar: -1, harmony: -1}, j.led.away, name)
		j.broke([]flow.Break{c.b})
		assert.Equal(t, c.on, j.leaping(), name)
		if c.on {
			assert.Equal(t, c.left, j.led.away.way.At, name)
			assert.Equal(t, c.b.To, j.led.away.way.To, name)
		}
		if c.on && c.left == first.At {
			assert.Equal(t, first.Left, j.led.away.way.Left, name)
			assert.Equal(t, first.Silent, j.led.away.way.Silent, name)
		}
	}
	j := ledBy(t)
	j.broke([]flow.Break{{Kind: finding.Stopped}})
	assert.True(t, j.leaping(), "after a stop the same bar may begin again")
}

// Strange onsets count back to the last two in a row that were none.
func TestStrangersInARow(t *testing.T) {
	for row, want := range map[string]struct {
		n     int
		since float64
	}{
		"":                   {0, 0},
		"x":                  {1, 2},
		".x.x":               {2, 3},
		"x..x":               {1, 5},
		"x.x.x":              {3, 2},
		"xxx.":               {3, 2},
		"xxx..":              {0, 0},
		"xxxxxxxxxxxxxxxxxx": {16, 4},
	} {
		var l led
		l.n = 1
		for i, k := range row {
			l.n++
			l.ring[l.n%mostRecent] = recent{sec(float64(i + 2)), k == 'x'}
		}
		n, since := l.strangers()
		assert.Equal(t, want.n, n, row)
		assert.Equal(t, sec(want.since), since, row)
	}
}

// A hand is thought silent where strokes of it are missing, or little is explained.
func TestHandsThatMayBeSilent(t *testing.T) {
	const l, r = finding.LeftHand, finding.RightHand
	for name, c := range map[string]struct {
		only    score.Only
		missing [2]int
		notes   int // of ten that were struck, unexplained
		want    []finding.Part
	}{
		"nothing missing":     {score.BothHands, [2]int{}, 0, nil},
		"one stroke":          {score.BothHands, [2]int{1, 1}, 3, nil},
		"two of the left":     {score.BothHands, [2]int{2, 1}, 0, []finding.Part{l}},
		"two of the right":    {score.BothHands, [2]int{0, 2}, 0, []finding.Part{r}},
		"little is explained": {score.BothHands, [2]int{}, 4, []finding.Part{l, r}},
		"one hand alone":      {score.LeftAlone, [2]int{3, 3}, 9, nil},
	} {
		j := ledBy(t)
		alone := *j.Score
		alone.Only = c.only
		j.Score = &alone
		var got []finding.Part
		for _, x := range j.hushed(&weight{missing: c.missing, notes: c.notes, struck: 10}) {
			got = append(got, x.causes[what].Hand)
		}
		assert.ElementsMatch(t, c.want, got, name)
	}
}

// The ways on through a score where a leap is looked for, and how long it is from moment to
// moment.
func TestOnwardThroughAScore(t *testing.T) {
	inf := math.Inf(1)
	ways := func(costs ...float64) (all []route) {
		for i, c := range costs {
			all = append(all, route{cost: c, onset: i})
		}
		return all
	}
	for name, c := range map[string]struct {
		ways []route
		k    int
		cost float64
		from int
	}{
		"on":              {ways(inf, 1, inf, inf), 2, 1, 1},
		"again":           {ways(inf, inf, 1, inf), 2, 1 + onwardAgain, 2},
		"one left out":    {ways(1, inf, inf, inf), 2, 1 + onwardAgain, 0},
		"two left out":    {ways(1, inf, inf, inf), 3, 1 + 2*onwardAgain, 0},
		"the cheapest":    {ways(0, 3, 0, inf), 3, 0, 2},
		"none":            {ways(inf, inf, inf, inf), 2, inf, 0},
		"the first again": {ways(2, inf, inf, inf), 0, 2 + onwardAgain, 0},
	} {
		got := onward(c.ways, c.k)
		assert.Equal(t, c.cost, got.cost, name)
		assert.Equal(t, c.from, got.onset, name)
	}
	j := ledBy(t)
	wanted := j.led.wanted(j)
	assert.Equal(t, sec(0.5), j.lasts(wanted, 3))
	assert.Equal(t, sec(0.5), j.lasts(wanted, 31), "the last to the end")
	struck := func(gap float64) []moment { return []moment{{when: sec(1)}, {when: sec(1 + gap)}} }
	for name, c := range map[string]struct {
		gap  float64
		to   int
		want float64
	}{
		"after a pause, to a bar":     {0.875, 8, 0},
		"without one":                 {0.874, 8, leapInTime},
		"into a bar":                  {2, 9, leapWithin},
		"into a bar, without a pause": {0.5, 9, leapWithin + leapInTime},
	} {
		assert.Equal(t, c.want, leapCosts(&wanted[c.to], j.halts(struck(c.gap), 1, wanted, 3)), name)
	}
	assert.Equal(t, 3*meter.Whole+2*8*meter.Whole, j.placeOf(2, 3*meter.Whole))
}

// What is struck within 50 ms is a moment; the latest 64 count.
func TestMomentsOfWhoLeads(t *testing.T) {
	j := ledBy(t)
	for i := range 70 {
		at := 1 + float64(i)
		j.kept.add(event.On(sec(at), 48, 70))
		j.kept.add(event.On(sec(at+0.05), 52, 70))
		j.kept.add(event.Off(sec(at+0.2), 48))
	}
	all := j.moments(sec(2), sec(4.5))
	if assert.Len(t, all, 3) {
		assert.Equal(t, []int{48, 52}, []int{all[0].low, all[0].high})
		assert.Equal(t, sec(2), all[0].when)
		assert.Equal(t, uint16(1<<0|1<<4), all[0].classes)
	}
	j.kept.add(event.On(sec(70.051), 55, 70))
	all = j.moments(0, sec(100))
	assert.Len(t, all, mostAligned)
	assert.Equal(t, sec(70.051), all[mostAligned-1].when)
	assert.Equal(t, sec(8), all[0].when)
}

// Once a hand that was silent has struck three keys out of the other's reach it is looked
// for again, and then after twice as many.
func TestAHandThatReturns(t *testing.T) {
	j := ledBy(t)
	j.reading.mute[pattern.Left] = true
	j.takeReading(j.reading, 0)
	j.found = false
	low, high := j.led.low, j.led.high
	assert.Less(t, low, high)
	for _, k := range []pitch.Num{low, high, low + 1} {
		j.returns(k, sec(1))
		assert.Zero(t, j.led.again, "in its reach")
	}
	j.returns(low-1, sec(2))
	assert.Equal(t, []int{1, fewestStrange}, []int{j.led.again, j.led.look})
	j.returns(high+1, sec(3))
	assert.False(t, j.doubt.on)
	j.returns(low-1, sec(4))
	assert.True(t, j.doubt.on)
	assert.Equal(t, sec(1.95), j.doubt.since, "since the first of them")
	assert.Equal(t, 2*fewestStrange, j.led.look)
	j.led.wants = nil
	j.returns(0, sec(5))
	assert.Equal(t, 3, j.led.again, "nobody is silent")
}
