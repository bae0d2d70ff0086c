package practice

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/judge/finding"
	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
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

// Whoever leads makes the tempo; what can be set is the one that is expected.
func TestTheTempoThatIsExpectedOfWhoLeads(t *testing.T) {
	for name, rest := range map[string][]sitting.Do{"in a pause": {sitting.DoPause}, "before the first key": {sitting.DoPause, sitting.DoGoOn}} {
		b := ledInBar3(t)
		for _, do := range rest {
			b.do(do)
		}
		phase := b.s.view().Phase
		b.do(sitting.DoSlower).do(sitting.DoSlower)
		b.do(sitting.DoFaster)
		assert.Equal(t, []string{"expecting tempo 116", "expecting tempo 112", "expecting tempo 116"}, last(b.notices(), 3), name)
		assert.Equal(t, phase, b.s.view().Phase, "%s: and it waits as before", name)
		assert.Equal(t, meter.Tempo(116), b.s.view().Tempo, name)
		if phase == sitting.Paused {
			b.do(sitting.DoGoOn)
		}
		b.playFrom(b.now+time.Second, exact(t, b.score, mistakes.Plan{})[:2], time.Hour)
		assert.InDelta(t, 116, float64(b.s.view().Tempo), 1, "%s: until the player's own is heard", name)
		assert.Empty(t, b.sent, "%s: no click", name)
	}
}

func last(all []string, n int) []string { return all[len(all)-n:] }

// held are the two lowest keys, and a white key above them, at the piano.
func held(at time.Duration, command uint8) []event.Event {
	return []event.Event{
		event.On(at, 21, 60), event.On(at, 22, 60), event.On(at+2*time.Second, command, 60), event.Off(at+2100*time.Millisecond, command),
		event.Off(at+3*time.Second, 21), event.Off(at+3*time.Second, 22),
	}
}

// Commands at the piano leave it to who leads when the music goes on.
func TestWhoLeadsCommandsAtThePiano(t *testing.T) {
	for name, c := range map[string]struct {
		key   uint8
		loops bool
		tempo meter.Tempo
	}{
		"again":         {key: 24, tempo: 120},
		"slower":        {key: 26, tempo: 116},
		"loop the line": {key: 29, loops: true, tempo: 120},
	} {
		b := ledInBar3(t)
		for k := b.s.State().Sound.Down.Lowest(); k >= 0; k = b.s.State().Sound.Down.Lowest() {
			b.s.Event(event.Off(b.now, uint8(k)))
		}
		b.playFrom(b.now+time.Second, held(0, c.key), time.Hour).pass(b.now + 5*time.Second)
		assert.Equal(t, sitting.Waiting, b.s.view().Phase, name)
		assert.Equal(t, c.tempo, b.s.view().Tempo, name)
		assert.Equal(t, c.loops, b.heading().Loop, name)
		b.playFrom(b.now, exact(t, b.score, mistakes.Plan{}), b.now+bar+600*time.Millisecond)
		assert.Equal(t, 2, b.bar(), "%s: the first key begins", name)
	}
}

// What undersong plays comes along with what is asked for.
func TestWhoLeadsWithAPartnerGoesRoundBars(t *testing.T) {
	b := newBench(t, tune, ledWithLeft)
	b.playFrom(0, rightHand(t, b.score), bar+600*time.Millisecond)
	b.s.Do(b.now, sitting.Command{Do: sitting.DoBars, Bars: score.Span{From: 3, To: 4}})
	_, down := b.sounded()
	assert.Zero(t, down)
	before, _ := b.sounded()
	laid := b.s.State().Piece.Score
	one := rightHand(t, laid)
	b.playFrom(b.now+time.Second, rounds(one, one), time.Hour)
	ons, _ := b.sounded()
	require.Len(t, ons[len(before):], 2*len(lefts(laid)), "without the first, but with that of the third round")
	assert.Equal(t, uint8(lefts(laid)[1].Tones[0].Key), ons[len(before)].Data1)
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
