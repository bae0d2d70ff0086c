package rules

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/test/sounding"
)

// F after C. The fingers travel 3 semitones from C4 E4 G4 to C4 F4 A4.
func TestTurned(t *testing.T) {
	for _, c := range []struct {
		name, pattern, heard string
		from                 []string // nil: the way there is not known
		want                 bool
	}{
		{"any inversion will do", "block-whole", "A4 C5 F5", []string{"C4 E4 G4"}, false},
		{"root position asked and played", "block-root", "F4 A4 C5", nil, false},
		{"root position asked", "block-root", "C4 F4 A4", nil, true},
		{"the first inversion asked and played", "block-first", "A3 C4 F4", nil, false},
		{"the first inversion asked", "block-first", "F3 A3 C4", nil, true},
		{"the nearest", "block-near", "C4 F4 A4", []string{"C4 E4 G4"}, false},
		{"a jump", "block-near", "F4 A4 C5", []string{"C4 E4 G4"}, true},
		{"the way there is not known", "block-near", "F4 A4 C5", nil, false},
		{"as near as another", "block-near", "F4 A4 C5", []string{"D4 G4 B4"}, false},
		{"two semitones farther", "block-near", "F4 A4 C5", []string{"D4 G4 Bb4"}, true},
		{"a semitone farther, with a note more", "block-near", "F4 A4 C5 F5", []string{"Eb4 G4 Bb4"}, true},
		{"the nearest from where the hand should have been", "block-near", "F4 A4 C5", []string{"C4 E4 G4", "E4 G4 C5"}, false},
		{"where it should have been is not known", "block-near", "F4 A4 C5", []string{"C4 E4 G4", ""}, true},
		{"as shown, whatever the way", "block-near", "C4 F4 A4", []string{"G5 C6 E6"}, false},
	} {
		s := sounding.ScoreOf(t, "4/4", "| C | F |", c.pattern)
		w := want(t, s, pattern.Right, 2, 1)
		heard, shown := keys(t, c.heard), pitch.NumsOf(w.Keys()...)
		var from []pitch.Nums
		for _, f := range c.from {
			from = append(from, keys(t, f))
		}
		assert.Equal(t, c.want, Turned(w, &heard, &shown, 0b111, from), c.name)
	}
	s := sounding.ScoreOf(t, "4/4", "| C | F |", "block-whole")
	bass, e := want(t, s, pattern.Left, 2, 1), keys(t, "E3")
	assert.False(t, Turned(bass, &e, &e, 1, nil), "a lone note has no inversion")
}

// Another octave is the player's choice; two octaves are no bass.
func TestMisplaced(t *testing.T) {
	for _, c := range []struct {
		heard, home string
		want        bool
	}{
		{"F2", "F2", false},
		{"F3", "F2", false},
		{"E4", "F2", false},
		{"F4", "F2", true},
		{"F5", "F2", true},
		{"F2", "F4", true},
		{"F#2", "F4", false},
	} {
		heard, home := keys(t, c.heard), keys(t, c.home)
		assert.Equal(t, c.want, Misplaced(heard.At(0), home.At(0)), "%s for %s", c.heard, c.home)
	}
}
