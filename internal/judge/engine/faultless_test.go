package engine

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/judge/finding"
	"undersong/internal/judge/rules"
	"undersong/internal/midi/event"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
	"undersong/internal/test/sounding"
	"undersong/internal/ui/words"
)

func TestLoopGoesRoundWithoutEnd(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", "| C | F |", "two-beat")
	e := New(s, Options{Level: rules.Steady, Loop: true})
	pass := e.Click.Pass()
	n := 0
	for i := 0; i < 500; i++ {
		for _, ev := range sounding.Exact(s).Events() {
			ev.At += time.Duration(i) * pass
			for _, f := range e.Feed(ev) {
				require.Equal(t, finding.Right, f.Kind, voiceOf(e).Line(&f))
				require.Equal(t, i, f.Pass)
				n++
			}
		}
	}
	assert.Equal(t, 500*len(s.Wants), n)
}

func TestPlayerWhoStopsIsNotNagged(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", "| C | F | G7 | C | C | F | G7 | C |", "block-whole")
	p := sounding.Exact(s)
	p.Notes = p.Notes[:8]
	found, _ := run(s, p.Events(), rules.Steady)
	assert.Len(t, found, 4)
	none, _ := run(s, nil, rules.Steady)
	assert.Empty(t, none)
}

func TestSummary(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", "| C | F | G7 | C |", "two-beat")
	p := sounding.Exact(s).Keys(left, 3, 1, 48).Keys(left, 3, 3, 48).Keys(right, 2, 2)
	_, e := run(s, p.Events(), rules.Steady)
	sum := e.Summary()
	assert.Equal(t, 2, sum.Count(finding.WrongBass))
	assert.Equal(t, 1, sum.Count(finding.Missing))
	assert.Equal(t, 13, sum.Count(finding.Right))
	assert.Equal(t, 3, sum.Wrong())
	require.Len(t, sum.Troubles, 2)
	assert.Equal(t, finding.Trouble{Kind: finding.WrongBass, Part: finding.LeftHand, Bars: []int{3}, Count: 2}, sum.Troubles[0])
	assert.Equal(t, 7, sum.Timing[right].Strokes)
	assert.InDelta(t, 0, sum.Timing[right].MeanMs, 0.001)
}

func TestUnpluggedReleasesEverything(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", "| C | F |", "block-whole")
	e := New(s, Options{Level: rules.Steady})
	e.Feed(event.On(0, 48, 70))
	e.Feed(event.Pedal(0, 127))
	assert.Equal(t, []pitch.Num{48}, e.Keys.Sounding().Keys())
	e.Unplugged()
	assert.Zero(t, e.Keys.Down.Len())
	assert.Empty(t, e.Keys.Sounding().Keys())
}

func TestSteadyDelayIsNoFault(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", "| C | F | G7 | C | Am | F | G7 | C |", "two-beat")
	p := sounding.Exact(s)
	for i := range p.Notes {
		p.Notes[i].At -= 45 * time.Millisecond // a cable's fault, beyond strict's 40 ms
		if p.Notes[i].At < 0 {
			p.Notes[i].At = 0
		}
	}
	found, _ := run(s, p.Events(), rules.Strict)
	early := 0
	for i := range found {
		if found[i].Kind == finding.Early {
			early++
			assert.Less(t, found[i].Bar, 4, "told while the delay is not known yet")
		}
	}
	assert.LessOrEqual(t, early, 12)
}

func TestOneHandAlone(t *testing.T) {
	c := material.Chart(t, "key: C\ntempo: 120\nmeter: 4/4\n\n| C | F |\n")
	p := material.Shipped(t, "two-beat")
	s, err := score.Build(c, p, score.Options{Only: score.LeftAlone})
	require.NoError(t, err)
	take := sounding.Exact(s).Keys(right, 1, 2, 61, 66, 70).Keys(right, 2, 4).Add(76, beat/2, beat)
	assert.Empty(t, wrongs(s, take), "what the right hand plays is not judged")
	assert.Equal(t, []string{"left wrong-bass: bar 2, beat 1: bass G, this is F - go down to F"}, wrongs(s, sounding.Exact(s).Keys(left, 2, 1, 43)))
	alone := sounding.Exact(s)
	for i := range alone.Notes {
		if alone.Notes[i].Hand == right {
			alone.Notes[i].Velocity = 0
		}
	}
	found, _ := run(s, alone.Events(), rules.Steady)
	assert.Len(t, found, 4, "nor whether it plays at all")
	left := material.Shipped(t, "broken-up")
	_, err = score.Build(c, left, score.Options{Only: score.RightAlone})
	assert.ErrorContains(t, err, `pattern "broken-up" gives the right hand nothing to play`)
}

func TestBalanceIsWeighedByThePlayersOwnTouch(t *testing.T) {
	bars := "|" + strings.Repeat(" C | F |", 8)
	gentle := func(p *sounding.Take, bar int, velocity uint8) {
		p.Each(left, bar, 1, func(n *sounding.Note) { n.Velocity = velocity })
	}
	// Every stroke at 70 but the bass of bar 15, softer by 18: nothing for a player
	// of changing loudness, much for one so even.
	s := sounding.ScoreOf(t, "3/4", bars, "waltz")
	even := sounding.Exact(s)
	gentle(even, 15, 52)
	assert.Equal(t, []string{"right balance: bar 15, beat 1: chords too loud - lighter chords, firmer bass"}, wrongs(s, even))
	wild := sounding.Exact(s)
	for i := range wild.Notes {
		if n := &wild.Notes[i]; n.Bar%2 == 0 {
			n.Velocity = 100
		}
	}
	gentle(wild, 15, 52)
	assert.Empty(t, wrongs(s, wild))
}

func TestHalfPedalBlursNothing(t *testing.T) {
	// Values under 64 are not down (MIDI 1.0 Detailed Specification 4.2.1, controller 64).
	s := sounding.ScoreOf(t, "4/4", "| C | F | C |", "block-whole")
	p := sounding.Exact(s)
	p.Pedals = []event.Event{event.Pedal(beat, 60), event.Pedal(11*beat, 0)}
	assert.Empty(t, wrongs(s, p))
}

func TestHandsThatCross(t *testing.T) {
	crossing := "name: x\nmeter: 4/4\ngrid: quarters\nlengths: free\nright: . ch - .\nleft: 1 . . 5''\n"
	s := sounding.ScoreOf(t, "4/4", "| C | F |", crossing)
	p := sounding.Exact(s)
	assert.Empty(t, wrongs(s, p), "the left hand strikes over the right")
	assert.Equal(t, []string{"left wrong-bass: bar 2, beat 4: bass D, the fifth of F is wanted here - go down to C"}, wrongs(s, sounding.Exact(s).Keys(left, 2, 4, 74)))
}

func TestAfterTheEndEverythingIsAllowed(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", "| C | F |", "two-beat")
	p := sounding.Exact(s)
	for i, k := range []pitch.Num{48, 60, 64, 67} {
		p.Add(k, 8*beat+time.Duration(i)*8*time.Millisecond, 12*beat)
	}
	p.Add(48, 8*beat+beat/2, 9*beat)
	assert.Empty(t, wrongs(s, p))
}

func TestRushingIsATendency(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", "|"+strings.Repeat(" C | F |", 4), "two-beat")
	p := sounding.Exact(s)
	for i := range p.Notes {
		p.Notes[i].At -= time.Duration(float64(p.Notes[i].At) * 0.004) // 64 ms ahead after 16 s
	}
	found, e := run(s, p.Events(), rules.Steady)
	for i := range found {
		assert.Equal(t, finding.Right, found[i].Kind, "no single stroke is early")
	}
	sum := e.Summary()
	for _, h := range []pattern.Hand{left, right} {
		assert.InDelta(t, -60, sum.Timing[h].DriftMs, 6)
	}
}

func TestRollTakesItsTime(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", "| C | F |", "name: x\nmeter: any\ngrid: bars\nright: ~ch\nleft: 1\n")
	p := sounding.Exact(s)
	n := 0
	for i := range p.Notes {
		if p.Notes[i].Hand == right {
			p.Notes[i].At += time.Duration(n%3) * 90 * time.Millisecond
			n++
		}
	}
	assert.Empty(t, wrongs(s, p))
}

func TestAnAccentMustReallyBeLouder(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", "| C | F |", "backbeat")
	p := sounding.Exact(s)
	for i := range p.Notes {
		p.Notes[i].Velocity = 70
	}
	assert.Equal(t, []string{
		"right balance: bar 1, beat 2: accent too soft - lean on beat 2",
		"right balance: bar 2, beat 2: accent too soft - lean on beat 2",
	}, wrongs(s, p))
}

func voiceOf(e *Engine) *words.Wording { return &words.Wording{Score: e.Score, Ear: e.Ear} }
