package cause

import (
	"slices"
	"testing"

	"undersong/internal/judge/finding"
	"undersong/internal/play/mistakes"
	"undersong/internal/sheet/score"
)

// ledPlanned is a plan of a kind for a player who leads in a manner.
type ledPlanned struct {
	name         string
	walk, rubato float64
	plan         planning
}

// names are those of plans.
func names(all []planned) (names []string) {
	for i := range all {
		names = append(names, all[i].name)
	}
	return names
}

func ledNames() (names []string) {
	for i := range ledPlans {
		names = append(names, ledPlans[i].name)
	}
	return names
}

// ledPlans are the causes that there are without a click. Another tempo is steady.
var ledPlans = []ledPlanned{
	{"led, other-key", 0.02, 0.05, plan("other-key")},
	{"led, octave", 0.02, 0.05, plan("octave")},
	{"led, silent", 0.02, 0.05, silent},
	{"led, half-tempo", 0, 0, paced(finding.HalfTempo, 0.5, 0.5, 0.66, 0.75)},
	{"led, double-tempo", 0, 0, paced(finding.DoubleTempo, 2, 1.5, 1.5, 1.3)},
	{"led, restarted", 0.02, 0.05, restarted},
	{"led, skipped", 0.02, 0.05, skipped},
	{"led, stuck-pedal", 0.02, 0.05, plan("stuck-pedal")},
}

// plan is the one of a name among those with a click.
func plan(name string) planning {
	return plans[slices.IndexFunc(plans, func(p planned) bool { return p.name == name })].plan
}

// alike reports bars that begin with the same chord.
func alike(s *score.Score, a, b int) bool {
	return s.Harmonies[s.HarmonyAt(s.Bars[a].At)].Chord == s.Harmonies[s.HarmonyAt(s.Bars[b].At)].Chord
}

// countLed counts a performance; where a leap led to is a matter of the music, which bars
// share.
func countLed(t *testing.T, row *tally, s *score.Score, h heard, perf mistakes.Performance, cause finding.Cause, from int, label string) {
	t.Helper()
	index := func(number int) int {
		return max(0, slices.IndexFunc(s.Bars, func(b score.Bar) bool { return b.Number == number }))
	}
	countAs(t, row, s, h, perf, cause, from, label, func(told, planned finding.Cause) bool {
		off := told.Bar - planned.Bar
		if near := told.Kind == planned.Kind && off >= -1 && off <= 1; planned.Kind.Leaps() {
			next := 0 // bar after those left out
			if planned.Kind == finding.Skipped {
				next = 1
			}
			to := told.ToBar - planned.ToBar
			return near && (to >= -1 && to <= 1 || alike(s, index(told.ToBar)+next, index(planned.ToBar)+next))
		}
		return sameCause(told, planned)
	})
}
