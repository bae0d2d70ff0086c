package cause

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/judge/engine"
	"undersong/internal/judge/finding"
	"undersong/internal/judge/rules"
	"undersong/internal/play/misread"
	"undersong/internal/play/mistakes"
	"undersong/internal/play/performer"
	"undersong/internal/sheet/score"
	"undersong/internal/test/reduced"
)

var (
	seedsFlag = flag.Int("seeds", 1, "how many times each plan is played, on other charts and at other places")
	seedFlag  = flag.Uint64("seed", 0, "replay the performances of one seed and print what went wrong")
)

// heard is what was told of a performance.
type heard struct {
	causes []finding.Cause
	found  []finding.Finding
}

// judged is what is told of a performance to the end of the score at least.
func judged(s *score.Score, p mistakes.Performance, patient bool) heard {
	j := New(s, Options{Options: engine.Options{Level: rules.Steady, Start: lead}, Patient: patient, Patterns: shipped()})
	var h heard
	var last time.Duration
	for _, ev := range p.Events {
		h.found = append(h.found, j.Feed(ev)...)
		last = ev.At
	}
	h.found = append(h.found, j.Finish(max(last, lead+s.Time(s.Length)))...)
	h.causes = j.Summary().Causes
	return h
}

// tally is a row of the table.
type tally struct {
	played, recalled, told, right int
	clean                         int       // performances without a leftover correction
	planted, kept                 int       // mistakes besides, and those that were told
	live                          int       // recalled as it is played
	after                         []float64 // bars: how long after it began the cause was told then
}

// leaps reports a mistake in the order of things.
func leaps(k mistakes.Kind) bool { return slices.Contains(mistakes.FollowKinds(), k) }

// leftover counts corrections from a bar on that stand at no planted mistake.
func leftover(s *score.Score, h heard, p mistakes.Performance, from int) (all []finding.Finding) {
	for _, f := range h.found {
		if !mistaken(f.Kind) || f.Bar < from {
			continue
		}
		if !slices.ContainsFunc(p.Truth, func(t mistakes.Fault) bool {
			if leaps(t.Kind) {
				return false
			}
			at := s.Bars[f.Bar].Number
			return t.Bar == at || t.Bar == at-1
		}) {
			all = append(all, f)
		}
	}
	return all
}

// besides counts the planted mistakes from a bar on, and those of which anything was told
// in their bars. With the hands in each other's part strokes are not judged.
func besides(s *score.Score, h heard, p mistakes.Performance, cause finding.Cause, from int) (planted, told int) {
	for _, t := range p.Truth {
		quiet := cause.Kind == finding.SwappedHands || cause.Kind == finding.Silent && (cause.Hand == finding.BothHands || t.Hand == cause.Hand.String())
		if t.Bar < s.Bars[from].Number || leaps(t.Kind) || quiet {
			continue
		}
		planted++
		if slices.ContainsFunc(h.found, func(f finding.Finding) bool {
			return mistaken(f.Kind) && s.Bars[f.Bar].Number == t.Bar
		}) {
			told++
		}
	}
	return planted, told
}

// sameCause reports a cause that is told as it was planned, within a bar.
func sameCause(told, planned finding.Cause) bool {
	off := told.Bar - planned.Bar
	if off < -1 || off > 1 {
		return false
	}
	ratio, late := told.Ratio-planned.Ratio, told.Offset-planned.Offset
	if planned.Kind == finding.StuckPedal {
		late = 0
	}
	if to := told.ToBar - planned.ToBar; planned.Kind.Leaps() && (to < -1 || to > 1) {
		return false
	}
	if ratio > 0.05 || ratio < -0.05 || late > 25*time.Millisecond || late < -25*time.Millisecond {
		return false
	}
	return told.Kind == planned.Kind && told.Name == planned.Name && told.Beats == planned.Beats && told.Semitones == planned.Semitones && told.Octaves == planned.Octaves && told.Hand == planned.Hand
}

func seeds() (first, last uint64) {
	if *seedFlag != 0 {
		return *seedFlag, *seedFlag
	}
	n := max(1, 16**seedsFlag/reduced.By())
	if testing.Short() {
		n = 1
	}
	return 1, uint64(n)
}

// TestAccuracy plays every cause at many places and sizes, with isolated mistakes besides.
func TestAccuracy(t *testing.T) {
	human, err := performer.Human("steady")
	require.NoError(t, err)
	rows := map[string]*tally{}
	for n := range plans {
		p := &plans[n]
		row := &tally{}
		rows[p.name] = row
		first, last := seeds()
		for seed := first; seed <= last; seed++ {
			s, bar, plan, cause, ok := p.made(t, rand.New(rand.NewPCG(seed, uint64(n))))
			if !ok {
				continue
			}
			if cause.Kind.Leaps() {
				bar = plan.Bar
			} else {
				cause.Bar = s.Bars[bar].Number
			}
			perf, err := misread.Play(s, human, plan, mistakes.Plan{Start: lead, Kinds: []mistakes.Kind{mistakes.WrongNote, mistakes.WrongBass, mistakes.Missing}, Rate: 0.08}, seed)
			require.NoError(t, err)
			h := judged(s, perf, true)
			row.spoke(s, judged(s, perf, false), &perf, cause, bar)
			count(t, row, s, h, perf, cause, bar, fmt.Sprintf("%s, seed %d: %s in %s at %g from bar %d", p.name, seed, s.Pattern.Name, s.Key, s.Tempo, bar+1))
		}
	}
	report(t, rows, names(plans), 0.95)
}

// spoke counts how soon a cause is told where it is judged as it is played.
func (r *tally) spoke(s *score.Score, h heard, p *mistakes.Performance, cause finding.Cause, bar int) {
	began := lead + s.Time(s.Bars[bar].At)
	for _, f := range p.Truth {
		if leaps(f.Kind) {
			began = f.At
		}
	}
	for _, c := range h.causes {
		if sameCause(c, cause) {
			r.live++
			r.after = append(r.after, float64(c.At-began)/float64(s.Tempo.Duration(s.Meter.Bar(), s.Meter)))
			return
		}
	}
}

func count(t *testing.T, row *tally, s *score.Score, h heard, perf mistakes.Performance, cause finding.Cause, from int, label string) {
	t.Helper()
	countAs(t, row, s, h, perf, cause, from, label, sameCause)
}

func countAs(t *testing.T, row *tally, s *score.Score, h heard, perf mistakes.Performance, cause finding.Cause, from int, label string, same func(told, planned finding.Cause) bool) {
	t.Helper()
	row.played++
	found := false
	for _, c := range h.causes {
		row.told++
		if same(c, cause) && !found {
			found = true
			row.right++
		}
	}
	if found {
		row.recalled++
	}
	left := leftover(s, h, perf, from)
	if len(left) == 0 {
		row.clean++
	}
	planted, kept := besides(s, h, perf, cause, from)
	row.planted, row.kept = row.planted+planted, row.kept+kept
	if !found || len(h.causes) != 1 || len(left) > 0 || *seedFlag != 0 {
		t.Logf("%s: planned %+v, told %+v, %d left over", label, cause, h.causes, len(left))
		for i, f := range left {
			if i < 6 {
				t.Logf("   left over: bar %d beat %g %s %s", f.Bar+1, f.Beat, f.Part, f.Kind)
			}
		}
	}
}

func report(t *testing.T, rows map[string]*tally, names []string, least float64) {
	var b strings.Builder
	var sum tally
	fmt.Fprintf(&b, "%-14s %7s %7s %9s %9s %13s %12s %16s\n", "cause", "played", "recall", "precision", "no rest", "besides told", "recall live", "after bars, p90")
	line := func(name string, r *tally) {
		slices.Sort(r.after)
		fmt.Fprintf(&b, "%-14s %7d %7.3f %9.3f %9.3f %13.3f %12.3f %10.1f %5.1f\n", name, r.played, share(r.recalled, r.played), share(r.right, r.told), share(r.clean, r.played),
			share(r.kept, r.planted), share(r.live, r.played), quantile(r.after, 0.5), quantile(r.after, 0.9))
	}
	for _, name := range names {
		r := rows[name]
		line(name, r)
		reduced.Row(name+": told of what was planned", float64(r.recalled), float64(r.played))
		reduced.Row(name+": right of what was told", float64(r.right), float64(r.told))
		reduced.Row(name+": nothing left over", float64(r.clean), float64(r.played))
		sum = tally{sum.played + r.played, sum.recalled + r.recalled, sum.told + r.told, sum.right + r.right, sum.clean + r.clean, sum.planted + r.planted, sum.kept + r.kept, sum.live + r.live, append(sum.after, r.after...)}
	}
	line("all", &sum)
	t.Logf("\n%s", b.String())
	if sum.played < 100 {
		least -= 0.1 // one more or less is much
	}
	assert.GreaterOrEqual(t, share(sum.recalled, sum.played), least, "recall")
	assert.GreaterOrEqual(t, share(sum.right, sum.told), least, "precision")
}

// quantile is the value below which a share of the sorted values lies; 0 of none.
func quantile(sorted []float64, share float64) float64 {
	if len(sorted) == 0 {
		return 0
	}
	return sorted[int(share*float64(len(sorted)-1))]
}

func share(a, b int) float64 {
	if b == 0 {
		return 1
	}
	return float64(a) / float64(b)
}
