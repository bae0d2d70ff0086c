package capture

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/music/chord"
	"undersong/internal/sheet/pattern"
	"undersong/internal/test/sounding"
)

// noted are keys as in "C4 E4 G4", struck at once.
func noted(t testing.TB, keys string) []note {
	t.Helper()
	var all []note
	for _, k := range sounding.Keys(t, keys) {
		all = append(all, note{key: k, off: beat, velocity: 64})
	}
	return all
}

// Which keys of one hand are the whole of a chord. Of four notes the fifth and the
// root may be missing.
func TestWholeChords(t *testing.T) {
	for _, c := range []struct {
		chord, keys string
		want        bool
		inversion   int
	}{
		{"C", "C4 E4 G4", true, 0},
		{"C", "E4 G4 C5", true, 1},
		{"C", "G3 C4 E4", true, 2},
		{"C", "C4 E4 G4 C5", true, 0},     // an octave wide
		{"C", "C4 E4 G4 C5 E5", false, 0}, // wider
		{"C", "C4 G4", false, 0},          // lacks its third
		{"C", "C4 E4", false, 0},
		{"C", "C4 F4 G4", false, 0},
		{"C", "C4 E4 G4 A4", false, 0}, // with a foreign note
		{"C", "C4", false, 0},
		{"C5", "C4 G4", true, 0}, // the root and fifth alone
		{"C5", "G3 C4", true, 1},
		{"C7", "C4 E4 G4 Bb4", true, 0},
		{"C7", "Bb3 C4 E4 G4", true, 3},
		{"C7", "E4 G4 Bb4", true, 1},
		{"C7", "Bb3 C4 E4", true, 3},
		{"C7", "E4 Bb4", false, 1}, // two are too few
		{"C7", "C4 E4 G4", false, 0},
		{"C7", "C4 G4 Bb4", false, 0},
		{"C7", "F4 G4 Bb4", false, -1},
	} {
		keys, name := sounding.Keys(t, c.keys), mustChords(t, c.chord)[0]
		assert.Equal(t, c.want, wholeChord(keys, name), "%s as %s", c.chord, c.keys)
		assert.Equal(t, c.inversion, inversionOf(keys, name), "%s as %s: inversion", c.chord, c.keys)
	}
}

// The voicings of both hands in one. Open: the second note from below an octave up;
// spread: the root with a fifth or seventh below, the rest close together above.
func TestShapesOfBothHands(t *testing.T) {
	for _, c := range []struct {
		chord, keys  string
		open, spread bool
	}{
		{"C", "C4 E4 G4", false, false},
		{"C", "C3 G3 E4", true, false},
		{"C", "E3 C4 G4", true, false},
		{"C", "C3 G3 E5", false, false}, // two octaves up
		{"C", "C3 A3 E4", false, false}, // another note
		{"Cmaj7", "C3 G3 B3 E4", true, false},
		{"Cmaj7", "C3 G3 B3 E4 G4", false, false}, // a note too many
		{"Cmaj7", "C3 G3 A3 E4", false, false},
		{"Cmaj7", "C3 B3 E4", false, false}, // a note too few
		{"C5", "C3 G3", false, false},
		{"C", "C3 G3 C4 E4", false, true},
		{"C", "C3 G3 E4 C5", false, true},
		{"C", "C3 G3 E4 E5", false, false}, // the third twice
		{"C", "C3 G3 C4 C5", false, false}, // an octave apart above, but no third
		{"C", "C3 G3 C4 E5", false, false}, // too far apart above
		{"C", "C3 E3 G3 C4", false, false}, // the third instead of the fifth
		{"C", "G2 C3 C4 E4", false, false}, // the fifth is lowest
		{"C", "C3 G3 D4 E4", false, false}, // a note that is not its own
		{"Cmaj7", "C3 B3 E4 G4", false, true},
		{"Cmaj7", "C3 G3 E4 B4", false, false}, // the fifth instead of the seventh
		{"Cmaj7", "C3 B3 E4 C5", false, false}, // the root again, for the fifth
		{"Cmaj7", "C3 B3 E4 G4 C5", false, false},
		{"Cm7b5", "C3 Bb3 Eb4 Gb4", false, true},
	} {
		got := shapesOf(sounding.Keys(t, c.keys), mustChords(t, c.chord)[0])
		assert.Equal(t, c.open, slices.Contains(got, pattern.Open), "%s as %s: open", c.chord, c.keys)
		assert.Equal(t, c.spread, slices.Contains(got, pattern.Spread), "%s as %s: spread", c.chord, c.keys)
	}
}

// One shape for all that is played: in four strokes of five, open only over the root,
// and spread only where that is no bass under a whole chord.
func TestTheShapeOfAPlaying(t *testing.T) {
	for _, c := range []struct {
		name, chords, keys string
		want               pattern.Shape
	}{
		{"close", "C F", "C4 E4 G4, F4 A4 C5", pattern.Close},
		{"open", "C F", "C3 G3 E4, F3 C4 A4", pattern.Open},
		{"open, and its third below once", "C F", "C3 G3 E4, A2 F3 C4", pattern.Drop},
		{"dropped", "Cmaj7 Fmaj7", "G3 C4 E4 B4, C4 F4 A4 E5", pattern.Drop},
		{"spread", "C F", "C3 G3 E4 C5, F3 C4 A4 F5", pattern.Spread},
		{"a bass under whole chords", "C F", "C3 G3 C4 E4, F3 C4 F4 A4", pattern.Close},
		{"four of five", "C C C C C", "C3 G3 E4 C5, C3 G3 E4 C5, C3 G3 E4 C5, C3 G3 E4 C5, C3 C4", pattern.Spread},
		{"three of four", "C C C C", "C3 G3 E4 C5, C3 G3 E4 C5, C3 G3 E4 C5, C3 C4", pattern.Close},
	} {
		assert.Equal(t, c.want, sharedShape(groupsStruck(t, c.keys), mustChords(t, c.chords)), c.name)
	}
	assert.Equal(t, chord.Set(0).With(0).With(4), classesOf(sounding.Keys(t, "C3 E4 C5")))
}
