package follow

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/meter"
	"undersong/internal/play/mistakes"
	"undersong/internal/play/performer"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
	"undersong/internal/test/reduced"
)

// freedoms are ways of playing whole and right.
var freedoms = []manner{
	{name: "half to double tempo", plan: swaying},
	{name: "fermatas of ten seconds", plan: heldLong},
	{name: "a hand rests", plan: resting},
	{name: "ornaments", plan: sown(0), alter: ornamented},
}

// breaks are ways of leaving the order of the score.
var breaks = []manner{
	{name: "bars left out", plan: sown(0.04, mistakes.SkipBar)},
	{name: "bars repeated", plan: sown(0.04, mistakes.RepeatBar)},
	{name: "jumps", plan: sown(0.04, mistakes.Jump)},
	{name: "stops", plan: sown(0.04, mistakes.Pause, mistakes.Stumble)},
	{name: "restarts", plan: sown(0.04, mistakes.Restart)},
	{name: "half the tempo, and all breaks", plan: bothOf(steadyAt(0.5), sown(0.04, mistakes.FollowKinds()...))},
}

// swaying goes from the tempo to half of it, to double and back.
func swaying(s *score.Score, _ uint64) mistakes.Plan {
	return mistakes.Plan{Tempo: []performer.TempoMark{
		{Share: 1}, {At: s.Length / 4, Share: 0.5}, {At: s.Length / 2, Share: 2}, {At: s.Length * 3 / 4, Share: 0.7}, {At: s.Length, Share: 1},
	}}
}

// resting leaves out each hand by turns, for two bars of every six, where the other
// plays.
func resting(s *score.Score, _ uint64) mistakes.Plan {
	return mistakes.Plan{Bend: func(strokes []performer.Stroke) {
		plays := map[[2]int]bool{}
		for i := range s.Wants {
			plays[[2]int{s.Wants[i].Bar, int(s.Wants[i].Hand)}] = true
		}
		for i := range strokes {
			st := &strokes[i]
			if st.Want < 0 {
				continue
			}
			bar := s.Wants[st.Want].Bar
			rests := bar%6 == 2 || bar%6 == 3
			st.Silent = st.Silent || rests && int(st.Hand) == bar/6%2 && plays[[2]int{bar, int(st.Hand.Other())}]
		}
	}}
}

func bothOf(a, b func(*score.Score, uint64) mistakes.Plan) func(*score.Score, uint64) mistakes.Plan {
	return func(s *score.Score, seed uint64) mistakes.Plan {
		p := b(s, seed)
		p.Tempo = a(s, seed).Tempo
		return p
	}
}

// everyday is the n-th performance of a manner: another tune, pattern, key, tempo and
// player each time.
func everyday(t *testing.T, m manner, all []*pattern.Pattern, n int) (*score.Score, mistakes.Performance) {
	for k := n; ; k += len(freedoms) + len(breaks) {
		c, p := material.DemoChart(t, tunes[k%len(tunes)]), all[7*k%len(all)]
		if !p.Fits(c.Meter) {
			continue
		}
		s := lay(t, c, p, someKeys[k%len(someKeys)], c.Tempo*[]meter.Tempo{1, 0.8, 1.2}[k%3])
		perf, err := mistakes.Play(s, pianist(t, k), m.plan(s, uint64(n)), uint64(n))
		require.NoError(t, err)
		if m.alter != nil {
			m.alter(&perf)
		}
		return s, perf
	}
}

// pianist is one of four: a beginner, a steady and a fluent one who bend the tempo, and
// one who plays as concert players do.
func pianist(t *testing.T, n int) performer.Habits {
	levels := []string{"beginner", "steady", "fluent"}
	if n%4 == len(levels) {
		return performer.Expressive()
	}
	h, err := performer.Human(levels[n%4])
	require.NoError(t, err)
	h.TempoWalk, h.Rubato = 0.03, 0.15
	return h
}

// Five hundred performances of charts as they may happen at home: half of them whole
// and free in time, half with breaks, one every two dozen bars.
func TestAccuracyOfFiveHundred(t *testing.T) {
	count := 250 / reduced.By()
	if testing.Short() {
		count = 24
	}
	t.Log(headings)
	whole := hundreds(t, "whole", freedoms, count)
	broken := hundreds(t, "broken", breaks, count)
	assert.Zero(t, whole.strays, "strays in playing that leaves nothing out and goes nowhere")
	assert.GreaterOrEqual(t, share(whole.right, whole.onsets), 0.99)
	assert.GreaterOrEqual(t, share(broken.right, broken.onsets), 0.97)
	assert.LessOrEqual(t, broken.breaks-broken.audible, 1+broken.breaks*3/100, "lost for more than two bars, where the difference can be heard")
}

func hundreds(t *testing.T, name string, manners []manner, count int) (sum tally) {
	all := catalogue(t)
	by := make([]tally, len(manners))
	for n := range count {
		s, perf := everyday(t, manners[n%len(manners)], all, n)
		one := measure(s, perf, fmt.Sprintf("%s/%d", name, n))
		by[n%len(manners)].add(one)
		sum.add(one)
	}
	for i := range manners {
		t.Log(by[i].line(manners[i].name))
		by[i].rows(name + ", " + manners[i].name)
	}
	t.Logf("%s, strays %d", sum.line(name), sum.strays)
	return sum
}
