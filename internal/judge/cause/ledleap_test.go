package cause

import (
	"math"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/finding"
	"undersong/internal/judge/flow"
	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
	"undersong/internal/test/sounding"
)

// The ways on through a score: a moment on, again, or over some; rolled chords are struck
// once. Places half a second apart.
func TestOnwardThroughAScore(t *testing.T) {
	inf := math.Inf(1)
	for name, c := range map[string]struct {
		costs  []float64 // of the way to each of four moments, which was struck at 1 second
		k      int
		at     float64 // seconds: when moment k is struck
		paused bool
		cost   float64
		from   int
		wrong  int32 // bars
	}{
		"on":                   {[]float64{inf, 1, inf, inf}, 2, 1.5, false, 1, 1, 0},
		"on, early":            {[]float64{inf, 1, inf, inf}, 2, 1.2, false, 1 + earliest, 1, 0},
		"on, after a pause":    {[]float64{inf, 1, inf, inf}, 2, 3, true, 1 + latest, 1, 0},
		"again":                {[]float64{inf, inf, 1, inf}, 2, 1.5, false, 1 + onwardAgain, 2, 0},
		"again, after a pause": {[]float64{inf, inf, 1, inf}, 2, 3, true, 1 + onwardAgain + latest, 2, 0},
		"rolled":               {[]float64{inf, inf, 1, inf}, 2, 1.15, false, 1 + onwardRoll, 2, 0},
		"too slowly for that":  {[]float64{inf, inf, 1, inf}, 2, 1.16, false, 1 + onwardAgain, 2, 0},
		"one left out":         {[]float64{1, inf, inf, inf}, 2, 2, false, 1 + onwardSkip, 0, 1},
		"two left out":         {[]float64{1, inf, inf, inf}, 3, 2.5, false, 1 + 2*onwardSkip, 0, 1},
		"the cheapest":         {[]float64{0, inf, 3, inf}, 3, 1.5, false, 3, 2, 0},
		"none":                 {[]float64{inf, inf, inf, inf}, 2, 1.5, false, inf, 2, 0},
		"too dear to follow":   {[]float64{inf, 50, inf, inf}, 2, 1.5, false, inf, 2, 0},
	} {
		w := routes{wanted: make([]moment, 4), far: []float64{0, 0.5, 1, 1.5}, length: 2, beat: 0.5}
		ways := make([]route, 4)
		for i, cost := range c.costs {
			ways[i] = route{cost: cost, when: 1, onset: int32(i)}
		}
		got := w.onward(ways, c.k, c.at, 40, c.paused)
		assert.InDelta(t, c.cost, got.cost, 1e-9, name)
		assert.Equal(t, []int32{int32(c.from), c.wrong}, []int32{got.onset, got.wrongBars}, name)
	}
	// Where it begins again the last moment leads to the first.
	w := routes{wanted: make([]moment, 4), far: []float64{0, 0.5, 1, 1.5}, length: 2, beat: 0.5}
	last := []route{{cost: inf}, {cost: inf}, {cost: inf}, {when: 1, onset: 3}}
	assert.Equal(t, inf, w.onward(last, 0, 1.5, 40, false).cost)
	w.loop = true
	assert.Zero(t, w.onward(last, 0, 1.5, 40, false).cost)
	assert.InDelta(t, onwardSkip, w.onward(last, 1, 2, 40, false).cost, 1e-9)
	assert.Equal(t, 3*meter.Whole+2*8*meter.Whole, ledBy(t).placeOf(2, 3*meter.Whole))
}

// A pause, or a break that the follower noticed, may be a leap; so may a doubt, but
// nothing is kept back for it.
func TestWhatMayBeALeap(t *testing.T) {
	halt := func(gap float64) func(j *Judge) {
		return func(j *Judge) {
			j.led.beat, j.led.due, j.led.n = sec(0.5), sec(0.5), 2
			j.led.before.at, j.led.open.at = sec(10), sec(10+gap)
			j.halted()
		}
	}
	for name, c := range map[string]struct {
		does       func(j *Judge)
		on, likely bool
		since      float64
	}{
		"a pause":                 {halt(0.5 + leapPause*0.5 + 0.01), true, true, 10},
		"none":                    {halt(0.5 + leapPause*0.5), false, false, 0},
		"back":                    {func(j *Judge) { j.broke([]flow.Break{{Kind: finding.WentBack, Left: sec(9), Known: sec(11)}}) }, true, true, 9},
		"a stop":                  {func(j *Judge) { j.broke([]flow.Break{{Kind: finding.Stopped, Left: sec(9), Known: sec(11)}}) }, true, true, 9},
		"back from the last note": {func(j *Judge) { j.broke([]flow.Break{{Kind: finding.WentBack, At: 31 * meter.Quarter}}) }, false, false, 0},
		"a doubt":                 {func(j *Judge) { j.mayLeap(sec(9), sec(11), false) }, true, false, 9},
		"an old doubt":            {func(j *Judge) { j.mayLeap(sec(9), sec(30), false) }, true, false, 30 - 2*longestLeap},
		"since the latest leap":   {func(j *Judge) { j.led.leapt = sec(10); j.mayLeap(sec(9), sec(11), false) }, true, false, 10},
		"a doubt, then a pause":   {func(j *Judge) { j.mayLeap(sec(9), sec(9.5), false); halt(2)(j) }, true, true, 9},
	} {
		j := ledBy(t)
		c.does(j)
		assert.Equal(t, []bool{c.on, c.likely}, []bool{j.led.away.on, j.leaping()}, name)
		assert.Equal(t, sec(c.since), j.led.away.since, name)
	}
}

// How long it is until the next moment is due, as fast as the player is.
func TestWhenTheNextMomentIsDue(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", sixteen, "two-beat")
	j := New(s, leading)
	for _, ev := range sounding.Exact(s).Events() {
		if ev.At >= sec(4.1) {
			break
		}
		ev.At *= 2
		j.Feed(ev)
	}
	assert.InDelta(t, 1, j.led.due.Seconds(), 0.1)
	assert.InDelta(t, 1, j.led.beat.Seconds(), 0.1)
}

// A leap is told where it fits much better than to stay, and where the player is right in
// some bars after it: in three of a recording.
func TestALeapThatIsCertain(t *testing.T) {
	good := route{bars: 3, harmonies: 3, barsBefore: 3}
	with := func(bend func(r *route)) route {
		r := good
		bend(&r)
		return r
	}
	for name, c := range map[string]struct {
		l             leap
		patient, over bool
		want          bool
	}{
		"back after a pause":               {leap{route: good, saved: stopEvidence, back: true, paused: true}, true, false, true},
		"into a bar, by as much":           {leap{route: with(func(r *route) { r.to = 1 }), saved: stopEvidence + intoEvidence - 0.1, back: true, paused: true}, true, false, false},
		"into a bar, by more":              {leap{route: with(func(r *route) { r.to = 1 }), saved: stopEvidence + intoEvidence, back: true, paused: true}, true, false, true},
		"by too little":                    {leap{route: good, saved: stopEvidence - 0.1, back: true, paused: true}, true, false, false},
		"back in time":                     {leap{route: good, saved: backEvidence, back: true}, true, false, true},
		"back in time, by too little":      {leap{route: good, saved: backEvidence - 0.1, back: true}, true, false, false},
		"ahead":                            {leap{route: good, saved: aheadEvidence}, true, false, true},
		"ahead, by too little":             {leap{route: good, saved: aheadEvidence - 0.1}, true, false, false},
		"ahead after a pause":              {leap{route: good, saved: aheadEvidence - 0.1, paused: true}, true, false, false},
		"two bars":                         {leap{route: with(func(r *route) { r.bars, r.harmonies = 2, 2 }), saved: 20}, true, false, false},
		"two bars, live":                   {leap{route: with(func(r *route) { r.bars, r.harmonies = 2, 2 }), saved: 20}, false, false, true},
		"one bar, live":                    {leap{route: with(func(r *route) { r.bars, r.harmonies = 1, 1 }), saved: 20}, false, false, false},
		"one bar as it ends":               {leap{route: with(func(r *route) { r.bars, r.harmonies = 1, 1 }), saved: 20}, true, true, true},
		"one harmony":                      {leap{route: with(func(r *route) { r.harmonies = 1 }), saved: 20}, true, false, false},
		"a mistake in one bar of three":    {leap{route: with(func(r *route) { r.wrongBars = 1 }), saved: 20}, true, false, true},
		"in two":                           {leap{route: with(func(r *route) { r.wrongBars, r.barsBefore = 2, 9 }), saved: 20}, true, false, false},
		"in two of six, one of them after": {leap{route: with(func(r *route) { r.wrongBars, r.wrongBefore = 1, 1 }), saved: 20}, true, false, true},
		"in all bars before":               {leap{route: with(func(r *route) { r.wrongBefore = 3 }), saved: 20}, true, false, false},
	} {
		j := ledBy(t)
		j.options.Patient = c.patient
		assert.Equal(t, c.want, j.playsThere(&c.l, c.over), name)
	}
}

// A leap takes back what was kept back of the place that was left, and the bars after it
// are judged where they are: a mistake there is told, and nothing twice.
func TestOnAfterALeap(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", sixteen, "two-beat")
	for name, c := range map[string]struct {
		pause float64 // beats
		lists [][]int
		wrong int // of what is played: this bar's bass is
		want  finding.Cause
	}{
		"two bars left out":            {0, [][]int{bars(1, 6), bars(9, 16)}, 9, finding.Cause{Kind: finding.Skipped, Bar: 7, ToBar: 8}},
		"two bars back":                {2, [][]int{bars(1, 8), bars(7, 16)}, 9, finding.Cause{Kind: finding.Restarted, Bar: 8, ToBar: 7}},
		"one bar again":                {3, [][]int{bars(1, 6), bars(6, 16)}, 8, finding.Cause{Kind: finding.Restarted, Bar: 6, ToBar: 6}},
		"two bars from the end on":     {0, [][]int{bars(1, 10), bars(13, 16)}, 2, finding.Cause{Kind: finding.Skipped, Bar: 11, ToBar: 12}},
		"from the end, to play it all": {2, [][]int{bars(1, 16), bars(1, 16)}, 9, finding.Cause{}},
	} {
		p := rearranged(s, c.pause, c.lists...)
		for i := range p.Notes {
			if n := &p.Notes[i]; n.Bar == c.wrong && n.Key < 55 {
				n.Key++
			}
		}
		j := New(s, leading)
		var found []finding.Finding
		var last time.Duration
		for _, ev := range slowly(p) {
			found = append(found, j.Feed(ev)...)
			last = ev.At
		}
		found = append(found, j.Finish(last)...)
		told := slices.DeleteFunc(j.Summary().Causes, func(c finding.Cause) bool { return !c.Kind.Leaps() })
		if c.want.Kind == finding.NoCause {
			assert.Empty(t, told, name)
			continue
		}
		if assert.Len(t, told, 1, name) {
			assert.Equal(t, c.want, finding.Cause{Kind: told[0].Kind, Bar: told[0].Bar, ToBar: told[0].ToBar}, name)
		}
		rights := map[int]int{}
		for _, f := range found {
			switch {
			case f.Kind == finding.Right:
				rights[f.Want]++
			case mistaken(f.Kind):
				assert.Equal(t, c.wrong, f.Bar+1, "%s: %s", name, f.Kind)
			}
		}
		for want, n := range rights {
			if s.Wants[want].Bar >= max(c.want.Bar, c.want.ToBar) { // what is played for the first time after it
				assert.Equal(t, 1, n, "%s: stroke %d is told once", name, want)
			}
		}
	}
}

// An engine after a leap is where the player is, and pedals are where they were.
func TestWhereALeapLeads(t *testing.T) {
	j := ledBy(t)
	ends := strikeMoments(j, 1, 0, 15)
	j.kept.add(event.Event{At: sec(ends - 0.2), Status: event.ControlChange, Data1: event.Damper, Data2: 127})
	strikeMoments(j, ends+1, 24, 27)
	j.doubt.on = true
	j.doubt.held = []finding.Finding{
		{Kind: finding.WrongBass, At: sec(ends - 0.5)},
		{Kind: finding.Missing, At: sec(ends + 1.2)},
		{Kind: finding.Short, At: sec(ends + 1.3)},
	}
	j.led.away.pass = 3
	j.goOn(&leap{route: route{left: 15, to: 24}, before: sec(ends - 0.5), after: sec(ends + 1)})
	var told []finding.Kind
	bars := map[int]bool{}
	for _, f := range j.out {
		if told = append(told, f.Kind); f.Kind == finding.Right {
			bars[f.Bar] = true
			assert.Equal(t, 3, f.Pass)
		}
	}
	assert.Equal(t, []finding.Kind{finding.WrongBass, finding.Short}, told[:2])
	assert.Equal(t, map[int]bool{6: true}, bars, "of the bar that begins with moment 24")
	assert.Equal(t, 6, j.heard.Leader().Estimate().Bar)
	assert.True(t, j.heard.Keys.PedalIsDown())
	assert.False(t, j.doubt.on)
	assert.Equal(t, away{}, j.led.away)
	assert.Equal(t, sec(ends+1), j.led.leapt)
}
