package firstbass

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/pitch"
	"undersong/internal/test/material"
)

// barsOf is a theory of a tune in bars of 4/4, or of another meter.
func barsOf(t *testing.T, key, meter, tune string, basses int) *Theory {
	t.Helper()
	bars := strings.Repeat("| N.C. ", strings.Count(tune, "|")+1)
	text := fmt.Sprintf("key: %s\nmeter: %s\nunit: 1/4\n%s|\nm: %s |\n", key, meter, bars, tune)
	c := material.Chart(t, text)
	return NewTheory(scoreOf(t, c, ""), basses)
}

// fitting names the basses that fit the whole of the first bar.
func fitting(th *Theory) string {
	var all []string
	b := th.s.Bars[0]
	for i := range th.primary {
		if th.Reach(i, b.At) == b.At+b.Len {
			all = append(all, th.primary[i].Root.String())
		}
	}
	return strings.Join(all, " ")
}

// Tonic: do mi sol; dominant: sol ti re, and fa in a dominant seventh (Piano
// Basics, Baylor University, "Harmonization with Chord Roots"). Subdominant: fa la
// do, its triad.
func TestEachNoteOfTheScaleHasItsBasses(t *testing.T) {
	for note, want := range map[string]string{
		"C": "C F", "D": "G", "E": "C", "F": "G F", "G": "C G", "A": "F", "B": "G", "c": "C F",
	} {
		assert.Equal(t, want, fitting(barsOf(t, "C", "4/4", note+"4", 3)), note)
	}
	for note, want := range map[string]string{
		"A": "A D", "B": "E", "c": "A", "d": "E D", "e": "A E", "f": "D", "^g": "E", "=g": "E", "^f": "D",
	} {
		assert.Equal(t, want, fitting(barsOf(t, "Am", "4/4", note+"4", 3)), note)
	}
}

// The kinds of embellishing tones: Open Music Theory v1, "Embellishing tones";
// Music Theory for the 21st-Century Classroom 10.
func TestForeignNotesAreTakenAsOrnaments(t *testing.T) {
	for _, c := range []struct{ what, meter, tune, want string }{
		{"passing tones on weak beats", "4/4", "CDEF | G4", "C"},
		{"two passing tones in a row, a fourth", "4/4", "G/A/B/c/c2", "C"},
		{"upper neighbour", "4/4", "EFEE", "C"},
		{"lower neighbour", "4/4", "CB,C2", "C"},
		{"double neighbour", "4/4", "C/D/B,/C/E2", "C"},
		{"incomplete neighbour", "4/4", "GFEE", "C"},
		{"escape tone", "4/4", "G>FGA | F4", "C G"},
		{"anticipation", "4/4", "EEED | D4", "C"},
		{"appoggiatura", "4/4", "FE3", "C"},
		{"suspension", "4/4", "c2ed- | dcc2", "C"},
		{"a foreign half note is no ornament", "4/4", "D2C2", ""},
		{"strong beats count", "4/4", "CCDD", ""},
		{"an accented note that rises is none", "4/4", "FGGG", "G"},
		{"mainly, one weak beat aside", "4/4", "GDG2", "C G"},
		{"in three", "3/4", "CDE", "C"},
		{"in three, from the second beat on", "3/4", "CDD", ""},
		{"in six", "6/8", "C/D/E/G3/2", "C"},
		{"silence", "4/4", "z4 | C4", "C G F"},
		{"arpeggio of the dominant seventh", "4/4", "G,B,DF", "G"},
	} {
		basses := 2
		if strings.Contains(c.want, "F") {
			basses = 3
		}
		assert.Equal(t, c.want, fitting(barsOf(t, "C", c.meter, c.tune, basses)), c.what)
	}
}

func TestABassMayServeAPartOfABar(t *testing.T) {
	th := barsOf(t, "C", "4/4", "C2D2 | CEDB, | DDDA", 2)
	var got []string
	for _, s := range th.Stretches() {
		var fits []string
		for _, i := range s.Fits {
			fits = append(fits, th.primary[i].Root.String())
		}
		got = append(got, fmt.Sprintf("%d/%g %s", s.Bar+1, th.Beat(&s), strings.Join(fits, " ")))
	}
	assert.Equal(t, []string{"1/1 C", "1/3 G", "2/1 C", "2/3 G", "3/1 G"}, got)
	assert.Equal(t, []int{int(Tonic)}, th.Choices(0))
	assert.Equal(t, []int{int(Dominant)}, th.Choices(th.s.Bars[0].Len/2))
}

// A chart's own chord is a good solution wherever it is a primary one.
func TestTheChartsChordsFit(t *testing.T) {
	for _, name := range tuneNames(t) {
		th := NewTheory(tuneOf(t, name, ""), 3)
		for _, h := range th.s.Harmonies {
			for i, b := range th.primary {
				if !h.Chord.IsNone() && h.Chord.Root == b.Root {
					assert.Greater(t, th.Reach(i, h.At), h.At, "%s: %s at %d", name, h.Chord, h.At)
				}
			}
		}
	}
}

// Of the demo charts' harmonies on I, IV and V most are found without looking at
// them: the charts are an outside judge.
func TestTheoryAgreesWithTheCharts(t *testing.T) {
	agree, all := 0, 0
	for _, name := range tuneNames(t) {
		s := tuneOf(t, name, "")
		blind := *s
		blind.Harmonies = nil
		th := NewTheory(&blind, 3)
		for i := range s.Bars {
			at := s.Bars[i].At
			root := s.Harmonies[s.HarmonyAt(at)].Chord.Root
			for k, b := range th.primary {
				if b.Root == root {
					all++
					if th.Reach(k, at) > at {
						agree++
					}
				}
			}
		}
	}
	t.Logf("%d of %d", agree, all)
	assert.Greater(t, float64(agree)/float64(all), 0.95)
}

func TestPrimaryChords(t *testing.T) {
	for key, want := range map[string]string{
		"C": "C E G, G B D, F A C", "Am": "A C E, E G# B, D F A", "Gb": "Gb Bb Db, Db F Ab, Cb Eb Gb", "G#m": "G# B D#, D# F## A#, C# E G#",
	} {
		k, err := pitch.ParseKey(key)
		require.NoError(t, err)
		var got []string
		for _, b := range Primary(k, 3) {
			got = append(got, fmt.Sprintf("%s %s %s", b.Root, b.Third, b.Fifth))
		}
		assert.Equal(t, want, strings.Join(got, ", "), key)
		assert.Len(t, Primary(k, 2), 2)
	}
}

func TestSolutionsCloseOnTheTonic(t *testing.T) {
	for _, name := range tuneNames(t) {
		all := NewTheory(tuneOf(t, name, ""), 2).Stretches()
		last := all[len(all)-1]
		assert.Equal(t, int(Tonic), last.Shown, name)
	}
}
