package rules

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/finding"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/test/sounding"
)

// heardAs is which tones of a want keys serve, and how many serve none.
func heardAs(w *score.Want, heard pitch.Nums) (served uint32, foreign int) {
	for i := range heard.Len() {
		found := false
		for n := range w.Tones {
			if !found && served>>n&1 == 0 && w.Tones[n].Accept.Has(heard.At(i).Class()) {
				served, found = served|1<<n, true
			}
		}
		if !found {
			foreign++
		}
	}
	return served, foreign
}

// What a stroke with notes that do not belong is. Whole means that all it needs is
// there.
func TestForeignNotes(t *testing.T) {
	const tune = "| C | F |\nm: | E2 G2 c2 E2 | A2 F2 D2 F2 |"
	for _, c := range []struct {
		name, bars, pattern string
		hand                pattern.Hand
		beat                float64
		heard               string
		want                finding.Kind
		whole               bool
	}{
		{"a note on top of the chord", "| C | F |", "block-whole", pattern.Right, 1, "C4 D4 E4 G4", finding.Extra, true},
		{"two on top", "| C | F |", "block-whole", pattern.Right, 1, "C4 D4 E4 F4 G4", finding.Extra, true},
		{"one for another", "| C | F |", "block-whole", pattern.Right, 1, "C4 F4 G4", finding.WrongNote, false},
		{"two for others", "| C | F |", "block-whole", pattern.Right, 1, "C4 F4 A4", finding.WrongChord, false},
		{"one for two", "| C | F |", "block-whole", pattern.Right, 1, "C4 F4", finding.WrongChord, false},
		{"nothing of it", "| C | F |", "block-whole", pattern.Right, 1, "D4 F4 A4", finding.WrongChord, false},
		{"one note, none of it", "| C | F |", "block-whole", pattern.Right, 1, "D4", finding.WrongChord, false},
		{"another bass", "| C | F |", "block-whole", pattern.Left, 1, "D3", finding.WrongBass, false},
		{"another beside it", "| C | F |", "block-whole", pattern.Left, 1, "C3 D3", finding.Extra, true},
		{"a note of a figure", "| C | F |", "low-high-middle-high", pattern.Left, 1.5, "F3", finding.WrongNote, false},
		{"a note of the tune", tune, "tune-and-bass", pattern.Right, 1, "F4", finding.WrongNote, false},
		{"beside the tune", tune, "tune-and-bass", pattern.Right, 1, "D4 E4", finding.Extra, true},
		{"the fifth for another, which may be left out", "| G7 | C |", "block-whole", pattern.Right, 1, "F3 G3 B3 E4", finding.WrongNote, false},
		{"another on top of what must be there", "| G7 | C |", "block-whole", pattern.Right, 1, "F3 G3 B3 D4 E4", finding.Extra, true},
	} {
		s := sounding.ScoreOf(t, "4/4", c.bars, c.pattern)
		w := want(t, s, c.hand, 1, c.beat)
		served, foreign := heardAs(w, keys(t, c.heard))
		kind, whole := Foreign(w, served, foreign)
		assert.Equal(t, c.want, kind, c.name)
		assert.Equal(t, c.whole, whole, c.name)
	}
}

// A broken chord C E G C E G ... with wrong notes, as they come.
func TestAStreakOfWrongNotes(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", "| C | C F |", "low-high-middle-high")
	type step struct {
		bar   int
		beat  float64
		heard string // empty: right
		kind  finding.Kind
		told  bool
	}
	const n, c = finding.WrongNote, finding.WrongChord
	for name, steps := range map[string][]step{
		"a slip":                           {{1, 1.5, "", 0, false}, {1, 2, "F3", n, true}, {1, 2.5, "", 0, false}},
		"two are another chord, told once": {{1, 1.5, "A3", n, true}, {1, 2, "F3", c, true}, {1, 2.5, "A3", n, false}},
		"with as many right ones":          {{1, 1.5, "", 0, false}, {1, 2, "F3", n, true}, {1, 2.5, "", 0, false}, {1, 3.5, "A3", c, true}},
		"with more right ones":             {{1, 1.5, "", 0, false}, {1, 2, "", 0, false}, {1, 2.5, "", 0, false}, {1, 3.5, "A3", n, true}, {1, 4, "F3", n, true}},
		"the next bar is another matter":   {{1, 4, "F3", n, true}, {2, 1.5, "A3", n, true}},
		"and so is the next harmony":       {{2, 2, "F3", n, true}, {2, 3.5, "A3", n, true}},
	} {
		var streak Streak
		for _, st := range steps {
			w := want(t, s, pattern.Left, st.bar, st.beat)
			if st.heard == "" {
				streak.Right(w, 0)
				continue
			}
			f := finding.Finding{Kind: n, Heard: keys(t, st.heard)}
			assert.Equal(t, st.told, streak.Wrong(&f, w), "%s: beat %g", name, st.beat)
			assert.Equal(t, st.kind, f.Kind, "%s: beat %g", name, st.beat)
			if f.Kind == c {
				assert.Equal(t, keys(t, "F3 A3"), f.Heard, "all that was wrong")
			}
		}
	}
	w, bass := want(t, s, pattern.Left, 1, 1.5), want(t, s, pattern.Left, 1, 1)
	var streak Streak
	streak.Wrong(&finding.Finding{Pass: 0}, w)
	f := finding.Finding{Kind: n, Pass: 1}
	assert.True(t, streak.Wrong(&f, w))
	assert.Equal(t, n, f.Kind, "the next pass is another matter")
	f = finding.Finding{Kind: finding.WrongBass, Pass: 1}
	assert.True(t, streak.Wrong(&f, bass))
	assert.Equal(t, finding.WrongBass, f.Kind, "a bass is told as one")
}

func TestOneChordOfBothHands(t *testing.T) {
	bass, note, chord, extra := finding.Finding{Kind: finding.WrongBass}, finding.Finding{Kind: finding.WrongNote}, finding.Finding{Kind: finding.WrongChord}, finding.Finding{Kind: finding.Extra}
	assert.True(t, SameChord(&bass, &chord, false))
	assert.True(t, SameChord(&bass, &note, true))
	assert.False(t, SameChord(&bass, &note, false))
	assert.False(t, SameChord(&bass, &extra, true))
	assert.False(t, SameChord(&extra, &chord, true))
}

func TestAStrokeThatPassed(t *testing.T) {
	none, some := pitch.Nums{}, keys(t, "C4")
	assert.Equal(t, finding.Missing, Passed(&none, &none))
	assert.Equal(t, finding.Early, Passed(&none, &some), "only long before")
	assert.Equal(t, finding.Missing, Passed(&some, &some), "something came nearer, but not all")
	assert.Equal(t, finding.Missing, Passed(&some, &none))
}

// Unasked strokes stand on the nearest sixteenth, or in the next bar.
func TestThePlaceOfAnUnaskedStroke(t *testing.T) {
	for _, c := range []struct {
		meter  string
		bar    int
		beat   float64
		toBar  int
		toBeat float64
	}{
		{"4/4", 0, 2.5, 0, 2.5},
		{"4/4", 0, 2.124, 0, 2},
		{"4/4", 0, 2.125, 0, 2.25},
		{"4/4", 0, 4.874, 0, 4.75},
		{"4/4", 0, 4.875, 1, 1},
		{"4/4", 1, 4.875, 1, 5}, // after the last bar nothing comes
		{"6/8", 0, 1.5, 0, 1.5},
		{"6/8", 0, 1.08, 0, 1},
		{"6/8", 0, 1.09, 0, 1 + 1.0/6},
	} {
		s := sounding.ScoreOf(t, c.meter, "| C | F |", "block-whole")
		bar, beat := Unasked(s, c.bar, c.beat)
		assert.Equal(t, c.toBar, bar, "%s %g", c.meter, c.beat)
		assert.InDelta(t, c.toBeat, beat, 1e-9, "%s %g", c.meter, c.beat)
	}
}
