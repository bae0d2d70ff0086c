package firstbass

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/music/meter"
	"undersong/internal/test/material"
)

// theoryOf is a theory of a chart.
func theoryOf(t *testing.T, text string, basses int) *Theory {
	t.Helper()
	return NewTheory(scoreOf(t, material.Chart(t, text), ""), basses)
}

// divided is the stretches of a tune: bar and beat, what fits, and in brackets the
// one that is shown.
func divided(th *Theory) []string {
	var all []string
	for _, s := range th.Stretches() {
		line := fmt.Sprintf("%d/%g", s.Bar+1, th.Beat(&s))
		for _, i := range s.Fits {
			name := th.primary[i].Root.String()
			if i == s.Shown {
				name = "[" + name + "]"
			}
			line += " " + name
		}
		all = append(all, line)
	}
	return all
}

// Where a tune moves on within a bar the bass moves with it, to a strong beat or
// to a beat on which another note begins. Tonic at the end, dominant before it
// (Open Music Theory v1, "Classical cadence types"); else the bass stays.
func TestHowATuneIsDivided(t *testing.T) {
	for _, c := range []struct {
		what, chart string
		basses      int
		want        []string
	}{
		{"the chart's own chords first", "key: C\nmeter: 4/4\nunit: 1/4\n| C | F | C |\nm: c4 | c4 | c4 |", 3,
			[]string{"1/1 [C] F", "2/1 C [F]", "3/1 [C] F"}},
		{"no chart: the bass stays, and the end is the tonic's", "key: C\nmeter: 4/4\nunit: 1/4\n| N.C. | N.C. | N.C. | N.C. |\nm: A4 | c4 | G4 | c4 |", 3,
			[]string{"1/1 [F]", "2/1 C [F]", "3/1 C [G]", "4/1 [C] F"}},
		{"half a bar each", "key: C\nmeter: 4/4\nunit: 1/4\n| N.C. | N.C. |\nm: E2D2 | F2E2 |", 2,
			[]string{"1/1 [C]", "1/3 [G]", "2/1 [G]", "2/3 [C]"}},
		{"on the fourth beat", "key: C\nmeter: 4/4\nunit: 1/4\n| N.C. | N.C. |\nm: E3D | D4 |", 2,
			[]string{"1/1 [C]", "2/1 [G]"}},
		{"in three: from the second beat on", "key: C\nmeter: 3/4\nunit: 1/4\n| N.C. | N.C. |\nm: CD2 | E3 |", 2,
			[]string{"1/1 [C]", "1/2 [G]", "2/1 [C]"}},
		{"five is three and two", "key: C\nmeter: 5/4\nunit: 1/4\n| N.C. | N.C. |\nm: C3D2 | C5 |", 2,
			[]string{"1/1 [C]", "1/4 [G]", "2/1 [C]"}},
		{"an upbeat is the end of a bar", "key: C\nmeter: 4/4\nupbeat: 2\nunit: 1/4\n(N.C.) | N.C. | N.C. |\nm: GB | c4 | D2C2 |", 2,
			[]string{"1/3 [C] G", "2/1 [C]", "3/1 [G]", "3/3 [C]"}},
		{"an upbeat of three, with the middle of the bar in it", "key: C\nmeter: 4/4\nupbeat: 3\nunit: 1/4\n(N.C.) | N.C. |\nm: EB,2 | C4 |", 2,
			[]string{"1/2 [C]", "1/3 [G]", "2/1 [C]"}},
		{"an upbeat of three, with its last beat apart", "key: C\nmeter: 4/4\nupbeat: 3\nunit: 1/4\n(N.C.) | N.C. |\nm: E2B, | E4 |", 2,
			[]string{"1/2 [C]", "1/4 [G]", "2/1 [C]"}},
		{"a tune that begins on the second beat", "key: C\nmeter: 3/4\nunit: 1/4\n| N.C. | N.C. |\nm: zD2 | C3 |", 2,
			[]string{"1/1 [G]", "2/1 [C]"}},
		{"what nothing fits", "key: C\nmeter: 4/4\nunit: 1/4\n| N.C. | N.C. |\nm: ^C4 | C4 |", 2,
			[]string{"1/1", "2/1 [C]"}},
		{"two beats have one strong one", "key: C\nmeter: 2/4\nunit: 1/4\n| N.C. | N.C. |\nm: EB | EC |", 2,
			[]string{"1/1 [C]", "1/2 [G]", "2/1 [C]"}},
	} {
		assert.Equal(t, c.want, divided(theoryOf(t, c.chart+"\n", c.basses)), c.what)
	}
	assert.Equal(t, -1, barsOf(t, "C", "4/4", "^C4 | C4", 2).Stretches()[0].Shown, "nothing to be shown")
}

// What would be too much were it no ornament: half of a bar is foreign to C.
func TestOrnamentsThatFillHalfABar(t *testing.T) {
	for _, c := range []struct{ what, meter, tune, want string }{
		{"two passing tones, up and down", "4/4", "G/A/B/c/c/B/A/G/", "C G"},
		{"a long passing tone and a short one", "3/4", "GAB/c/ | c3", "C G"},
		{"the same from a leap", "3/4", "cAB/c/ | c3", ""},
		{"in five the fourth beat is strong", "5/4", "CEGDE | E5", ""},
		{"two passing tones into the next bar", "2/4", "GA/B/ | c2", "C G"},
		{"the second leaps away", "2/4", "GA/B/ | e2", "G"},
		{"the second turns back", "4/4", "G/A/B/A/ G2", "C G"},
		{"the same, and nothing else", "2/4", "G/A/B/A/ | G2", "G"},
		{"passing tones of a beat each", "4/4", "CDEF | E4", "C"},
		{"a neighbour of a beat and a half is none", "3/4", "CD3/2C/ | C3", ""},
		{"an escape tone of a beat", "2/4", "ED | G2", "C"},
		{"left by leap after a leap", "2/4", "EA, | D2", ""},
		{"a suspension resolved down", "4/4", "FEEC | C4", "C"},
		{"a suspension resolved too briefly", "4/4", "F/E/E/E/CC", "C"},
		{"an appoggiatura shorter than it resolves", "2/4", "F/E3/2 | E2", "C"},
		{"an appoggiatura longer than it resolves", "2/4", "F3/2E/ | E2", "G"},
		{"an accented note that rises", "2/4", "DE | G2", "G"},
		{"anticipated", "2/4", "CD | D2", "C"},
		{"not anticipated: the bar goes on", "3/4", "CDD | D3", ""},
		{"half and half, beginning at home", "4/4", "C2F2", ""},
		{"the last note of all is no ornament", "2/4", "CD", ""},
	} {
		assert.Equal(t, c.want, fitting(barsOf(t, "C", c.meter, c.tune, 2)), c.what)
	}
}

func TestWhatFitsLongestComesFirst(t *testing.T) {
	th := barsOf(t, "C", "4/4", "c2A2 | G2E2", 3)
	assert.Equal(t, []int{int(Subdominant), int(Tonic)}, th.Choices(0), "F under c and A, C under c alone")
	assert.Equal(t, []int{int(Tonic), int(Dominant)}, th.Choices(th.s.Bars[1].At), "C under G and E, G under G alone")
	assert.Equal(t, []int{int(Tonic), int(Subdominant)}, barsOf(t, "C", "4/4", "c4", 3).Choices(0), "as long: as they are learnt")
}

// The first note of the chord speaks for it; one on a strong beat before any other.
func TestWhatSpeaksForABass(t *testing.T) {
	for tune, want := range map[string]string{"B,CDE": "C", "B,CEC": "E", "ECEC": "E", "DB,DB,": ""} {
		th := barsOf(t, "C", "4/4", tune, 2)
		said := ""
		for _, i := range th.SpeaksFor(int(Tonic), 0, th.s.Bars[0].Len) {
			said = th.s.Melody[i].Pitch.Note.String()
		}
		assert.Equal(t, want, said, tune)
	}
}

func TestWhatTheChartHas(t *testing.T) {
	th := theoryOf(t, "key: C\nmeter: 4/4\nunit: 1/4\n| C G7 | N.C. | G7 | C |\nm: E2D2 | E4 | D4 | C4 |\n", 2)
	half := 2 * meter.Quarter
	for _, c := range []struct {
		bass Degree
		at   meter.Ticks
		want bool
	}{
		{Tonic, 0, true}, {Dominant, 0, false}, {Tonic, half, false}, {Dominant, half, true},
		{Tonic, 2 * half, false}, {Dominant, 2 * half, false}, {Dominant, 4 * half, true}, {Tonic, 6 * half, true},
	} {
		assert.Equal(t, c.want, th.Written(int(c.bass), c.at), "%d at %d", c.bass, c.at)
	}
	assert.Equal(t, half, th.Reach(int(Tonic), 0), "to where the chord changes")
	assert.Equal(t, 2*half, th.Reach(int(Dominant), half), "to the end of the bar")
	all := th.Stretches()
	assert.Equal(t, "E D E D C", strings.Join(append(append(append(append(th.Notes(&all[0]), th.Notes(&all[1])...), th.Notes(&all[2])...), th.Notes(&all[3])...), th.Notes(&all[4])...), " "))
}
