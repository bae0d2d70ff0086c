package practice

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/judge/finding"
	"undersong/internal/play/mistakes"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

// ledInBar3 is a player who leads, in bar 3, with a wrong bass in bar 2.
func ledInBar3(t *testing.T) *bench {
	b := newBench(t, tune, led)
	b.playFrom(time.Second, wrongBass(b, 2), time.Second+2*bar+600*time.Millisecond).pass(time.Second + 2*bar + 700*time.Millisecond)
	require.Equal(t, 3, b.bar())
	return b
}

func TestWhoLeadsIsNeitherSlowedNorBegun(t *testing.T) {
	b := ledInBar3(t)
	for _, do := range []sitting.Do{sitting.DoBegin, sitting.DoGoOn, sitting.DoSlower, sitting.DoFaster, sitting.DoHint} {
		assert.False(t, b.s.State().Menu.Has(do), do)
		b.do(do)
	}
	assert.Equal(t, []string{"not now: begin", "not now: go on", "not now: slower", "not now: faster", "not now: hint"}, b.notices())
	assert.Equal(t, 3, b.bar(), "the music is where it was")
}

// After a pause, and when asked for again, the player begins where it suits.
func TestWhoLeadsPausesAndBeginsWhereItSuits(t *testing.T) {
	for _, c := range []struct {
		name  string
		asked []sitting.Do
	}{
		{"a pause", []sitting.Do{sitting.DoPause, sitting.DoGoOn}},
		{"again", []sitting.Do{sitting.DoAgain}},
		{"again, in a pause", []sitting.Do{sitting.DoPause, sitting.DoAgain}},
	} {
		b := ledInBar3(t)
		for _, do := range c.asked {
			if do == sitting.DoGoOn || len(c.asked) == 2 && do == sitting.DoAgain {
				require.Equal(t, sitting.Paused, b.s.view().Phase, c.name)
				events := exact(t, b.score, mistakes.Plan{})
				b.playFrom(b.now, events[:8], time.Hour).pass(b.now + time.Minute)
				assert.Equal(t, sitting.Paused, b.s.view().Phase, "%s: nobody listens in a pause", c.name)
			}
			b.do(do)
		}
		assert.Equal(t, sitting.Waiting, b.s.view().Phase, c.name)
		assert.False(t, b.s.State().Menu.Has(sitting.DoAgain), "%s: it begins again already", c.name)
		assert.Empty(t, b.sent, "%s: no click", c.name)
		b.playFrom(b.now+time.Second, exact(t, b.score, mistakes.Plan{}), time.Hour).pass(time.Hour)
		assert.Equal(t, 1, b.count("wrong-bass"), c.name)
		assert.Zero(t, b.count("missing"), "%s: what was not played of bar 3 is not missing", c.name)
		assert.GreaterOrEqual(t, b.count("right"), 16+7, c.name)
	}
}

func TestWhoLeadsGoesRoundALineOrBars(t *testing.T) {
	for name, c := range map[string]struct {
		command sitting.Command
		span    score.Span
		hands   score.Only
	}{
		"the line":          {sitting.Command{Do: sitting.DoLine}, score.Span{From: 1, To: 4}, score.BothHands},
		"bars":              {sitting.Command{Do: sitting.DoBars, Bars: score.Span{From: 2, To: 3}}, score.Span{From: 2, To: 3}, score.BothHands},
		"what is suggested": {sitting.Command{Do: sitting.DoSuggested}, score.Span{From: 1, To: 3}, score.LeftAlone},
	} {
		b := ledInBar3(t)
		b.s.Do(b.now, c.command)
		h := b.heading()
		assert.Equal(t, c.span, h.Span, name)
		assert.Equal(t, c.hands, h.Hands, name)
		assert.True(t, h.Loop && h.Follow, name)
		assert.Equal(t, sitting.Waiting, b.s.view().Phase, "%s: the first key begins", name)
		assert.True(t, b.s.State().Menu.Has(sitting.DoWhole), name)
		b.do(sitting.DoWhole)
		assert.Equal(t, score.Span{}, b.heading().Span, name)
		assert.Equal(t, score.BothHands, b.heading().Hands, name)
		assert.False(t, b.heading().Loop, name)
	}
}

func TestOneHandOfWhoLeadsIsJudged(t *testing.T) {
	b := ledInBar3(t)
	c := b.s.State().Menu.At(7)
	require.Equal(t, sitting.Command{Do: sitting.DoHands, Hands: score.LeftAlone}, c)
	b.s.Do(b.now, c)
	plan := mistakes.Plan{}.Plant(mistakes.Missing, want(t, b.score, 4, 2, pattern.Right))
	b.playFrom(b.now+time.Second, exact(t, b.score, plan), time.Hour).pass(time.Hour)
	assert.Zero(t, b.count("missing"))
	assert.Equal(t, 1, b.count(finding.WrongBass.String()), "of before")
}

func TestWhoLeadsEnds(t *testing.T) {
	b := ledInBar3(t)
	b.stop()
	require.True(t, b.s.Done())
	assert.Equal(t, 1, b.count("wrong-bass"))
	assert.Zero(t, b.count("missing"), "nobody has to play on after stopping")
	assert.Equal(t, sitting.Finished, b.s.view().Phase)
	assert.Empty(t, b.s.State().Menu.Choices)
}
