package harmony

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/pitch"
)

// The sources are those of Roman: Open Music Theory v2, "Roman Numerals and SATB
// Chord Construction" and "Secondary Dominants".
func TestNumeralsInTheirKeys(t *testing.T) {
	for _, c := range []struct{ numeral, key, chord string }{
		{"I", "C", "C"}, {"vi", "C", "Am"}, {"ii7", "G", "Am7"}, {"V7", "F", "C7"}, {"IV", "Bb", "Eb"},
		{"i", "Am", "Am"}, {"iv", "Am", "Dm"}, {"V7", "Am", "E7"}, {"VI", "Am", "F"}, {"VII", "Am", "G"}, {"iiø7", "Cm", "Dm7b5"},
		{"vii°", "C", "Bdim"}, {"vii°7", "Am", "G#dim7"}, {"I+", "C", "Caug"},
		{"I6", "C", "C/E"}, {"I6/4", "C", "C/G"}, {"V6/5", "C", "G7/B"}, {"V4/3", "C", "G7/D"}, {"V4/2", "C", "G7/F"}, {"IV6/5", "C", "Fmaj7/A"},
		{"Imaj7", "D", "Dmaj7"}, {"V7sus4", "C", "G7sus4"}, {"Iadd6", "C", "C6"}, {"Iadd9", "C", "Cadd9"},
		{"V7/V", "C", "D7"}, {"vii°7/ii", "C", "C#dim7"}, {"V7/IV", "G", "G7"},
		{"bVII", "C", "Bb"}, {"#iv°7", "C", "F#dim7"}, {"bII6", "Am", "Bb/D"}, {"iv", "C", "Fm"}, {"I", "Am", "A"},
		{"N.C.", "C", "N.C."},
	} {
		n, err := ParseNumeral(c.numeral)
		require.NoError(t, err, c.numeral)
		assert.Equal(t, c.chord, n.In(mustKey(t, c.key)).String(), "%s in %s", c.numeral, c.key)
		assert.Equal(t, c.numeral, n.String())
	}
}

func TestWhatIsNoNumeral(t *testing.T) {
	for _, s := range []string{"", "C", "iI", "VIII", "I/C", "bbbI", "b#I", "Ifoo", "i+", "I°", "V7/", "V/V7", "6", "H", "I6/9x", "maj7"} {
		_, err := ParseNumeral(s)
		assert.Error(t, err, s)
	}
}

// Sources stand at the head of testdata/diatonic.tsv.
func TestNumeralsOfDiatonicChordsReadBack(t *testing.T) {
	for _, r := range rows(t, "diatonic.tsv") {
		key := strings.NewReplacer(" natural minor", "m", " harmonic minor", "m", " major", "").Replace(r[0])
		n, err := ParseNumeral(r[1])
		require.NoError(t, err, r[1])
		assert.Equal(t, r[2], n.In(mustKey(t, key)).String(), "%s in %s", r[1], r[0])
	}
}

func FuzzParseNumeral(f *testing.F) {
	for _, s := range []string{"I", "V7/ii", "bVII6/4", "vii°7", "#ivø7", "Vmaj6/5", "V7sus4", "N.C.", "i(maj7)"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		n, err := ParseNumeral(s)
		if err != nil {
			return
		}
		for _, k := range []pitch.Key{{}, {Minor: true}, {Tonic: pitch.Note{Letter: 6, Alter: -1}}} {
			c := n.In(k)
			assert.Equal(t, n.none, c.IsNone(), s)
			assert.Less(t, c.Inversion(), 5)
		}
	})
}
