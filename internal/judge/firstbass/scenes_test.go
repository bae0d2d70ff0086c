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
	"undersong/internal/test/sounding"
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
	voicing    Voicing
	basses     int
	hits       string  // as sounding.Under reads it
	until      float64 // the beat before which the tune stops; 0: it goes on to its end
	again      float64 // the beat on which all is played once more; 0: once is all
	want       []string
}

var scenes = []played{
	{what: "all at its time", tune: sounding.Lou, hits: "C3 0-3.8; C3 4-7.8; G2 8-11.8; C3 12-15.8", want: []string{
		"1/1 right C3 tune:E4 @80",
		"2/1 right C3 tune:E4 @2080",
		"3/1 right G2 tune:D4 @4080",
		"4/1 right C3 tune:C4 @6080",
	}},
	{what: "all a fifth of a second late", tune: sounding.Lou, hits: "C3 0.4-3.8; C3 4.4-7.8; G2 8.4-11.8; C3 12.4-15.8", want: []string{
		"1/1 right C3 tune:E4 @280",
		"2/1 right C3 tune:E4 @2280",
		"3/1 right G2 tune:D4 @4280",
		"4/1 right C3 tune:C4 @6280",
	}},
	{what: "all a fifth of a second early", tune: sounding.Lou, hits: "C3 3.6-7.4; G2 7.6-11.4; C3 11.6-15.4", want: []string{
		"1/1 missing>C3 fits:C @2080",
		"2/1 right C3 tune:E4 @2080",
		"3/1 right G2 tune:D4 @4080",
		"4/1 right C3 tune:C4 @6080",
	}},
	{what: "on the second beats", tune: sounding.Lou, hits: "C3 1-3.8; C3 5-7.8; G2 9-11.8; C3 13-15.8", want: []string{
		"1/2 right C3 tune:C4 @580",
		"2/2 right C3 tune:G4 @2580",
		"3/2 right G2 tune:B3 @4580",
		"4/2 right C3 tune:C4 @6580",
	}},
	{what: "on the third beats", tune: sounding.Lou, hits: "C3 2-3.8; C3 6-7.8; G2 10-11.8; C3 14-15.8", want: []string{
		"1/3 right C3 tune:C4 @1080",
		"2/3 right C3 tune:G4 @3080",
		"3/3 right G2 tune:B3 @5080",
		"4/3 right C3 tune:C4 @7080",
	}},
	{what: "on the fourth beats", tune: sounding.Lou, hits: "C3 3-3.8; C3 7-7.8; G2 11-11.8; C3 15-15.8", want: []string{
		"1/4 right C3 tune:C4 @1580",
		"2/4 right C3 tune:G4 @3580",
		"3/4 right G2 tune:B3 @5580",
		"4/4 right C3 tune:C4 @7580",
	}},
	{what: "held through the second bar", tune: sounding.Lou, hits: "C3 0-7.8; G2 8-11.8; C3 12-15.8", want: []string{
		"1/1 right C3 tune:E4 @80",
		"2/1 right C3 tune:E4 @4080",
		"3/1 right G2 tune:D4 @4080",
		"4/1 right C3 tune:C4 @6080",
	}},
	{what: "held through half of the second bar", tune: sounding.Lou, hits: "C3 0-6.3; G2 8-11.8; C3 12-15.8", want: []string{
		"1/1 right C3 tune:E4 @80",
		"2/1 right C3 tune:E4 @4080",
		"3/1 right G2 tune:D4 @4080",
		"4/1 right C3 tune:C4 @6080",
	}},
	{what: "held a little into the second bar", tune: sounding.Lou, hits: "C3 0-5.5; G2 8-11.8; C3 12-15.8", want: []string{
		"1/1 right C3 tune:E4 @80",
		"2/1 missing>C3 fits:C @4080",
		"3/1 right G2 tune:D4 @4080",
		"4/1 right C3 tune:C4 @6080",
	}},
	{what: "held into a bar that it does not fit", tune: sounding.Lou, hits: "C3 4-11.8; C3 12-15.8", want: []string{
		"1/1 missing>C3 fits:C @2080",
		"2/1 right C3 tune:E4 @2080",
		"3/1 missing>G2 fits:G @6080",
		"4/1 right C3 tune:C4 @6080",
	}},
	{what: "the held bass with its chord", tune: sounding.Lou, voicing: WithFifth, hits: "C3 G3 0-7.8; G3 4-7.8; G2 D3 8-11.8; C3 G3 12-15.8", want: []string{
		"1/1 right C3 tune:E4 @80",
		"2/1 right C3 tune:E4 @2080",
		"3/1 right G2 tune:D4 @4080",
		"4/1 right C3 tune:C4 @6080",
	}},
	{what: "nothing at all", tune: sounding.Lou, want: []string{
		"1/1 missing>C3 fits:C @2330",
		"2/1 missing>C3 fits:C @4330",
		"3/1 missing>G2 fits:G @6330",
		"4/1 missing>C3 fits:C @8330",
	}},
	{what: "wrong twice in a bar is told once", tune: sounding.Lou, hits: "A2 0-1.8; F2 2-3.8; C3 4-7.8", want: []string{
		"1/1 not-a-root A2>C3 fits:C @80",
		"2/1 right C3 tune:E4 @2080",
		"3/1 missing>G2 fits:G @6330",
		"4/1 missing>C3 fits:C @8330",
	}},
	{what: "the fifth where the root should be", tune: sounding.Lou, hits: "G2 0-3.8; C3 4-7.8", want: []string{
		"1/1 misfit G2>C3 fits:C tune:E4 tune:C4 @80",
		"2/1 right C3 tune:E4 @2080",
		"3/1 missing>G2 fits:G @6330",
		"4/1 missing>C3 fits:C @8330",
	}},
	{what: "low and high on the piano", tune: sounding.Lou, hits: "Bb0 0-3.8; D1 4-7.8; A0 8-11.8", want: []string{
		"1/1 not-a-root Bb0>C1 fits:C @80",
		"2/1 not-a-root D1>C1 fits:C @2080",
		"3/1 not-a-root A0>G1 fits:G @4080",
		"4/1 missing>C3 fits:C @8330",
	}},
	{what: "a slip beside the tune is no bass", tune: sounding.Lou, hits: "B3 1.6-2; C3 0-3.8", want: []string{
		"1/1 right C3 tune:E4 @80",
		"2/1 missing>C3 fits:C @4330",
		"3/1 missing>G2 fits:G @6330",
		"4/1 missing>C3 fits:C @8330",
	}},
	{what: "nor is it where no bass is held", tune: sounding.Lou, hits: "B3 1.6-2; C3 4-7.8", want: []string{
		"1/1 missing>C3 fits:C @2080",
		"2/1 right C3 tune:E4 @2080",
		"3/1 missing>G2 fits:G @6330",
		"4/1 missing>C3 fits:C @8330",
	}},
	{what: "root and fifth in turn, fifths wanted", tune: sounding.Lou, voicing: WithFifth, hits: "C3 0-0.9; G3 1-1.9; C3 2-2.9; G3 3-3.9; C3 4-4.9; G2 5-7.9", want: []string{
		"1/1 right C3 tune:E4 @580",
		"2/2 misfit G2>C3 fits:C tune:E4 @2580",
		"3/1 missing>G2 fits:G @6330",
		"4/1 missing>C3 fits:C @8330",
	}},
	{what: "root and fifth below in turn", tune: sounding.Lou, hits: "C3 0-0.9; G2 1-1.9; C3 2-2.9; G2 3-3.9; C3 4-7.9", want: []string{
		"1/1 right C3 tune:E4 @80",
		"1/2 misfit G2>C3 fits:C tune:E4 tune:C4 @580",
		"2/1 right C3 tune:E4 @2080",
		"3/1 missing>G2 fits:G @6330",
		"4/1 missing>C3 fits:C @8330",
	}},
	{what: "a triad, broken", tune: sounding.Lou, voicing: WithTriad, hits: "C3 0-0.9; E3 1-1.9; G3 2-2.9; C3 E3 G3 4-7.8; G2 B2 D3 F3 8-11.8; C3 G3 E4 12-15.8", want: []string{
		"1/1 right C3 tune:E4 @1080",
		"2/1 right C3 tune:E4 @2080",
		"3/1 right G2 tune:D4 @4080",
		"4/1 high-third C3>E3 @8330",
	}},
	{what: "upper notes that are wrong", tune: sounding.Lou, voicing: WithTriad, hits: "C3 F3 0-3.8; C3 G3 Eb3 4-7.8; G2 Eb3 8-11.8; C3 Ab3 12-15.8", want: []string{
		"1/1 wrong-third F3>E3 @80",
		"2/1 wrong-third Eb3>E3 @2080",
		"3/1 wrong-fifth Eb3>D3 @4080",
		"4/1 wrong-fifth Ab3>G3 @6080",
	}},
	{what: "a chord tone more", tune: sounding.Lou, voicing: WithFifth, hits: "C3 G3 E3 0-3.8; C3 G3 C4 4-7.8; G2 F3 D3 8-11.8; C2 C3 G3 12-15.8", want: []string{
		"1/1 right C3 tune:E4 @80",
		"2/1 right C3 tune:E4 @2080",
		"3/1 right G2 tune:D4 @4080",
		"4/1 right C2 tune:C4 @6080",
	}},
	{what: "an inversion", tune: sounding.Lou, hits: "E2 C3 0-3.8; G2 E3 4-7.8; B2 G3 8-11.8", want: []string{
		"1/1 not-lowest E2>C2 fits:C @80",
		"2/1 misfit G2>C3 fits:C tune:E4 @2080",
		"3/1 not-lowest B2>G2 fits:G @4080",
		"4/1 missing>C3 fits:C @8330",
	}},
	{what: "a seventh below the root", tune: sounding.Lou, hits: "F2 G2 8-11.8", want: []string{
		"1/1 missing>C3 fits:C @2330",
		"2/1 missing>C3 fits:C @4080",
		"3/1 not-lowest F2>G2 fits:G @4080",
		"4/1 missing>C3 fits:C @8330",
	}},

	{what: "a fourth below the tune", tune: sounding.Lou, hits: "Bb3 6.6-7", want: []string{
		"1/1 missing>C3 fits:C @2330",
		"2/1 missing>C3 fits:C @4330",
		"3/1 missing>G2 fits:G @6330",
		"4/1 missing>C3 fits:C @8330",
	}},
	{what: "a fifth below what comes next", tune: sounding.Lou, hits: "A3 6.6-7", want: []string{
		"1/1 missing>C3 fits:C @2330",
		"2/4 not-a-root A3>G3 fits:C fits:G @3380",
		"3/1 missing>G2 fits:G @6330",
		"4/1 missing>C3 fits:C @8330",
	}},
	{what: "a fourth and less below the tune is a slip", tune: sounding.Lou, hits: "Db4 0.6-1", want: []string{
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
		l := New(s, Options{c.voicing, max(2, c.basses)})
		events := sounding.Under(t, s, c.hits)
		if c.until > 0 {
			events = slices.DeleteFunc(events, func(e event.Event) bool { return e.Data1 >= 59 && e.At >= beats(c.until) })
		}
		if c.again > 0 {
			for _, e := range sounding.Under(t, s, c.hits) {
				e.At += beats(c.again)
				events = append(events, e)
			}
		}
		var got []string
		for _, f := range sounding.Hear(l, events) {
			got = append(got, timed(l, &f))
			assert.Equal(t, []int{-1, -1}, []int{f.Want, f.Second}, "no stroke of a score is concerned")
			assert.Equal(t, !slices.Contains([]finding.Kind{finding.Missing, finding.NotRoot, finding.NotLowest, finding.Lost}, f.Kind), f.Bass.Chord >= 0, "%s: %s", c.what, f.Kind)
		}
		assert.Equal(t, c.want, got, "%s:\n\t\t\t%q", c.what, strings.Join(got, "|"))
	}
}
