package capture

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/test/sounding"
)

// The ways to write a key in a hand that lies from C3 up, as a pattern file has
// them: a degree of the chord, and one that is counted on the major scale (with =
// where the chord's own degree is another).
func TestWaysToWriteANote(t *testing.T) {
	for _, c := range []struct {
		chord, key, want string
	}{
		{"C", "C3", "[1 =1]"},
		{"C", "E3", "[3 =3]"},
		{"C", "G3", "[5 =5]"},
		{"C", "C4", "[8 =8]"},
		{"C", "E4", "[10 =10]"},
		{"C", "G4", "[12 =12]"},
		{"C", "C5", "[15 =15]"},
		{"C", "E5", "[3'' =3'']"},
		{"C", "C2", "[1, =1,]"},
		{"C", "G2", "[5, =5,]"},
		{"C", "D3", "[=2]"},
		{"C", "F3", "[=4]"},
		{"C", "A3", "[=6]"},
		{"C", "B3", "[=7]"},
		{"C", "Bb3", "[b7]"},
		{"C", "Ab3", "[b6]"},
		{"C", "Eb3", "[b3]"},
		{"C", "Db3", "[b2]"},
		{"C", "F#3", "[#4]"},
		{"C", "D4", "[=9]"},
		{"C", "F4", "[=11]"},
		{"C", "A4", "[=13]"},
		{"C", "B4", "[=14]"},
		{"Cm", "Eb3", "[3 b3]"},
		{"C7", "Bb3", "[7 b7]"},
		{"C9", "D3", "[2 =2]"},
		{"C9", "D4", "[9 =9]"},
		{"C7b9", "Db4", "[9 b9]"},
		{"C7b9", "Db3", "[9, b2]"},
		{"A", "A3", "[1 =1]"},
		{"A", "C#4", "[3 =3]"},
		{"A", "E3", "[5, =5,]"},
	} {
		key := sounding.Keys(t, c.key)[0]
		assert.Equal(t, c.want, fmt.Sprint(names(key, mustChords(t, c.chord)[0], 48)), "%s over %s", c.key, c.chord)
	}
}

// Octave marks go three octaves either way.
func TestOctaveMarks(t *testing.T) {
	c := mustChords(t, "C")[0]
	for key, octave := range map[pitch.Num]int{12: -3, 0: -3, 24: -2, 84: 3, 108: 3} {
		assert.Equal(t, octave, names(key, c, 48)[0].Octave, "key %d", key)
	}
}

// The tonic and the fifth of the key of the piece, from C3 up.
func TestNotesOfTheKey(t *testing.T) {
	for _, c := range []struct {
		key, note string
		want      pattern.Tone
		ok        bool
	}{
		{"C", "C3", pattern.Tone{Degree: 1, OfKey: true}, true},
		{"C", "G3", pattern.Tone{Degree: 5, OfKey: true}, true},
		{"C", "C4", pattern.Tone{Degree: 1, OfKey: true, Octave: 1}, true},
		{"C", "G4", pattern.Tone{Degree: 5, OfKey: true, Octave: 1}, true},
		{"C", "G2", pattern.Tone{Degree: 5, OfKey: true, Octave: -1}, true},
		{"C", "C2", pattern.Tone{Degree: 1, OfKey: true, Octave: -1}, true},
		{"C", "E3", pattern.Tone{}, false},
		{"C", "F3", pattern.Tone{}, false},
		{"F", "F3", pattern.Tone{Degree: 1, OfKey: true}, true},
		{"F", "C4", pattern.Tone{Degree: 5, OfKey: true}, true},
		{"F", "C3", pattern.Tone{Degree: 5, OfKey: true, Octave: -1}, true},
	} {
		k, err := pitch.ParseKey(c.key)
		assert.NoError(t, err)
		got, ok := ofKey(sounding.Keys(t, c.note)[0], k, 48)
		assert.Equal(t, c.ok, ok, "%s in %s", c.note, c.key)
		assert.Equal(t, c.want, got, "%s in %s", c.note, c.key)
	}
}

func TestDegreesWithinAnOctave(t *testing.T) {
	for degree, want := range map[int]int{1: 1, 5: 5, 7: 7, 8: 1, 9: 2, 10: 3, 12: 5, 13: 6, 14: 7, 15: 1} {
		assert.Equal(t, want, simple(pattern.Tone{Degree: degree}), "%d", degree)
	}
}
