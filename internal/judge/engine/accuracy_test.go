package engine

import (
	"flag"
	"fmt"
	"sort"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/judge/finding"
	"undersong/internal/judge/rules"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/play/mistakes"
	"undersong/internal/play/performer"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
	"undersong/internal/test/reduced"
	"undersong/internal/ui/words"
)

var (
	seedFlag  = flag.Uint64("seed", 0, "replay the performances of one seed and print what went wrong")
	onlyFlag  = flag.String("only", "", "measure only the patterns whose names begin like this")
	seedsFlag = flag.Int("seeds", 1, "how many seeds the accuracy tables are made from")
)

// tunes for the accuracy table: chords that change by the bar, inside it, with
// slash chords and sevenths.
const accuracyTune = "| C | F | G7 | C | Am | Dm7 | G7 | C | C/E | F | Bdim | Em | F G7 | C | Csus4 | C |"

func accuracyScore(t testing.TB, p *pattern.Pattern, m meter.Meter, key pitch.Key, tempo meter.Tempo) *score.Score {
	t.Helper()
	bars := accuracyTune
	if m.Beats()%2 == 1 {
		bars = strings.ReplaceAll(bars, "F G7", "F")
	}
	c := material.Chart(t, "title: T\nkey: C\nmeter: "+m.String()+"\n\n"+bars+"\n")
	if p.PlaysTune() {
		material.Sing(c)
	}
	s, err := score.Build(c, p, score.Options{Key: &key, Tempo: tempo})
	require.NoError(t, err)
	return s
}

// row counts one kind.
type row struct{ planted, found, told, true int }

type accuracy struct {
	rows   map[string]*row
	bars   int
	failed []string
}

func newAccuracy() *accuracy { return &accuracy{rows: map[string]*row{}} }

func (a *accuracy) row(k string) *row {
	if a.rows[k] == nil {
		a.rows[k] = &row{}
	}
	return a.rows[k]
}

// kindOf is the finding that a planted mistake should bring.
func kindOf(k mistakes.Kind) string {
	switch k {
	case mistakes.MissingNote:
		return "missing"
	case mistakes.ExtraNote:
		return "extra"
	}
	return string(k)
}

// compare sets findings against the truth: a finding is true where a mistake of
// its kind was planted at its bar and beat.
func (a *accuracy) compare(s *score.Score, perf mistakes.Performance, found []finding.Finding, voice *words.Wording, label string) {
	a.bars += len(s.Bars)
	used := make([]bool, len(found))
	for _, fault := range perf.Truth {
		kind := kindOf(fault.Kind)
		a.row(kind).planted++
		hit := false
		for i := range found {
			if concerns(s, &found[i], fault, kind) {
				used[i] = true
				if found[i].Kind.String() == kind {
					hit = true
				}
			}
		}
		if hit {
			a.row(kind).found++
		} else {
			a.failed = append(a.failed, fmt.Sprintf("%s: not found: %s bar %d beat %g %s hand (%s); told there: %s", label, fault.Kind, fault.Bar, fault.Beat, fault.Hand, fault.Detail, a.at(s, found, fault.Bar, voice)))
		}
	}
	for i := range found {
		f := &found[i]
		if f.Kind == finding.Right {
			continue
		}
		r := a.row(f.Kind.String())
		r.told++
		if used[i] {
			r.true++
		} else {
			a.failed = append(a.failed, fmt.Sprintf("%s: told wrongly: %s %s", label, f.Kind, voice.Line(f)))
		}
	}
}

// concerns reports a finding about a planted mistake: of its kind, in its bar,
// and at one of the places that it touches.
func concerns(s *score.Score, f *finding.Finding, fault mistakes.Fault, kind string) bool {
	if f.Kind.String() != kind || s.Bars[f.Bar].Number != fault.Bar {
		return kind == "wrong-chord" && s.Bars[f.Bar].Number == fault.Bar && f.Kind >= finding.WrongNote && touches(s, f, fault)
	}
	if kind == "balance" || kind == "blurred" {
		return true
	}
	return touches(s, f, fault)
}

func touches(s *score.Score, f *finding.Finding, fault mistakes.Fault) bool {
	if fault.Want < 0 {
		d := f.Beat - fault.Beat
		return d < 0.26 && d > -0.26
	}
	for _, w := range append([]int{fault.Want}, fault.Also...) {
		if f.Beat == s.Wants[w].Beat {
			return true
		}
	}
	return false
}

func (a *accuracy) at(s *score.Score, found []finding.Finding, bar int, voice *words.Wording) string {
	var all []string
	for i := range found {
		if f := &found[i]; s.Bars[f.Bar].Number == bar && f.Kind != finding.Right {
			all = append(all, f.Kind.String()+" "+voice.Line(f))
		}
	}
	return strings.Join(all, "; ")
}

func ratio(a, b int) float64 {
	if b == 0 {
		return 1
	}
	return float64(a) / float64(b)
}

func (a *accuracy) String() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%-16s %8s %8s %8s %10s %8s\n", "kind", "planted", "found", "told", "precision", "recall")
	var kinds []string
	for k := range a.rows {
		kinds = append(kinds, k)
	}
	sort.Strings(kinds)
	for _, k := range kinds {
		r := a.rows[k]
		fmt.Fprintf(&b, "%-16s %8d %8d %8d %10.3f %8.3f\n", k, r.planted, r.found, r.told, ratio(r.true, r.told), ratio(r.found, r.planted))
	}
	return b.String()
}

// logFailed shows the first failures, or with -seed all of them.
func (a *accuracy) logFailed(t *testing.T) {
	for i, line := range a.failed {
		if i < 60 || *seedFlag != 0 {
			t.Log(line)
		}
	}
}

// everyPattern calls f for each shipped pattern in a meter that it fits.
func everyPattern(t *testing.T, f func(p *pattern.Pattern, m meter.Meter)) {
	t.Helper()
	cat := material.Catalogue(t)
	for i, p := range cat.Of(pattern.Accompaniment) {
		if !strings.HasPrefix(p.Name, *onlyFlag) || i%reduced.By() > 0 {
			continue
		}
		m := p.Meter
		if p.AnyMeter() {
			m = meter.Known()[i%6]
		}
		f(p, m)
	}
}

// levelOf is the level that a performance is judged at: for the tables steady, and
// where it is asked what the tuned numbers are worth, all in turn.
func levelOf(class pitch.Class) rules.Level {
	if reduced.By() == 1 {
		return rules.Steady
	}
	return []rules.Level{rules.Steady, rules.Gentle, rules.Strict}[int(class)/3%3]
}

// tell hands the rows of a table to make sensitivity.
func (a *accuracy) tell(table string) {
	for kind, r := range a.rows {
		reduced.Row(table+", "+kind+": told of what was planted", float64(r.found), float64(r.planted))
		reduced.Row(table+", "+kind+": right of what was told", float64(r.true), float64(r.told))
	}
}

// plantedRate is how many bars have a mistake. More, and mistakes follow one
// another so closely that what is right after the first is a matter of taste:
// from a wrong inversion, say, the nearest next one.
const plantedRate = 0.1

var accuracyTempi = []meter.Tempo{60, 92, 132}

func skipShort(t *testing.T) {
	t.Helper()
	if testing.Short() {
		t.Skip("the accuracy tables take long; they run without -short")
	}
}

// TestAccuracy plays every pattern with planted mistakes and human unevenness.
// The simulated player is invented; the table shows what the judge makes of
// such playing, not of any student.
func TestAccuracy(t *testing.T) {
	skipShort(t)
	human, err := performer.Human("steady")
	require.NoError(t, err)
	acc := newAccuracy()
	kinds := append(mistakes.NoteKinds(), mistakes.TimeKinds()...)
	first, last := uint64(1), uint64(*seedsFlag)
	if *seedFlag != 0 {
		first, last = *seedFlag, *seedFlag
	}
	everyPattern(t, func(p *pattern.Pattern, m meter.Meter) {
		for seed := first; seed <= last; seed++ {
			for class := pitch.Class(0); class < 12; class++ {
				tempo := accuracyTempi[(int(class)+int(seed))%3]
				key := pitch.KeyAt(class, false)
				s := accuracyScore(t, p, m, key, tempo)
				for n, kind := range kinds {
					plan := mistakes.Random([]mistakes.Kind{kind}, plantedRate)
					perf, err := mistakes.Play(s, human, plan, seed*1000+uint64(class)*20+uint64(n))
					require.NoError(t, err)
					found, e := run(s, perf.Events, levelOf(class))
					acc.compare(s, perf, found, voiceOf(e), fmt.Sprintf("seed %d, %s in %s at %g, %s", seed, p.Name, key, tempo, kind))
				}
			}
		}
	})
	t.Logf("\n%s", acc)
	acc.tell("by a click")
	acc.logFailed(t)
	for kind, r := range acc.rows {
		least := 0.98
		if r.planted < 200 {
			least = 0.95 // one more or less is half a hundredth
		}
		assert.GreaterOrEqual(t, ratio(r.true, r.told), least, "precision of "+kind)
		assert.GreaterOrEqual(t, ratio(r.found, r.planted), least, "recall of "+kind)
	}
}

// TestFaultlessPlayingIsLeftAlone counts corrections of human playing without
// any planted mistake.
func TestFaultlessPlayingIsLeftAlone(t *testing.T) {
	skipShort(t)
	bars, told := 0, 0
	for _, player := range []string{"steady", "fluent"} {
		human, err := performer.Human(player)
		require.NoError(t, err)
		everyPattern(t, func(p *pattern.Pattern, m meter.Meter) {
			for seed := uint64(1); seed <= uint64(*seedsFlag); seed++ {
				for class := pitch.Class(0); class < 12; class++ {
					s := accuracyScore(t, p, m, pitch.KeyAt(class, false), accuracyTempi[int(class)%3])
					perf := performer.Play(s, human, performer.Course{}, seed*77+uint64(class))
					found, e := run(s, perf.Events, levelOf(class))
					bars += len(s.Bars)
					for i := range found {
						if found[i].Kind != finding.Right {
							told++
							if told < 30 {
								t.Logf("%s, seed %d, %s in %s: %s %s", player, seed, p.Name, s.Key, found[i].Kind, voiceOf(e).Line(&found[i]))
							}
						}
					}
				}
			}
		})
	}
	reduced.Row("faultless bars left alone", float64(bars-told), float64(bars))
	t.Logf("%d corrections in %d faultless bars", told, bars)
	assert.Less(t, told*200, bars, "fewer than one false correction in 200 bars")
}
