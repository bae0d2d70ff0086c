package cause

import (
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/judge/engine"
	"undersong/internal/judge/rules"
	"undersong/internal/play/misread"
	"undersong/internal/play/mistakes"
	"undersong/internal/play/performer"
	"undersong/internal/sheet/score"
	"undersong/internal/test/reduced"
)

func judgedLed(s *score.Score, p mistakes.Performance, patient bool) heard {
	j := New(s, Options{Options: engine.Options{Level: rules.Steady, Led: true}, Patient: patient})
	var h heard
	var last time.Duration
	for _, ev := range p.Events {
		h.found = append(h.found, j.Feed(ev)...)
		last = ev.At
	}
	h.found = append(h.found, j.Finish(last)...)
	h.causes = j.Summary().Causes
	return h
}

// leader is a player who leads, with a tempo that walks and swells.
func leader(t testing.TB, walk, rubato float64) performer.Habits {
	t.Helper()
	human, err := performer.Human("steady")
	require.NoError(t, err)
	human.Drift, human.TempoWalk, human.Rubato = 0, walk, rubato
	return human
}

// TestLedAccuracy is TestAccuracy for a player who leads.
func TestLedAccuracy(t *testing.T) {
	rows := map[string]*tally{}
	for n := range ledPlans {
		p := &ledPlans[n]
		row := &tally{}
		rows[p.name] = row
		human := leader(t, p.walk, p.rubato)
		first, last := seeds()
		for seed := first; seed <= last; seed++ {
			r := rand.New(rand.NewPCG(seed, uint64(200+n)))
			s := wanted(t, r)
			bar := 0
			if r.IntN(2) == 0 {
				bar = 2 + r.IntN(len(s.Bars)-7)
			}
			plan, cause, ok := p.plan(s, bar, r)
			if !ok {
				continue
			}
			if !cause.Kind.Leaps() {
				cause.Bar = s.Bars[bar].Number
			}
			perf, err := misread.Play(s, human, plan, mistakes.Plan{Start: lead, Kinds: []mistakes.Kind{mistakes.WrongNote, mistakes.WrongBass, mistakes.Missing}, Rate: 0.08}, seed)
			require.NoError(t, err)
			h := judgedLed(s, perf, true)
			row.spoke(s, judgedLed(s, perf, false), &perf, cause, plan.Bar)
			countLed(t, row, s, h, perf, cause, plan.Bar, fmt.Sprintf("%s, seed %d: %s in %s at %g from bar %d", p.name, seed, s.Pattern.Name, s.Key, s.Tempo, plan.Bar+1))
		}
	}
	report(t, rows, ledNames(), 0.95)
}

// ledControls are performances of players who lead, without a cause.
var ledControls = []struct {
	name         string
	walk, rubato float64
	kinds        []mistakes.Kind
	rate         float64
}{
	{"faultless", 0.02, 0.05, nil, 0},
	{"rubato", 0.04, 0.2, nil, 0},
	{"many mistakes", 0.02, 0.05, mistakes.NoteKinds(), 0.7},
	{"wrong notes", 0.02, 0.05, []mistakes.Kind{mistakes.WrongChord, mistakes.WrongBass, mistakes.WrongNote}, 1},
}

// TestNoCauseOfWhoLeads plays faultlessly, freely, and merely badly.
func TestNoCauseOfWhoLeads(t *testing.T) {
	for n := range ledControls {
		c := &ledControls[n]
		human := leader(t, c.walk, c.rubato)
		played, told := 0, 0
		first, last := seeds()
		for seed := first; seed <= 4*last; seed++ {
			r := rand.New(rand.NewPCG(seed, uint64(300+n)))
			s := wanted(t, r)
			perf, err := mistakes.Play(s, human, mistakes.Plan{Start: lead, Kinds: c.kinds, Rate: c.rate}, seed)
			require.NoError(t, err)
			h := judgedLed(s, perf, seed%2 == 0)
			played++
			if len(h.causes) > 0 {
				told++
				t.Logf("%s, seed %d: %s in %s at %g: %+v", c.name, seed, s.Pattern.Name, s.Key, s.Tempo, h.causes)
			}
		}
		reduced.Row("led, "+c.name+": no cause", float64(played-told), float64(played))
		t.Logf("%s: a cause in %d of %d performances", c.name, told, played)
		assert.LessOrEqual(t, told, max(1, played/100), c.name)
	}
}
