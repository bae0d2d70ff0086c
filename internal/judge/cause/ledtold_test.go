package cause

import (
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
