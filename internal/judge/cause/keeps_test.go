package cause

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/engine"
	"undersong/internal/judge/finding"
	"undersong/internal/judge/rules"
	"undersong/internal/test/sounding"
)

// Who keeps another tempo than the click's keeps it as people do: slower by and by, or a
// bit faster again. It is kept up with, and told once.
func TestATempoIsKeptUpWith(t *testing.T) {
	for name, turns := range map[string][]float64{ // the tempo of four bars after another, to the click's
		"evenly":           {0.75, 0.75, 0.75, 0.75},
		"slower by and by": {0.75, 0.74, 0.73, 0.72},
		"and faster again": {0.75, 0.73, 0.74, 0.76},
		"faster":           {1.3, 1.32, 1.34, 1.36},
	} {
		for _, patient := range []bool{true, false} {
			s := sounding.ScoreOf(t, "4/4", sixteen, "two-beat")
			p := sounding.Exact(s)
			bar := s.Time(s.Bars[1].At)
			turned := func(at time.Duration) (t time.Duration) {
				for i, pace := range turns {
					way := min(at, 4*bar)
					if at -= way; i == len(turns)-1 {
						way += at
					}
					t += time.Duration(float64(way) / pace)
				}
				return t
			}
			for i := range p.Notes {
				n := &p.Notes[i]
				n.At, n.Till = turned(n.At), turned(n.Till)
			}
			h, _ := played(s, p.Events(), Options{Patient: patient}, 0)
			if assert.Len(t, h.causes, 1, name) {
				assert.InDelta(t, turns[0], h.causes[0].Ratio, 0.02, name)
			}
			for _, f := range h.found {
				assert.True(t, f.Kind == finding.Right || f.Bar < 3 && !patient, "%s: %s in bar %d", name, f.Kind, f.Bar+1)
			}
		}
	}
}

// Strokes that come late now and then say nothing about a tempo, nor do few.
func TestWhenATempoIsMeasuredAnew(t *testing.T) {
	for name, c := range map[string]struct {
		late []time.Duration
		want bool
	}{
		"in time":          {[]time.Duration{0, 0, 0, 0, 0, 0, 0, 0}, false},
		"late":             {[]time.Duration{40 * ms, 40 * ms, 40 * ms, 40 * ms, 40 * ms, 40 * ms}, true},
		"early":            {[]time.Duration{-40 * ms, -40 * ms, -40 * ms, -40 * ms, -40 * ms, -40 * ms}, true},
		"too few":          {[]time.Duration{40 * ms, 40 * ms, 40 * ms, 40 * ms, 40 * ms}, false},
		"not by much":      {[]time.Duration{29 * ms, 29 * ms, 29 * ms, 29 * ms, 29 * ms, 29 * ms}, false},
		"by turns":         {[]time.Duration{60 * ms, -60 * ms, 60 * ms, -60 * ms, 60 * ms, -60 * ms}, false},
		"later, at length": {[]time.Duration{0, 0, 0, 0, 0, 0, 60 * ms, 60 * ms, 60 * ms, 60 * ms}, true},
	} {
		for _, pace := range []float64{0.5, 0} {
			j := judgeOf(t, false)
			j.reading = reading{pace: pace}
			j.heard, _ = j.judge(&j.reading, stretch{0, 0, 7}, false)
			j.astray.since = sec(-20)
			got := false
			for _, late := range c.late {
				f := finding.Finding{Kind: finding.Right, Part: finding.LeftHand, Want: 8, Bar: 2, Offset: late}
				got = got || j.keepUp(&f)
			}
			assert.Equal(t, c.want && pace != 0, got, name)
		}
	}
}

// A tempo that is measured anew goes through where it was measured first, and through where
// strokes come now.
func TestATempoMeasuredAnew(t *testing.T) {
	j := judgeOf(t, false)
	j.reading = reading{pace: 0.5}
	j.heard, _ = j.judge(&j.reading, stretch{0, 0, 7}, false)
	was := j.reading
	j.astray = astray{since: sec(3), n: latestAstray, mean: 40e6}
	f := finding.Finding{Kind: finding.Right, Part: finding.LeftHand, Want: 8, Bar: 2, Offset: 40 * ms}
	at := j.wantedAt(&f) // two bars of 4 s later than 1 s
	assert.Equal(t, sec(9), at)
	assert.True(t, j.keepUp(&f))
	assert.InDelta(t, j.inScore(&was, sec(3)).Seconds(), j.inScore(&j.reading, sec(3)).Seconds(), 1e-6)
	assert.InDelta(t, j.inScore(&was, at).Seconds(), j.inScore(&j.reading, at+40*ms).Seconds(), 1e-3)
	assert.True(t, j.found)
	assert.Equal(t, astray{since: at}, j.astray)
	assert.InDelta(t, (at+40*ms).Seconds()-j.close().Seconds()/2, j.doubt.tell.Seconds(), 1e-6)
}

// From when on a reading takes the place of the present one: each finding with its place,
// in seconds, and what it costs. A mistake must be saved by that.
func TestFromWhenAReadingCostsLess(t *testing.T) {
	type all = []cost
	of := func(at, nats float64) cost { return cost{sec(at), nats} }
	for name, c := range map[string]struct {
		present, other all
		want           float64
	}{
		"the other is right throughout":     {all{of(1, 5.5), of(2, 5.5), of(3, 5.5)}, all{of(1, 0), of(2, 0), of(3, 0)}, 1},
		"it is right from the third on":     {all{of(1, 0), of(2, 0), of(3, 5.5)}, all{of(1, 5.5), of(2, 0.5), of(3, 0)}, 3},
		"a mistake less is enough":          {all{of(1, 0), of(2, 5.5)}, all{of(1, 5.5), of(2, 0)}, 2},
		"less than that is not":             {all{of(1, 0), of(2, 5.5)}, all{of(1, 5), of(2, 0)}, 1},
		"a mistake under both":              {all{of(1, 5.5), of(2, 5.5)}, all{of(1, 5.5), of(2, 0)}, 1},
		"at places that the other lacks":    {all{of(1, 0), of(2, 0), of(3, 5.5)}, all{of(1, 5.5), of(3, 0)}, 2},
		"nothing of the present one":        {nil, all{of(1, 5.5), of(2, 0)}, 2},
		"nothing of either":                 {nil, nil, 1},
		"two are at one place":              {all{of(1, 0), of(1, 0), of(2, 5.5)}, all{of(1, 5.5), of(1, 0.5), of(2, 0)}, 2},
		"worse later is not where it turns": {all{of(1, 0), of(2, 5.5), of(3, 0)}, all{of(1, 5.5), of(2, 0), of(3, 0)}, 2},
	} {
		assert.Equal(t, sec(c.want), cut(c.present, c.other, sec(1)), name)
	}
}

// Bars left out in a chart that repeats: after bar 4 of a verse and its refrain bar 7 is
// played, which sounds as bar 5 would. It is known with bar 12, and nothing is left over;
// of bars that may as well be meant the middle ones are told.
func TestBarsLeftOutWhereTheMusicRepeats(t *testing.T) {
	s := sounding.ScoreOf(t, "3/4", "| F | F | F | C7 | C7 | F | C7 | F | F | F | F | C7 | C7 | F | C7 | F |", "waltz")
	p := sounding.Exact(s)
	bar := s.Time(s.Bars[1].At)
	var left []sounding.Note
	for _, n := range p.Notes {
		if n.Bar >= 7 {
			n.At, n.Till = n.At-2*bar, n.Till-2*bar
		} else if n.Bar >= 5 {
			continue
		}
		left = append(left, n)
	}
	p.Notes = left
	j := New(s, Options{Options: engine.Options{Level: rules.Steady}, Patient: true})
	var found []finding.Finding
	for _, ev := range p.Events() {
		found = append(found, j.Feed(ev)...)
	}
	found = append(found, j.Finish(s.Time(s.Length))...)
	assert.Empty(t, wrongs(found))
	causes := j.Summary().Causes
	if assert.Len(t, causes, 1) {
		assert.Equal(t, finding.Skipped, causes[0].Kind)
		assert.Equal(t, []int{6, 7}, []int{causes[0].Bar, causes[0].ToBar})
	}
}

// Music that is beats off is on a beat of the click, or a half, where it is near to one.
func TestMusicIsOnTheBeat(t *testing.T) {
	for late, want := range map[float64]float64{ // seconds, at two beats a second
		0.5: 0.5, 0.54: 0.5, 0.46: 0.5, 0.541: 0.541, -0.52: -0.5, 0.27: 0.25, -1.26: -1.25, 0.22: 0.22, 0.1: 0.1, 0: 0,
	} {
		assert.Equal(t, sec(want), judgeOf(t, false).onBeat(sec(late)), "%g s", late)
	}
}

// Something else is played where less is wrong with it than with what is asked for, and no
// note more is unexplained.
func TestSomethingElseExplainsMore(t *testing.T) {
	for name, c := range map[string]struct {
		w, was weight
		want   bool
	}{
		"all right":          {weight{right: 12, struck: 30}, weight{wrong: 12, notes: 20}, true},
		"half as many wrong": {weight{right: 12, wrong: 3, struck: 30}, weight{wrong: 6, notes: 20}, true},
		"more than that":     {weight{right: 12, wrong: 3, struck: 30}, weight{wrong: 5, notes: 20}, false},
		"more unexplained":   {weight{right: 12, notes: 6, struck: 30}, weight{wrong: 12, notes: 5}, false},
		"as many":            {weight{right: 12, notes: 6, struck: 30}, weight{wrong: 12, notes: 6}, true},
		"too many of all":    {weight{right: 12, notes: 10, struck: 30}, weight{wrong: 12, notes: 20}, false},
		"too few right":      {weight{right: 5, wrong: 4, struck: 30}, weight{wrong: 12, notes: 20}, false},
	} {
		assert.Equal(t, c.want, c.w.instead(&c.was), name)
	}
}
