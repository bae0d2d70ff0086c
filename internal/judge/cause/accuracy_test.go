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
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/play/misread"
	"undersong/internal/play/mistakes"
	"undersong/internal/play/performer"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
	"undersong/internal/test/reduced"
)

var (
	seedsFlag = flag.Int("seeds", 1, "how many times each plan is played, on other charts and at other places")
	seedFlag  = flag.Uint64("seed", 0, "replay the performances of one seed and print what went wrong")
)

// charts for the table: chords that change by the bar and inside it, in major and minor.
var charts = []string{
	"| C | F | G7 | C | Am | Dm7 | G7 | C | C/E | F | Bdim | Em | F | C | G7 | C |",
	"| C | C | F | C | C | C | G | G7 | C | C7 | F | F | C | G7 | C | C |",
	"| Am | Dm | E7 | Am | F | G | C | E7 | Am | G | F | E7 | Am | Dm | E7 | Am |",
	"| C | G7 | C | F | C | G7 | C | C | F | C | G7 | C | Am | F | G7 | C |",
}

// wanted is a piece of music of one seed.
func wanted(t testing.TB, r *rand.Rand) *score.Score {
	t.Helper()
	cat := material.Catalogue(t).Of(pattern.Accompaniment)
	p := cat[r.IntN(len(cat))]
	m := p.Meter
	if p.AnyMeter() {
		m = meter.Known()[r.IntN(6)]
	}
	key := "C"
	bars := charts[r.IntN(len(charts))]
	if strings.HasPrefix(bars, "| Am") {
		key = "Am"
	}
	c := material.Chart(t, "title: T\nkey: "+key+"\nmeter: "+m.String()+"\n\n"+bars+"\n")
	if p.PlaysTune() {
		material.Sing(c)
	}
	k := pitch.KeyAt(pitch.Class(r.IntN(12)), key == "Am")
	s, err := score.Build(c, p, score.Options{Key: &k, Tempo: []meter.Tempo{60, 80, 100, 126}[r.IntN(4)]})
	require.NoError(t, err)
	return s
}

// planned is a plan of a kind for a score, with the cause that is true then; ok is false
// where the plan would change nothing that is judged.
type planned struct {
	name string
	plan func(s *score.Score, bar int, r *rand.Rand) (misread.Plan, finding.Cause, bool)
}

const lead = 4 * time.Second // before the music begins

func (p *planned) String() string { return p.name }

var plans = []planned{
	{"other-key", func(_ *score.Score, bar int, r *rand.Rand) (misread.Plan, finding.Cause, bool) {
		n := 1 + r.IntN(6)
		if r.IntN(2) == 0 {
			n = -1 - r.IntN(5)
		}
		return misread.Plan{Bar: bar, Semitones: n}, finding.Cause{Kind: finding.OtherKey, Semitones: n, Hand: finding.BothHands}, true
	}},
	{"octave", func(s *score.Score, bar int, r *rand.Rand) (misread.Plan, finding.Cause, bool) {
		n := []int{-1, 1, 2}[r.IntN(3)]
		p, c := misread.Plan{Bar: bar}, finding.Cause{Kind: finding.OctaveOff, Octaves: n}
		switch r.IntN(3) {
		case 0:
			p.Octaves[pattern.Left] = n
		case 1:
			p.Octaves[pattern.Right], c.Hand = n, finding.RightHand
		default:
			p.Octaves, c.Hand = [2]int{n, n}, finding.BothHands
		}
		return p, c, !crossed(s, &p) && !accepted(s, &p)
	}},
	{"silent", silent},
	{"half-tempo", paced(finding.HalfTempo, 0.5, 0.5, 0.66, 0.75)},
	{"double-tempo", paced(finding.DoubleTempo, 2, 2, 1.5, 1.25)},
	{"early-start", moved(finding.EarlyStart, -1, -2, -1)},
	{"late-start", moved(finding.LateStart, 1, 2, 1)},
	{"delay", func(s *score.Score, bar int, r *rand.Rand) (misread.Plan, finding.Cause, bool) {
		off := []time.Duration{130, 160, 180, -130, -150}[r.IntN(5)] * time.Millisecond
		p := misread.Plan{Bar: bar, Shift: off}
		return p, finding.Cause{Kind: finding.Delay, Offset: off, Hand: finding.BothHands}, !accepted(s, &p)
	}},
}

// silent plans a hand of which nothing comes.
func silent(s *score.Score, bar int, r *rand.Rand) (misread.Plan, finding.Cause, bool) {
	p, c := misread.Plan{Bar: bar}, finding.Cause{Kind: finding.Silent}
	c.Hand = finding.Part(r.IntN(2))
	p.Silent[c.Hand] = true
	var strokes [2]int // from there on
	for i := range s.Wants {
		if w := &s.Wants[i]; w.Bar >= bar {
			strokes[w.Hand]++
		}
	}
	return p, c, min(strokes[0], strokes[1]) >= 5
}

type planning = func(*score.Score, int, *rand.Rand) (misread.Plan, finding.Cause, bool)

// paced plans other tempi.
func paced(k finding.CauseKind, ratios ...float64) planning {
	return func(s *score.Score, bar int, r *rand.Rand) (misread.Plan, finding.Cause, bool) {
		n := ratios[r.IntN(len(ratios))]
		return misread.Plan{Bar: bar, Pace: n}, finding.Cause{Kind: k, Ratio: n, Hand: finding.BothHands}, s.Tempo < 100 || n < 1
	}
}

// moved plans music that comes beats off, from the beginning.
func moved(k finding.CauseKind, all ...float64) planning {
	return func(s *score.Score, bar int, r *rand.Rand) (misread.Plan, finding.Cause, bool) {
		n := all[r.IntN(len(all))]
		p := misread.Plan{Bar: bar, Shift: time.Duration(n * float64(s.Tempo.Duration(s.Meter.Beat(), s.Meter)))}
		return p, finding.Cause{Kind: k, Beats: n, Hand: finding.BothHands}, bar == 0 && !accepted(s, &p)
	}
}

// crossed reports a plan that puts one hand among the keys of the other, which nobody
// does by mistake.
func crossed(s *score.Score, p *misread.Plan) bool {
	var low, high [2]pitch.Num
	low = [2]pitch.Num{127, 127}
	for i := range s.Wants {
		w := &s.Wants[i]
		up := pitch.Num(12 * p.Octaves[w.Hand])
		low[w.Hand] = min(low[w.Hand], w.Tones[0].Key+up)
		high[w.Hand] = max(high[w.Hand], w.Tones[len(w.Tones)-1].Key+up)
	}
	off := low[pattern.Left] < pitch.PianoLow || max(high[pattern.Left], high[pattern.Right]) > pitch.PianoHigh
	return off || high[pattern.Right] > 0 && high[pattern.Left] >= low[pattern.Right]
}

// accepted reports a plan that is right for all that is written: where another octave is
// free. Exact playing of it brings fewer mistakes than one in two bars.
func accepted(s *score.Score, p *misread.Plan) bool {
	perf, err := misread.Play(s, performer.Habits{}, *p, mistakes.Plan{Start: lead}, 1)
	if err != nil {
		return true
	}
	wrong := 0
	e := engine.New(s, engine.Options{Level: rules.Steady, Start: lead})
	for _, ev := range perf.Events {
		for _, f := range e.Feed(ev) {
			if mistaken(f.Kind) {
				wrong++
			}
		}
	}
	return wrong < len(s.Bars)-p.Bar
}

// heard is what was told of a performance.
type heard struct {
	causes []finding.Cause
	found  []finding.Finding
}

func judged(s *score.Score, p mistakes.Performance, patient bool) heard {
	j := New(s, Options{engine.Options{Level: rules.Steady, Start: lead}, patient})
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

// tally is a row of the table.
type tally struct {
	played, recalled, told, right int
	clean                         int // performances without a leftover correction
	planted, kept                 int // mistakes besides, and those that were told
}

// leftover counts corrections from a bar on that stand at no planted mistake.
func leftover(s *score.Score, h heard, p mistakes.Performance, from int) (all []finding.Finding) {
	for _, f := range h.found {
		if !mistaken(f.Kind) || f.Bar < from {
			continue
		}
		if !slices.ContainsFunc(p.Truth, func(t mistakes.Fault) bool {
			at := s.Bars[f.Bar].Number
			return t.Bar == at || t.Bar == at-1
		}) {
			all = append(all, f)
		}
	}
	return all
}

// besides counts the planted mistakes from a bar on, and those of which anything was told
// in their bars.
func besides(s *score.Score, h heard, p mistakes.Performance, cause finding.Cause, from int) (planted, told int) {
	for _, t := range p.Truth {
		if t.Bar < s.Bars[from].Number || cause.Kind == finding.Silent && t.Hand == cause.Hand.String() {
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
	if ratio > 0.05 || ratio < -0.05 || late > 25*time.Millisecond || late < -25*time.Millisecond {
		return false
	}
	return told.Kind == planned.Kind && told.Beats == planned.Beats && told.Semitones == planned.Semitones && told.Octaves == planned.Octaves && told.Hand == planned.Hand
}

func seeds() (first, last uint64) {
	if *seedFlag != 0 {
		return *seedFlag, *seedFlag
	}
	n := max(1, 16**seedsFlag/reduced.By())
	if testing.Short() {
		n = 4
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
			r := rand.New(rand.NewPCG(seed, uint64(n)))
			s := wanted(t, r)
			bar := 0
			if r.IntN(2) == 0 {
				bar = 2 + r.IntN(len(s.Bars)-7)
			}
			plan, cause, ok := p.plan(s, bar, r)
			if !ok {
				continue
			}
			cause.Bar = s.Bars[bar].Number
			perf, err := misread.Play(s, human, plan, mistakes.Plan{Start: lead, Kinds: []mistakes.Kind{mistakes.WrongNote, mistakes.WrongBass, mistakes.Missing}, Rate: 0.08}, seed)
			require.NoError(t, err)
			h := judged(s, perf, true)
			count(t, row, s, h, perf, cause, bar, fmt.Sprintf("%s, seed %d: %s in %s at %g from bar %d", p.name, seed, s.Pattern.Name, s.Key, s.Tempo, bar+1))
		}
	}
	report(t, rows)
}

func count(t *testing.T, row *tally, s *score.Score, h heard, perf mistakes.Performance, cause finding.Cause, from int, label string) {
	t.Helper()
	row.played++
	found := false
	for _, c := range h.causes {
		row.told++
		if sameCause(c, cause) && !found {
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

func report(t *testing.T, rows map[string]*tally) {
	var b strings.Builder
	var sum tally
	fmt.Fprintf(&b, "%-14s %7s %7s %9s %9s %14s\n", "cause", "played", "recall", "precision", "no rest", "besides told")
	line := func(name string, r *tally) {
		fmt.Fprintf(&b, "%-14s %7d %7.3f %9.3f %9.3f %14.3f\n", name, r.played, share(r.recalled, r.played), share(r.right, r.told), share(r.clean, r.played), share(r.kept, r.planted))
	}
	for _, p := range plans {
		r := rows[p.name]
		line(p.name, r)
		reduced.Row(p.name+": told of what was planned", float64(r.recalled), float64(r.played))
		reduced.Row(p.name+": right of what was told", float64(r.right), float64(r.told))
		reduced.Row(p.name+": nothing left over", float64(r.clean), float64(r.played))
		sum = tally{sum.played + r.played, sum.recalled + r.recalled, sum.told + r.told, sum.right + r.right, sum.clean + r.clean, sum.planted + r.planted, sum.kept + r.kept}
	}
	line("all", &sum)
	t.Logf("\n%s", b.String())
	least := 0.9
	if sum.played < 100 {
		least = 0.8 // one more or less is much
	}
	assert.GreaterOrEqual(t, share(sum.recalled, sum.played), least, "recall")
	assert.GreaterOrEqual(t, share(sum.right, sum.told), least, "precision")
}

func share(a, b int) float64 {
	if b == 0 {
		return 1
	}
	return float64(a) / float64(b)
}
