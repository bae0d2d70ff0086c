package cause

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/finding"
)

// Of readings the best is taken, and the best that has the music elsewhere is its rival.
func TestTheBestOfReadings(t *testing.T) {
	late := func(by time.Duration) *reading { return &reading{late: by} }
	type offer struct {
		r              *reading
		saved, nearest float64
	}
	for name, c := range map[string]struct {
		offers []offer
		best   *reading
		saved  float64
		rival  float64
	}{
		"one":                       {[]offer{{late(0), 5, 5}}, late(0), 5, 0},
		"a better one later":        {[]offer{{late(0), 5, 5}, {late(time.Second), 7, 7}}, late(time.Second), 7, 5},
		"a worse one later":         {[]offer{{late(0), 7, 7}, {late(time.Second), 5, 5}}, late(0), 7, 5},
		"and a worse one still":     {[]offer{{late(0), 7, 7}, {late(time.Second), 5, 5}, {late(2 * time.Second), 4, 4}}, late(0), 7, 5},
		"as good: the first":        {[]offer{{late(0), 5, 5}, {late(time.Second), 5, 5}}, late(0), 5, 5},
		"as much, nearer":           {[]offer{{late(0), 7, 4}, {late(time.Second), 6, 5}}, late(time.Second), 6, 4},
		"the same place":            {[]offer{{late(0), 5, 5}, {late(90 * ms), 7, 7}}, late(90 * ms), 7, 0},
		"just elsewhere":            {[]offer{{late(0), 5, 5}, {late(91 * ms), 7, 7}}, late(91 * ms), 7, 5},
		"just elsewhere, earlier":   {[]offer{{late(0), 5, 5}, {late(-91 * ms), 4, 4}}, late(0), 5, 4},
		"another tempo":             {[]offer{{late(0), 5, 5}, {&reading{late: time.Second, pace: 0.5}, 4, 4}}, late(0), 5, 0},
		"a rival outlives the best": {[]offer{{late(0), 3, 3}, {late(time.Second), 5, 5}, {late(1050 * ms), 6, 6}}, late(1050 * ms), 6, 3},
	} {
		var best choice
		for _, o := range c.offers {
			best.take(o.r, o.saved, o.nearest)
		}
		assert.Equal(t, *c.best, best.reading, name)
		assert.Equal(t, c.saved, best.saved, name)
		assert.Equal(t, c.rival, best.rival, name)
	}
}

// Most of what is struck must be explained where a hand is silent.
func TestWhatIsHeardBesides(t *testing.T) {
	for notes, want := range map[int]bool{0: true, 3: true, 4: false} {
		w := weight{notes: notes, struck: 10}
		assert.Equal(t, want, w.heard(), "%d of 10", notes)
	}
}

// A time of the player's own takes some strokes to be sure of, and a delay more, and even
// ones.
func TestATimeIsMeasured(t *testing.T) {
	of := func(k finding.CauseKind, late time.Duration) reading {
		return reading{late: late, causes: [2]finding.Cause{when: {Kind: k, Offset: late}}}
	}
	// strokes are so much later than under the reading, with a spread to and fro.
	strokes := func(right, wrong int, off, spread float64) weight {
		n := float64(right)
		return weight{right: right, wrong: wrong, sum: n * off, square: n * (off*off + spread*spread)}
	}
	for name, c := range map[string]struct {
		r    reading
		w    weight
		want bool
		late time.Duration
	}{
		"what is struck":      {reading{up: 2}, strokes(1, 0, 0, 0), true, 0},
		"beats late":          {of(finding.LateStart, time.Second), strokes(7, 0, 0, 0), true, time.Second},
		"too few":             {of(finding.LateStart, time.Second), strokes(6, 0, 0, 0), false, time.Second},
		"too many wrong":      {of(finding.LateStart, time.Second), strokes(8, 3, 0, 0), false, time.Second},
		"a delay":             {of(finding.Delay, 150*ms), strokes(12, 0, 0.01, 0.02), true, 160 * ms},
		"a delay, early":      {of(finding.Delay, -150*ms), strokes(12, 0, 0.01, 0.02), true, -140 * ms},
		"too few for a delay": {of(finding.Delay, 150*ms), strokes(11, 0, 0.01, 0.02), false, 150 * ms},
		"too uneven":          {of(finding.Delay, 150*ms), strokes(12, 0, 0.01, 0.04), false, 150 * ms},
		"less than it seemed": {of(finding.Delay, 100*ms), strokes(12, 0, -0.02, 0.01), false, 80 * ms},
		"less early":          {of(finding.Delay, -100*ms), strokes(12, 0, 0.02, 0.01), false, -80 * ms},
		"just enough":         {of(finding.Delay, 100*ms), strokes(12, 0, -0.01, 0), true, 90 * ms},
	} {
		j := judgeOf(t, false)
		got := j.measured(&c.r, &c.w, 0)
		assert.Equal(t, c.want, got, name)
		assert.InDelta(t, c.late.Seconds(), c.r.late.Seconds(), 1e-6, name)
		if c.r.is(finding.Delay) {
			assert.InDelta(t, c.late.Seconds(), c.r.causes[when].Offset.Seconds(), 1e-6, name)
		}
	}
	j := judgeOf(t, false)
	j.reading = of(finding.LateStart, time.Second)
	r := j.reading
	assert.True(t, j.measured(&r, &weight{right: 1}, 0), "it held before")
}

// Who is elsewhere strikes enough that is right there and was not right here: of two
// harmonies; where the bars stay in time of three, or of four where anything is wrong.
func TestItIsCertainThatThePlayerIsElsewhere(t *testing.T) {
	at := func(n int, kind finding.Kind) (all []placed) { // a stroke in each of n bars
		for i := range n {
			all = append(all, placed{finding.Finding{Kind: kind, Bar: i}, sec(2 * float64(i)), i})
		}
		return all
	}
	for name, c := range map[string]struct {
		late         float64 // beats
		right, wrong int
		anew, found  []placed
		want         bool
	}{
		"a beat late":                         {1, 9, 0, at(2, finding.Right), nil, true},
		"too few strokes":                     {1, 8, 0, at(2, finding.Right), nil, false},
		"too many wrong":                      {1, 9, 3, at(2, finding.Right), nil, false},
		"as many as may be":                   {1, 12, 3, at(2, finding.Right), nil, true},
		"one harmony":                         {1, 9, 0, at(1, finding.Right), nil, false},
		"a bar late":                          {4, 9, 0, at(4, finding.Right), nil, true},
		"a bar early":                         {-4, 9, 0, at(4, finding.Right), nil, true},
		"a bar late, three harmonies":         {4, 9, 1, at(3, finding.Right), nil, false},
		"the same, and nothing wrong":         {4, 18, 0, at(3, finding.Right), nil, true},
		"fewer strokes":                       {4, 17, 0, at(3, finding.Right), nil, false},
		"two harmonies, and nothing wrong":    {4, 18, 0, at(2, finding.Right), nil, false},
		"two bars early, three harmonies":     {-8, 9, 1, at(3, finding.Right), nil, false},
		"nearly a bar late, three harmonies":  {4.149, 9, 1, at(3, finding.Right), nil, false},
		"off the beat":                        {4.16, 9, 0, at(4, finding.Right), nil, false},
		"between two beats":                   {3.5, 9, 0, at(4, finding.Right), nil, false},
		"three beats late, three harmonies":   {3, 9, 0, at(3, finding.Right), nil, true},
		"wrong ones tell nothing":             {1, 9, 0, at(2, finding.WrongNote), nil, false},
		"what was right anyway tells nothing": {1, 9, 0, at(3, finding.Right), at(2, finding.Right), false},
		"what was wrong before does":          {1, 9, 0, at(3, finding.Right), at(2, finding.WrongNote), true},
	} {
		j := judgeOf(t, false)
		j.options.Patient = true
		r := reading{late: sec(c.late / 2)}
		assert.Equal(t, c.want, j.certain(&r, &weight{right: c.right, wrong: c.wrong}, c.anew, c.found), name)
	}
	assert.False(t, judgeOf(t, false).certain(&reading{late: sec(2)}, &weight{right: 18}, at(3, finding.Right), nil), "live, three harmonies")
	paused := reading{late: sec(1.75)}
	paused.causes[when] = finding.Cause{Kind: finding.Restarted, Pause: sec(0.76)}
	enough := &weight{right: 9}
	assert.True(t, judgeOf(t, false).certain(&paused, enough, at(2, finding.Right), nil), "after a pause of a beat and a half nobody must be in time")
	paused.causes[when].Pause = sec(0.75)
	assert.False(t, judgeOf(t, false).certain(&paused, enough, at(2, finding.Right), nil))
	for pause, want := range map[float64]int{0.49: fewestInBars, 0.5: fewestHarmonies} { // half a bar back
		back := reading{late: sec(1), causes: [2]finding.Cause{when: {Kind: finding.Restarted, Pause: sec(pause)}}}
		j := judgeOf(t, false)
		assert.True(t, j.certain(&back, enough, at(want, finding.Right), nil), "%g s", pause)
		assert.False(t, j.certain(&back, enough, at(want-1, finding.Right), nil), "%g s", pause)
	}
	// What was right at about that time was right anyway.
	for off, want := range map[float64]bool{0: false, 0.075: false, -0.075: false, 0.076: true, -0.076: true} {
		j := judgeOf(t, false)
		was := at(2, finding.Right)
		was[1].at += sec(off)
		anew := at(3, finding.Right)[1:]
		assert.Equal(t, want, j.certain(&reading{late: sec(0.5)}, &weight{right: 9}, anew, was), "%g s", off)
	}
}

// A delay is measured better with each stroke: it is their mean.
func TestADelayIsMeasuredOn(t *testing.T) {
	j := judgeOf(t, false)
	j.reading = reading{late: 150 * ms}
	j.all = []finding.Cause{{Kind: finding.Delay, Offset: 150 * ms}}
	for _, off := range []time.Duration{10, -10, 30, 30} {
		j.delayed(off * ms)
	}
	assert.InDelta(t, 0.165, j.all[0].Offset.Seconds(), 1e-6)
}

// From which strike on a reading explains more than the present one. Each letter is a
// strike, half a second after the one before: a is right under the present reading, b a half
// step up, c both ways, x neither; a dash is a pause, and what is in doubt begins at a stroke.
func TestFromWhereAReadingHolds(t *testing.T) {
	for name, c := range map[string]struct {
		strikes   string
		told      bool
		from      int
		explained int
	}{
		"all along":                               {"|bbbb", true, 0, 4},
		"from the third":                          {"|aabb", true, 2, 4},
		"what was before the doubt":               {"bb|abb", true, 3, 3},
		"what both explain: from the first":       {"|aaccbb", true, 2, 6},
		"or after a pause":                        {"|aac-cbb", true, 3, 6},
		"or after the longer one":                 {"|aac-c--bb", true, 4, 6},
		"but not for a pause alone":               {"|aabb-bb", true, 2, 6},
		"a slip among them":                       {"|aabxbb", true, 2, 5},
		"one was right before by chance":          {"|baabbb", true, 3, 5},
		"nothing right before, and one by chance": {"|abbb", false, 0, 4},
		"and two":                           {"|aabbb", false, 2, 5},
		"nothing right before, and a pause": {"|c-bbb", false, 0, 5},
		"never":                             {"|aaaa", true, 3, 3},
	} {
		j := judgeOf(t, false)
		j.told = c.told
		var ev evidence
		place, at := 0, sec(1)
		for _, k := range c.strikes {
			switch k {
			case '|':
				ev.doubted = len(ev.struck)
			case '-':
				place, at = place+1, at+sec(0.5)
			default:
				s := strike{key: j.places[place].wants[0].Tones[0].Key, at: at, opens: true, known: k == 'a' || k == 'c'}
				if k == 'b' || k == 'c' {
					s.key++
				}
				ev.struck = append(ev.struck, s)
				place, at = place+1, at+sec(0.5)
			}
		}
		from, explained := j.split(&reading{up: 1}, &ev)
		assert.Equal(t, []int{c.from, c.explained}, []int{from, explained}, name)
	}
}

// Where a reading takes the place of another: between two strikes, each in time.
func TestWhereAReadingBegins(t *testing.T) {
	j := judgeOf(t, false)
	j.doubt.since = sec(2)
	ev := evidence{struck: []strike{{at: sec(1.5)}, {at: sec(2.1)}, {at: sec(3)}, {at: sec(5)}}, doubted: 1}
	assert.Equal(t, change{leave: sec(2), enter: sec(2)}, j.leap(&ev, 1), "from the beginning")
	j.told = true
	assert.Equal(t, change{leave: sec(2), enter: sec(2.025), leaps: true}, j.leap(&ev, 1), "with the first in doubt")
	assert.Equal(t, change{leave: sec(2.175), enter: sec(2.925), leaps: true}, j.leap(&ev, 2))
	assert.Equal(t, change{leave: sec(3.075), enter: sec(4.925), leaps: true}, j.leap(&ev, 3))
	j.doubt.since = sec(2.18)
	assert.Equal(t, sec(2.18), j.leap(&ev, 2).leave, "not before the doubt")
}

// What is long over is left out; and where causes are looked for in vain, so is the round
// before.
func TestWhatIsWeighed(t *testing.T) {
	for name, c := range map[string]struct {
		since, now float64 // seconds; a round lasts sixteen, from 1 second on
		vain       bool
		want       float64
	}{
		"all of it":                       {14, 15, false, 14},
		"sixteen bars at most":            {1, 35, false, 3},
		"into the next round":             {14, 18, false, 14},
		"in vain, into the next round":    {14, 18, true, 16.8},
		"in vain, in the same round":      {14, 16.5, true, 14},
		"in vain, from the round's begin": {16.85, 18, true, 16.85},
	} {
		j := judgeOf(t, true)
		j.doubt = doubt{since: sec(c.since), tell: sec(c.since), vain: c.vain}
		j.narrow(sec(c.now))
		assert.Equal(t, sec(c.want), j.doubt.since, name)
		assert.Equal(t, sec(c.want), j.doubt.tell, name)
	}
	j := judgeOf(t, true)
	j.doubt = doubt{since: sec(14), tell: sec(15)}
	j.narrow(sec(16))
	assert.Equal(t, sec(15), j.doubt.tell, "what was told is told")
}
