package cause

import (
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/judge/engine"
	"undersong/internal/judge/finding"
	"undersong/internal/judge/rules"
	"undersong/internal/listen/keyboard"
	"undersong/internal/midi/event"
	"undersong/internal/music/pitch"
	"undersong/internal/play/mistakes"
	"undersong/internal/play/performer"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/test/sounding"
)

// plainly is what the engine finds.
func plainly(s *score.Score, evs []event.Event) (all []finding.Finding) {
	e := engine.New(s, engine.Options{Level: rules.Steady})
	for _, ev := range evs {
		all = append(all, e.Feed(ev)...)
	}
	return append(all, e.Finish(evs[len(evs)-1].At)...)
}

// noted writes findings down, all that concerns no pedal.
func noted(found []finding.Finding) (all []string) {
	for _, f := range found {
		if f.Kind != finding.Blurred {
			all = append(all, fmt.Sprintf("%s: %s, bar %d, beat %g, at %s", f.Kind, f.Part, f.Bar+1, f.Beat, f.At))
		}
	}
	return all
}

// Where mistakes have no cause all of them are told in the end, in their order.
func TestWhatHasNoCauseIsToldAllTheSame(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", eight+eight, "two-beat")
	human, err := performer.Human("steady")
	require.NoError(t, err)
	for seed := range uint64(12) {
		rate := []float64{0.1, 0.3, 0.6, 1}[seed%4]
		kinds := []mistakes.Kind{mistakes.WrongChord, mistakes.WrongBass, mistakes.WrongNote, mistakes.Missing}
		p, err := mistakes.Play(s, human, mistakes.Plan{Kinds: kinds, Rate: rate}, seed)
		require.NoError(t, err)
		p.Events = p.Events[:len(p.Events)-12] // the last strokes are missing
		want := plainly(s, p.Events)
		require.NotEmpty(t, wrongs(want))
		for _, patient := range []bool{false, true} {
			h, j := played(s, p.Events, Options{Patient: patient}, 0)
			assert.Empty(t, h.causes, "seed %d", seed)
			assert.Equal(t, noted(want), noted(h.found), "seed %d", seed)
			assert.Len(t, h.found, len(want), "and what concerns the pedal")
			_, pending := j.Pending()
			assert.False(t, pending)
		}
	}
}

// kept is from when to when something was kept back, in beats of 500 ms from 0.
type span struct{ from, to float64 }

// spans plays a take and notes when something is kept back.
func spans(s *score.Score, p *sounding.Take, patient bool) (all []span) {
	j := New(s, Options{Options: engine.Options{Level: rules.Steady}, Patient: patient})
	evs := p.Events()
	was := false
	end := evs[len(evs)-1].At
	for now := time.Duration(0); now < end; now += 10 * ms {
		for len(evs) > 0 && evs[0].At <= now {
			j.Feed(evs[0])
			evs = evs[1:]
		}
		j.Tick(now)
		_, is := j.Pending()
		beat := math.Round(float64(now)/float64(50*ms)) / 10
		switch {
		case is && !was:
			all = append(all, span{from: beat})
		case was && !is:
			all[len(all)-1].to = beat
		}
		was = is
	}
	return all
}

// From what on mistakes are kept back, and for how long: in bars of four beats, bass on 1
// and 3 and chord on 2 and 4, at 120. Bar 3 begins at beat 8. Live it is until there are as
// many right strokes as wrong ones, for two bars at most, for four where it may be another tune; for a recording, until there are
// two more, five at the beginning, and eight in a row, for eight bars. Where a hand was wrong in a way of its own, its own next stroke
// must be right, too.
func TestWhatIsKeptBack(t *testing.T) {
	const l, r = pattern.Left, pattern.Right
	other := func(n *sounding.Note) { n.Key++ }
	out := func(n *sounding.Note) { n.Velocity = 0 }
	for name, c := range map[string]struct {
		bend          func(p *sounding.Take)
		live, patient []span
	}{
		"nothing wrong":                      {func(*sounding.Take) {}, nil, nil},
		"a wrong bass":                       {func(p *sounding.Take) { p.Each(l, 3, 1, other) }, nil, []span{{8.1, 16}}},
		"a wrong bass, then a wrong chord":   {func(p *sounding.Take) { p.Each(l, 3, 1, other).Each(r, 3, 2, other) }, []span{{9.1, 10}}, []span{{8.1, 17}}},
		"one note of a chord":                {func(p *sounding.Take) { p.Keys(r, 3, 2, 55, 59, 66) }, nil, []span{{9.1, 17}}},
		"a missing bass":                     {func(p *sounding.Take) { p.Each(l, 3, 1, out) }, nil, []span{{8.8, 16}}},
		"two missing basses":                 {func(p *sounding.Take) { p.Each(l, 3, 1, out).Each(l, 3, 3, out) }, []span{{10.8, 12}}, []span{{8.8, 18}}},
		"a missing bass and a missing chord": {func(p *sounding.Take) { p.Each(l, 3, 1, out).Each(r, 3, 4, out) }, nil, []span{{8.8, 19}}},
		"two missing chords":                 {func(p *sounding.Take) { p.Each(r, 3, 2, out).Each(r, 3, 4, out) }, []span{{11.8, 13}}, []span{{9.8, 19}}},
		"the first chord":                    {func(p *sounding.Take) { p.Each(r, 1, 2, other) }, nil, []span{{1.1, 9}}},
		"the first of all":                   {func(p *sounding.Take) { p.Each(l, 1, 1, other) }, []span{{0.1, 2}}, []span{{0.1, 8}}},
		"without any sense": {func(p *sounding.Take) {
			for i := range p.Notes {
				if n := &p.Notes[i]; n.Bar >= 3 {
					n.Key += pitch.Num(i*i*7%11 - 5)
				}
			}
		}, []span{{9.1, 26.1}}, []span{{8.1, 28.1}}},
	} {
		s := sounding.ScoreOf(t, "4/4", eight+eight, "two-beat")
		p := sounding.Exact(s)
		c.bend(p)
		assert.Equal(t, c.live, spans(s, p, false), name)
		assert.Equal(t, c.patient, spans(s, p, true), name)
	}
}

// A cable that is pulled lets go of every key, under a cause as well.
func TestACableIsPulled(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", eight, "two-beat")
	for _, up := range []pitch.Num{0, 3} {
		j := New(s, Options{Options: engine.Options{Level: rules.Steady}})
		for _, ev := range bent(s, 1, 4, func(n *sounding.Note) { n.Key += up }).Events() {
			if ev.At > sec(7.6) {
				break
			}
			j.Feed(ev)
		}
		assert.Len(t, j.Causes(), int(up)/3)
		assert.True(t, j.Holding())
		j.Unplugged()
		assert.False(t, j.Holding())
		assert.Equal(t, keyboard.Set{}, j.heard.Keys.Down)
	}
}

// Which mistakes may be one hand's alone, so that its own next stroke must be right: all
// of a hand that was never right, an octave, and a stroke that is missing, live the second.
func TestWhoseTheNextStrokeIs(t *testing.T) {
	const l, r, both = finding.LeftHand, finding.RightHand, finding.BothHands
	octave := mistake(finding.WrongBass, l, 2, 1)
	octave.Heard, octave.Goal = pitch.NumsOf(36), pitch.NumsOf(48)
	for name, c := range map[string]struct {
		f             finding.Finding
		never, missed [2]bool
		live, patient bool
	}{
		"wrong":                       {mistake(finding.WrongChord, r, 2, 2), [2]bool{}, [2]bool{}, false, false},
		"the right hand's first":      {mistake(finding.WrongChord, r, 2, 2), [2]bool{false, true}, [2]bool{}, true, true},
		"the left hand's first":       {mistake(finding.WrongBass, l, 2, 2), [2]bool{true, false}, [2]bool{}, true, true},
		"the other hand's first":      {mistake(finding.WrongBass, l, 2, 2), [2]bool{false, true}, [2]bool{}, false, false},
		"both hands'":                 {mistake(finding.Missing, both, 2, 2), [2]bool{true, true}, [2]bool{true, true}, false, false},
		"an octave":                   {octave, [2]bool{}, [2]bool{}, true, true},
		"missing":                     {mistake(finding.Missing, r, 2, 2), [2]bool{}, [2]bool{}, false, true},
		"missing again":               {mistake(finding.Missing, r, 2, 2), [2]bool{}, [2]bool{false, true}, true, true},
		"wrong, after one is missing": {mistake(finding.WrongChord, r, 2, 2), [2]bool{}, [2]bool{false, true}, false, false},
	} {
		j := judgeOf(t, false)
		j.never, j.missed = c.never, c.missed
		assert.Equal(t, c.live, j.due(&c.f), name)
		j.options.Patient = true
		assert.Equal(t, c.patient, j.due(&c.f), name)
	}
}
