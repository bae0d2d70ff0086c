package firstbass

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/finding"
	"undersong/internal/midi/event"
	"undersong/internal/test/material"
)

// timed is a finding in short, with when it was told, in milliseconds, how often
// before, and whether it mends.
func timed(l *Listener, f *finding.Finding) string {
	s := fmt.Sprintf("%s @%d", brief(l, f), f.At.Milliseconds())
	if f.Pass > 0 {
		s += fmt.Sprintf(" turn:%d", f.Pass)
	}
	if f.Again > 0 {
		s += fmt.Sprintf(" again:%d", f.Again)
	}
	if f.Mended {
		s += " mended"
	}
	if f.Bass.Later {
		s += " later"
	}
	return s
}

// played is what is put under a tune, at two beats a second, and all that is told
// of it.
type played struct {
	what, tune string
	rung       Rung
	basses     int
	hits       []hit
	until      float64 // the beat before which the tune stops; 0: it goes on to its end
	again      float64 // the beat on which all is played once more; 0: once is all
	want       []string
}

var scenes = []played{
	{what: "all at its time", tune: lou, hits: []hit{{0, 3.8, "C3"}, {4, 3.8, "C3"}, {8, 3.8, "G2"}, {12, 3.8, "C3"}}, want: []string{
		"1/1 right C3 tune:E4 @80",
		"2/1 right C3 tune:E4 @2080",
		"3/1 right G2 tune:D4 @4080",
		"4/1 right C3 tune:C4 @6080",
	}},
	{what: "all a fifth of a second late", tune: lou, hits: []hit{{0.4, 3.4, "C3"}, {4.4, 3.4, "C3"}, {8.4, 3.4, "G2"}, {12.4, 3.4, "C3"}}, want: []string{
		"1/1 right C3 tune:E4 @280",
		"2/1 right C3 tune:E4 @2280",
		"3/1 right G2 tune:D4 @4280",
		"4/1 right C3 tune:C4 @6280",
	}},
	{what: "all a fifth of a second early", tune: lou, hits: []hit{{3.6, 3.8, "C3"}, {7.6, 3.8, "G2"}, {11.6, 3.8, "C3"}}, want: []string{
		"1/1 missing>C3 fits:C @2080",
		"2/1 right C3 tune:E4 @2080",
		"3/1 right G2 tune:D4 @4080",
		"4/1 right C3 tune:C4 @6080",
	}},
	{what: "on the second beats", tune: lou, hits: []hit{{1, 2.8, "C3"}, {5, 2.8, "C3"}, {9, 2.8, "G2"}, {13, 2.8, "C3"}}, want: []string{
		"1/2 right C3 tune:C4 @580",
		"2/2 right C3 tune:G4 @2580",
		"3/2 right G2 tune:B3 @4580",
		"4/2 right C3 tune:C4 @6580",
	}},
	{what: "on the third beats", tune: lou, hits: []hit{{2, 1.8, "C3"}, {6, 1.8, "C3"}, {10, 1.8, "G2"}, {14, 1.8, "C3"}}, want: []string{
		"1/3 right C3 tune:C4 @1080",
		"2/3 right C3 tune:G4 @3080",
		"3/3 right G2 tune:B3 @5080",
		"4/3 right C3 tune:C4 @7080",
	}},
	{what: "on the fourth beats", tune: lou, hits: []hit{{3, 0.8, "C3"}, {7, 0.8, "C3"}, {11, 0.8, "G2"}, {15, 0.8, "C3"}}, want: []string{
		"1/4 right C3 tune:C4 @1580",
		"2/4 right C3 tune:G4 @3580",
		"3/4 right G2 tune:B3 @5580",
		"4/4 right C3 tune:C4 @7580",
	}},
	{what: "held through the second bar", tune: lou, hits: []hit{{0, 7.8, "C3"}, {8, 3.8, "G2"}, {12, 3.8, "C3"}}, want: []string{
		"1/1 right C3 tune:E4 @80",
		"2/1 right C3 tune:E4 @4080",
		"3/1 right G2 tune:D4 @4080",
		"4/1 right C3 tune:C4 @6080",
	}},
	{what: "held through half of the second bar", tune: lou, hits: []hit{{0, 6.3, "C3"}, {8, 3.8, "G2"}, {12, 3.8, "C3"}}, want: []string{
		"1/1 right C3 tune:E4 @80",
		"2/1 right C3 tune:E4 @4080",
		"3/1 right G2 tune:D4 @4080",
		"4/1 right C3 tune:C4 @6080",
	}},
	{what: "held a little into the second bar", tune: lou, hits: []hit{{0, 5.5, "C3"}, {8, 3.8, "G2"}, {12, 3.8, "C3"}}, want: []string{
		"1/1 right C3 tune:E4 @80",
		"2/1 missing>C3 fits:C @4080",
		"3/1 right G2 tune:D4 @4080",
		"4/1 right C3 tune:C4 @6080",
	}},
	{what: "held into a bar that it does not fit", tune: lou, hits: []hit{{4, 7.8, "C3"}, {12, 3.8, "C3"}}, want: []string{
		"1/1 missing>C3 fits:C @2080",
		"2/1 right C3 tune:E4 @2080",
		"3/1 missing>G2 fits:G @6080",
		"4/1 right C3 tune:C4 @6080",
	}},
	{what: "the held bass with its chord", tune: lou, rung: WithFifth, hits: []hit{{0, 7.8, "C3+G3"}, {4, 3.8, "G3"}, {8, 3.8, "G2+D3"}, {12, 3.8, "C3+G3"}}, want: []string{
		"1/1 right C3 tune:E4 @80",
		"2/1 right C3 tune:E4 @2080",
		"3/1 right G2 tune:D4 @4080",
		"4/1 right C3 tune:C4 @6080",
	}},
	{what: "nothing at all", tune: lou, want: []string{
		"1/1 missing>C3 fits:C @2330",
		"2/1 missing>C3 fits:C @4330",
		"3/1 missing>G2 fits:G @6330",
		"4/1 missing>C3 fits:C @8330",
	}},
	{what: "wrong twice in a bar is told once", tune: lou, hits: []hit{{0, 1.8, "A2"}, {2, 1.8, "F2"}, {4, 3.8, "C3"}}, want: []string{
		"1/1 not-in-stock A2>C3 fits:C @80",
		"2/1 right C3 tune:E4 @2080",
		"3/1 missing>G2 fits:G @6330",
		"4/1 missing>C3 fits:C @8330",
	}},
	{what: "the fifth where the root should be", tune: lou, hits: []hit{{0, 3.8, "G2"}, {4, 3.8, "C3"}}, want: []string{
		"1/1 misfit G2>C3 fits:C tune:E4 tune:C4 @80",
		"2/1 right C3 tune:E4 @2080",
		"3/1 missing>G2 fits:G @6330",
		"4/1 missing>C3 fits:C @8330",
	}},
	{what: "low and high on the piano", tune: lou, hits: []hit{{0, 3.8, "Bb0"}, {4, 3.8, "D1"}, {8, 3.8, "A0"}}, want: []string{
		"1/1 not-in-stock Bb0>C1 fits:C @80",
		"2/1 not-in-stock D1>C1 fits:C @2080",
		"3/1 not-in-stock A0>G1 fits:G @4080",
		"4/1 missing>C3 fits:C @8330",
	}},
	{what: "a slip beside the tune is no bass", tune: lou, hits: []hit{{1.6, 0.4, "B3"}, {0, 3.8, "C3"}}, want: []string{
		"1/1 right C3 tune:E4 @80",
		"2/1 missing>C3 fits:C @4330",
		"3/1 missing>G2 fits:G @6330",
		"4/1 missing>C3 fits:C @8330",
	}},
	{what: "nor is it where no bass is held", tune: lou, hits: []hit{{1.6, 0.4, "B3"}, {4, 3.8, "C3"}}, want: []string{
		"1/1 missing>C3 fits:C @2080",
		"2/1 right C3 tune:E4 @2080",
		"3/1 missing>G2 fits:G @6330",
		"4/1 missing>C3 fits:C @8330",
	}},
	{what: "root and fifth in turn, fifths wanted", tune: lou, rung: WithFifth, hits: []hit{{0, 0.9, "C3"}, {1, 0.9, "G3"}, {2, 0.9, "C3"}, {3, 0.9, "G3"}, {4, 0.9, "C3"}, {5, 2.9, "G2"}}, want: []string{
		"1/1 right C3 tune:E4 @580",
		"2/2 misfit G2>C3 fits:C tune:E4 @2580",
		"3/1 missing>G2 fits:G @6330",
		"4/1 missing>C3 fits:C @8330",
	}},
	{what: "root and fifth below in turn", tune: lou, hits: []hit{{0, 0.9, "C3"}, {1, 0.9, "G2"}, {2, 0.9, "C3"}, {3, 0.9, "G2"}, {4, 3.9, "C3"}}, want: []string{
		"1/1 right C3 tune:E4 @80",
		"1/2 misfit G2>C3 fits:C tune:E4 tune:C4 @580",
		"2/1 right C3 tune:E4 @2080",
		"3/1 missing>G2 fits:G @6330",
		"4/1 missing>C3 fits:C @8330",
	}},
	{what: "a triad, broken", tune: lou, rung: WithTriad, hits: []hit{{0, 0.9, "C3"}, {1, 0.9, "E3"}, {2, 0.9, "G3"}, {4, 3.8, "C3+E3+G3"}, {8, 3.8, "G2+B2+D3+F3"}, {12, 3.8, "C3+G3+E4"}}, want: []string{
		"1/1 right C3 tune:E4 @1080",
		"2/1 right C3 tune:E4 @2080",
		"3/1 right G2 tune:D4 @4080",
		"4/1 high-third C3>E3 @8330",
	}},
	{what: "upper notes that are wrong", tune: lou, rung: WithTriad, hits: []hit{{0, 3.8, "C3+F3"}, {4, 3.8, "C3+G3+Eb3"}, {8, 3.8, "G2+Eb3"}, {12, 3.8, "C3+Ab3"}}, want: []string{
		"1/1 wrong-third F3>E3 @80",
		"2/1 wrong-third Eb3>E3 @2080",
		"3/1 wrong-fifth Eb3>D3 @4080",
		"4/1 wrong-fifth Ab3>G3 @6080",
	}},
	{what: "a chord tone more", tune: lou, rung: WithFifth, hits: []hit{{0, 3.8, "C3+G3+E3"}, {4, 3.8, "C3+G3+C4"}, {8, 3.8, "G2+F3+D3"}, {12, 3.8, "C2+C3+G3"}}, want: []string{
		"1/1 right C3 tune:E4 @80",
		"2/1 right C3 tune:E4 @2080",
		"3/1 right G2 tune:D4 @4080",
		"4/1 right C2 tune:C4 @6080",
	}},
	{what: "an inversion", tune: lou, hits: []hit{{0, 3.8, "E2+C3"}, {4, 3.8, "G2+E3"}, {8, 3.8, "B2+G3"}}, want: []string{
		"1/1 not-lowest E2>C2 fits:C @80",
		"2/1 misfit G2>C3 fits:C tune:E4 @2080",
		"3/1 not-lowest B2>G2 fits:G @4080",
		"4/1 missing>C3 fits:C @8330",
	}},
	{what: "a seventh below the root", tune: lou, hits: []hit{{8, 3.8, "F2+G2"}}, want: []string{
		"1/1 missing>C3 fits:C @2330",
		"2/1 missing>C3 fits:C @4080",
		"3/1 not-lowest F2>G2 fits:G @4080",
		"4/1 missing>C3 fits:C @8330",
	}},

	{what: "a fourth below the tune", tune: lou, hits: []hit{{6.6, 0.4, "Bb3"}}, want: []string{
		"1/1 missing>C3 fits:C @2330",
		"2/1 missing>C3 fits:C @4330",
		"3/1 missing>G2 fits:G @6330",
		"4/1 missing>C3 fits:C @8330",
	}},
	{what: "a fifth below what comes next", tune: lou, hits: []hit{{6.6, 0.4, "A3"}}, want: []string{
		"1/1 missing>C3 fits:C @2330",
		"2/4 not-in-stock A3>G3 fits:C fits:G @3380",
		"3/1 missing>G2 fits:G @6330",
		"4/1 missing>C3 fits:C @8330",
	}},
	{what: "a fourth and less below the tune is a slip", tune: lou, hits: []hit{{0.6, 0.4, "Db4"}}, want: []string{
		"1/1 missing>C3 fits:C @2330",
		"2/1 missing>C3 fits:C @4330",
		"3/1 missing>G2 fits:G @6330",
		"4/1 missing>C3 fits:C @8330",
	}},
}

func beats(n float64) time.Duration { return time.Duration(n * float64(500*time.Millisecond)) }

const (
	both   = "key: C\nmeter: 4/4\nunit: 1/4\ntempo: 120\n| C | C | G7 | C |]\nm: E4 | G4 | D4 | C4 |\n"
	two    = "key: C\nmeter: 4/4\nunit: 1/4\ntempo: 120\n| C | C |]\nm: E4 | G4 |\n"
	many   = "key: C\nmeter: 4/4\nunit: 1/4\ntempo: 120\n| C | D7 | G7 | C |]\nm: C4 | d/^f/A/^c/d2 | D4 | C4 |\n"
	moving = "key: C\nmeter: 4/4\nunit: 1/4\ntempo: 120\n| C G7 | G7 C | C |]\nm: E2D2 | F2E2 | C4 |\n"
	held   = "key: C\nmeter: 4/4\nunit: 1/4\ntempo: 120\n| C | C | G7 | C |]\nm: E4- | E4 | D2B,2 | C4 |\n"
	waltz  = "key: F\nmeter: 3/4\nupbeat: 1\nunit: 1/4\ntempo: 120\n(C7) | F | Bb | C7 | F |]\nm: c | A2F | d2B | G2E | F3 |\n"
	mill   = "key: Am\nmeter: 2/4\nunit: 1/4\ntempo: 120\n| Am | E7 | E7 | Dm | D | Am |]\nm: ec | ^GB | =GB | fd | ^fd | A2 |\n"
)

func TestScenes(t *testing.T) {
	for _, c := range slices.Concat(scenes, moreScenes) {
		s := scoreOf(t, material.Chart(t, c.tune), "")
		l := New(s, Options{c.rung, max(2, c.basses)})
		events := scene(t, s, c.hits...)
		if c.until > 0 {
			events = slices.DeleteFunc(events, func(e event.Event) bool { return e.Data1 >= 59 && e.At >= beats(c.until) })
		}
		if c.again > 0 {
			for _, e := range scene(t, s, c.hits...) {
				e.At += beats(c.again)
				events = append(events, e)
			}
		}
		var got []string
		for _, f := range hear(l, events) {
			got = append(got, timed(l, &f))
			assert.Equal(t, []int{-1, -1}, []int{f.Want, f.Second}, "no stroke of a score is concerned")
			assert.Equal(t, !slices.Contains([]finding.Kind{finding.Missing, finding.NotStock, finding.NotLowest, finding.Lost}, f.Kind), f.Bass.Stock >= 0, "%s: %s", c.what, f.Kind)
		}
		assert.Equal(t, c.want, got, "%s:\n\t\t\t%q", c.what, strings.Join(got, "|"))
	}
}
