package cause

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/finding"
	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
)

// Before which stroke the player stopped: the longest silence before a stroke from which on
// a reading explains more, back over those that both explain or neither does. As in
// TestFromWhereAReadingHolds, with the same letters.
func TestBeforeWhichStrokeThePlayerStopped(t *testing.T) {
	for name, c := range map[string]struct {
		strikes string
		from    int
		want    int
	}{
		"nowhere":                           {"aabb", 2, 2},
		"just there":                        {"aa--bb", 2, 2},
		"before what both explain":          {"aa--ccbb", 4, 2},
		"or neither":                        {"aa--xxbb", 4, 2},
		"not before what is right here":     {"a--aabb", 3, 3},
		"the longer of two":                 {"aa--c-cbb", 4, 2},
		"the longer of two, later":          {"aa-c--cbb", 4, 3},
		"of two as long the later":          {"aa--c--cbb", 4, 3},
		"a beat is no stop":                 {"aaccbb", 4, 4},
		"a longer silence just there":       {"aa-cc--bb", 4, 4},
		"not before the first of all":       {"b--bb", 2, 1},
		"the first of all is not looked at": {"bb", 1, 1},
	} {
		j := judgeOf(t, false)
		var ev evidence
		place, at := 0, sec(1)
		for _, k := range c.strikes {
			if k != '-' {
				s := strike{key: j.places[place].wants[0].Tones[0].Key, at: at, opens: true, known: k == 'a' || k == 'c'}
				switch k {
				case 'b', 'c':
					s.key++
				case 'x':
					s.key += 3
				}
				ev.struck = append(ev.struck, s)
			}
			place, at = place+1, at+sec(0.5)
		}
		assert.Equal(t, c.want, j.paused(&reading{up: 1}, &ev, c.from), name)
	}
}

// A reading that is later or earlier than the present one: what that is called.
func TestWhatAMoveInTimeIsCalled(t *testing.T) {
	for name, c := range map[string]struct {
		r, present reading
		times      []float64
		want       finding.CauseKind
		late       float64
	}{
		"back with the click":         {reading{late: sec(0.089)}, reading{late: sec(0.5)}, []float64{1, 1.5}, finding.NoCause, 0},
		"early, but with it":          {reading{late: sec(-0.089)}, reading{}, []float64{1, 1.5}, finding.NoCause, 0},
		"a delay":                     {reading{late: sec(0.09)}, reading{}, []float64{1.09, 1.59}, finding.Delay, 0.09},
		"a delay, early":              {reading{late: sec(-0.09)}, reading{}, []float64{1.41, 1.91}, finding.Delay, -0.09},
		"a beat late":                 {reading{late: sec(0.5)}, reading{}, []float64{1, 2}, finding.LateStart, 0.5},
		"a tempo, a bit better":       {reading{pace: 0.5, late: sec(0.24)}, reading{pace: 0.5}, []float64{1, 2}, finding.NoCause, 0.24},
		"a tempo, and earlier":        {reading{pace: 0.5, late: sec(-0.24)}, reading{pace: 0.5}, []float64{1, 2}, finding.NoCause, -0.24},
		"a tempo, and much earlier":   {reading{pace: 0.5, late: sec(-0.25)}, reading{pace: 0.5}, []float64{1, 2}, finding.EarlyStart, -0.25},
		"a tempo, and late":           {reading{pace: 0.5, late: sec(0.25)}, reading{pace: 0.5}, []float64{1, 2}, finding.LateStart, 0.25},
		"a tempo, late, a bit better": {reading{pace: 0.5, late: sec(1.24)}, reading{pace: 0.5, late: sec(1)}, []float64{1, 2}, finding.NoCause, 1.24},
		"a bar back":                  {reading{late: sec(3)}, reading{}, []float64{5, 6}, finding.Restarted, 3},
		"a bar left out":              {reading{late: sec(-2)}, reading{}, []float64{6.5, 7}, finding.Skipped, -2},
	} {
		j := judgeOf(t, false)
		j.told = true
		ev := strokesAt(j, c.times...)
		ev.present = c.present
		r := j.shifted(c.r, &ev, 1)
		assert.Equal(t, c.want, r.causes[when].Kind, name)
		assert.Equal(t, sec(c.late), r.late, name)
		assert.Equal(t, j.leap(&ev, 1), r.change, name)
	}
}

// What is right with the first stroke in doubt leaves nothing between.
func TestAReadingThatBeginsWithTheDoubt(t *testing.T) {
	j := judgeOf(t, false)
	j.doubt.since, j.told = sec(1.5), true
	ev := evidence{struck: []strike{{at: sec(1.5)}, {at: sec(2.1)}}, doubted: 1}
	assert.Equal(t, change{leave: sec(1.5), enter: sec(2.025), leaps: true}, j.leap(&ev, 1))
	loop := judgeOf(t, true)
	assert.Equal(t, spot{1, 0}, loop.spotAt(&reading{}, sec(16.925)), "75 ms before the next round is in it")
	assert.Equal(t, spot{0, 31}, loop.spotAt(&reading{}, sec(16.924)))
	assert.True(t, loop.explains(&reading{}, &strike{key: 36, at: sec(16.925)}))
	early := judgeOf(t, false)
	early.kept.add(event.On(0, 36, 70))
	all, _ := early.struck(sec(1))
	if assert.Len(t, all, 1) {
		assert.True(t, all[0].opens, "what is struck first of all opens an onset")
	}
}

// Moves that are tried come by how much they explain. By the click there is none to where
// the music is; in a tempo of its own it may be a bit off.
func TestMovesInOrder(t *testing.T) {
	for name, c := range map[string]struct {
		r     reading
		beat  float64
		stays bool
	}{"by the click": {reading{}, 0.5, false}, "a half step up": {reading{up: 1}, 0.5, false}, "half as fast": {reading{pace: 0.5}, 1, true}} {
		j := judgeOf(t, false)
		var times []float64
		for i := range 12 {
			times = append(times, 1+c.beat*float64(i))
		}
		ev := strokesAt(j, times...)
		for i := range ev.struck {
			ev.struck[i].key += pitch.Num(c.r.up)
		}
		ev.present = c.r
		all, stays := j.moved(&ev, 4*j.barLasts()), false
		for i := range all {
			stays = stays || max(all[i].r.late, -all[i].r.late) < leastShift
			if i > 0 {
				assert.LessOrEqual(t, all[i].explained, all[i-1].explained, name)
			}
		}
		assert.NotEmpty(t, all, name)
		assert.Equal(t, c.stays, stays, name)
	}
	v := newVotes(sec(1))
	for bin, n := range map[int]int{0: 7, 10: 5, 9: 3} {
		for range n {
			v.add(time.Duration(bin) * binOfShift)
		}
	}
	assert.Zero(t, v.frequent()[0], "neighbours count half: too few")
}

// A silent hand is silent from the first stroke on that did not come: after its last one,
// or from the beginning if it never played.
func TestFromWhereAHandIsSilent(t *testing.T) {
	for name, c := range map[string]struct {
		kind  finding.CauseKind
		hand  finding.Part
		last  rest
		never bool
		fresh bool
		want  int // bar; 9 as it was
	}{
		"after its last stroke": {finding.Silent, finding.LeftHand, rest{right: meter.Half + 1}, false, true, 2},
		"after the first":       {finding.Silent, finding.LeftHand, rest{right: 1}, false, true, 1},
		"it never played":       {finding.Silent, finding.LeftHand, rest{right: 0}, true, true, 1},
		"nobody knows":          {finding.Silent, finding.LeftHand, rest{}, false, true, 4},
		"the right hand":        {finding.Silent, finding.RightHand, rest{right: 2*meter.Whole + meter.Quarter + 1}, false, true, 3},
		"both":                  {finding.Silent, finding.BothHands, rest{right: meter.Half + 1}, false, true, 9},
		"as was known":          {finding.Silent, finding.LeftHand, rest{right: meter.Half + 1}, false, false, 9},
		"another key":           {finding.OtherKey, finding.LeftHand, rest{right: meter.Half + 1}, false, true, 9},
	} {
		j := ledBy(t)
		j.all = []finding.Cause{{Kind: c.kind, Bar: 9}}
		j.reading.causes[what] = finding.Cause{Kind: c.kind, Hand: c.hand}
		j.fresh[what] = c.fresh
		j.never = [2]bool{c.never, c.never}
		j.led.leftAt = [2]rest{c.last, c.last}
		j.placeRest(stroke(j.Score, finding.Right, 0, 3*4+1))
		assert.Equal(t, c.want, j.all[0].Bar, name)
	}
	j := ledBy(t)
	j.all = make([]finding.Cause, 1)
	j.reading.causes[what] = finding.Cause{Kind: finding.Silent, Hand: finding.LeftHand}
	j.fresh[what], j.never = true, [2]bool{}
	j.placeRest(stroke(j.Score, finding.Missing, 0, 3*4+2))
	assert.Equal(t, 4, j.all[0].Bar, "with the stroke that is missing")
}

// A tempo began where strokes came in it already: half as fast, bar 3 begins at 11 seconds,
// and a stroke comes each second before that.
func TestInWhichBarATempoBegan(t *testing.T) {
	for name, c := range map[string]struct {
		struck []float64
		want   int // index
	}{
		"just there":                     {nil, 2},
		"a bar before":                   {[]float64{10, 9, 8, 7}, 1},
		"from the beginning":             {[]float64{10, 9, 8, 7, 6, 5, 4, 3}, 0},
		"one was left out":               {[]float64{9}, 1},
		"two were left out":              {[]float64{8}, 2},
		"one, and later another":         {[]float64{10, 8, 6}, 1},
		"twice as fast just before":      {[]float64{10.5, 10, 9.5, 9}, 2},
		"twice as fast until bar 2":      {[]float64{10, 9, 8, 7, 6.5, 6, 5.5, 5}, 1},
		"a little late is in time":       {[]float64{10.05, 9.05}, 1},
		"a little early as well":         {[]float64{9.95, 8.95}, 1},
		"later is not, nor was it there": {[]float64{10.07, 9}, 2},
		"earlier is not":                 {[]float64{10, 9, 8, 7, 5.93, 5}, 1},
	} {
		j := ledBy(t)
		for i := range c.struck {
			at := c.struck[len(c.struck)-1-i]
			j.kept.add(event.On(sec(at), 48, 70))
			j.kept.add(event.Off(sec(at+0.2), 48))
		}
		first := timedPlace{at: 2 * meter.Whole, bar: 2, played: 11}
		assert.Equal(t, c.want, j.began(&first, 0.5), name)
	}
}

// Causes of mistakes that come again and again are looked for from the fifth on, where
// these came within ten bars and nothing is in doubt, or in vain; by a click alone. Here
// there is one: nothing is struck.
func TestMistakesOfLate(t *testing.T) {
	inVain := doubt{on: true, vain: true}
	for name, c := range map[string]struct {
		n              int
		last           float64 // seconds: when the last comes; the first was due from 0.8 on
		kind           finding.Kind
		want           int
		led, found     bool
		doubt          doubt
		counted, finds bool
	}{
		"five":                       {5, 9, finding.WrongBass, -1, false, false, doubt{}, true, true},
		"four":                       {4, 9, finding.WrongBass, -1, false, false, doubt{}, true, false},
		"five within ten bars":       {5, 20.8, finding.WrongBass, -1, false, false, doubt{}, true, true},
		"five in more":               {5, 20.81, finding.WrongBass, -1, false, false, doubt{}, true, false},
		"five, in doubt":             {5, 9, finding.WrongBass, -1, false, false, doubt{on: true}, true, false},
		"five, in vain":              {5, 9, finding.WrongBass, -1, false, false, inVain, true, true},
		"right ones":                 {5, 9, finding.Right, -1, false, false, doubt{}, false, false},
		"short ones":                 {5, 9, finding.Short, -1, false, false, doubt{}, false, false},
		"one wrong note of many":     {5, 9, finding.WrongNote, 1, false, false, doubt{}, false, false},
		"the player leads":           {5, 9, finding.WrongBass, -1, true, false, doubt{}, false, false},
		"a cause was found just now": {5, 9, finding.WrongBass, -1, false, true, doubt{}, false, true},
	} {
		j := judgeOf(t, false)
		if c.led {
			j.led = &led{}
		}
		j.told, j.found, j.doubt = true, c.found, c.doubt
		for i := range c.n {
			j.again(&finding.Finding{Kind: c.kind, Part: finding.RightHand, Want: c.want, Bar: i, Beat: 1, At: sec(c.last)})
		}
		n := 0
		if c.counted {
			n = c.n
		}
		assert.Equal(t, n, j.often.n, name)
		assert.Equal(t, c.finds, j.found, name)
		if !c.finds {
			assert.Equal(t, c.doubt, j.doubt, name)
		}
	}
}
