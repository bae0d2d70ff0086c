package harmony

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
)

func mustKey(t testing.TB, s string) pitch.Key {
	t.Helper()
	k, err := pitch.ParseKey(s)
	require.NoError(t, err)
	return k
}

func roman(t testing.TB, symbol, key string) string {
	t.Helper()
	c, err := chord.Parse(symbol)
	require.NoError(t, err)
	return Roman(c, mustKey(t, key))
}

func rows(t *testing.T, name string) [][]string {
	t.Helper()
	data, err := os.ReadFile("testdata/" + name)
	require.NoError(t, err)
	var all [][]string
	for _, line := range strings.Split(strings.TrimSpace(string(data)), "\n") {
		if !strings.HasPrefix(line, "#") {
			all = append(all, strings.Split(line, "\t"))
		}
	}
	return all
}

// Sources stand at the head of testdata/diatonic.tsv.
func TestDiatonicChordsOfEveryKey(t *testing.T) {
	all := rows(t, "diatonic.tsv")
	require.Len(t, all, 630)
	for _, r := range all {
		key := strings.NewReplacer(" natural minor", "m", " harmonic minor", "m", " major", "").Replace(r[0])
		assert.Equal(t, r[1], roman(t, r[2], key), "%s in %s", r[2], r[0])
	}
}

// Sources stand at the head of testdata/triads.tsv.
func TestTriadsOfEveryKey(t *testing.T) {
	all := rows(t, "triads.tsv")
	require.Len(t, all, 30)
	for _, r := range all {
		want := []string{"I", "ii", "iii", "IV", "V", "vi", "vii°"}
		if strings.HasSuffix(r[0], "m") {
			want = []string{"i", "ii°", "III", "iv", "V", "VI", "vii°"}
		}
		for i, symbol := range strings.Fields(r[1]) {
			assert.Equal(t, want[i], roman(t, symbol, r[0]), "%s in %s", symbol, r[0])
		}
	}
}

// Figures: Open Music Theory v1, "Introduction to thoroughbass", and v2,
// "Inversion and Figured Bass".
func TestFiguredBassSigns(t *testing.T) {
	for _, c := range []struct{ key, symbol, want string }{
		{"C", "C/E", "I6"}, {"C", "C/G", "I6/4"},
		{"C", "G7", "V7"}, {"C", "G7/B", "V6/5"}, {"C", "G7/D", "V4/3"}, {"C", "G7/F", "V4/2"},
		{"C", "Dm7/F", "ii6/5"}, {"C", "Dm/F", "ii6"},
		{"C", "Bdim/D", "vii°6"}, {"C", "Bm7b5", "viiø7"}, {"C", "Bm7b5/D", "viiø6/5"},
		{"Am", "G#dim7", "vii°7"}, {"Am", "G#dim7/B", "vii°6/5"}, {"Am", "E7/G#", "V6/5"},
		{"C", "Cmaj7/E", "I6/5"}, {"C", "Abmaj7/C", "bVImaj6/5"},
		{"Am", "C+/E", "III+6"}, {"Am", "Am(maj7)/C", "i(maj7)6/5"},
	} {
		assert.Equal(t, c.want, roman(t, c.symbol, c.key), "%s in %s", c.symbol, c.key)
	}
}

// Open Music Theory v1, "Applied chords"; Hutchinson, Music Theory for the
// 21st-Century Classroom, 17.3 "Secondary Dominants".
func TestAppliedChords(t *testing.T) {
	for _, c := range []struct{ key, symbol, want string }{
		{"C", "F#dim", "vii°/V"}, {"Eb", "F7", "V7/V"}, {"G", "A7", "V7/V"},
		{"C", "A7", "V7/ii"}, {"C", "B7", "V7/iii"}, {"C", "C7", "V7/IV"},
		{"C", "D7", "V7/V"}, {"C", "E7", "V7/vi"}, {"C", "E", "V/vi"}, {"C", "A", "V/ii"},
		{"Cm", "F", "IV"},     // V/VII where Bb follows
		{"Cm", "Bb7", "VII7"}, // or V7/III; both right
		{"C", "D7/F#", "V6/5/V"}, {"C", "D/F#", "V6/V"},
		{"C", "C#dim7", "vii°7/ii"}, {"C", "F#m7b5", "viiø7/V"}, {"C", "Edim", "vii°/IV"},
		{"Cm", "C7", "V7/iv"}, {"Cm", "D7", "V7/V"}, {"Cm", "Eb7", "V7/VI"}, {"Cm", "C", "V/iv"},
		{"C", "D9", "V9/V"},
		{"C", "F#7", "#IV7"}, // nothing is dominant to a diminished triad
		{"Cm", "A7", "#VI7"},
	} {
		assert.Equal(t, c.want, roman(t, c.symbol, c.key), "%s in %s", c.symbol, c.key)
	}
}

// Neapolitan: Open Music Theory v1, "Chromatically altered subdominant chords".
// bVI, bIII, bVII: there "Plagal progressions". Others common practice, no source.
func TestBorrowedAndForeignChords(t *testing.T) {
	for _, c := range []struct{ key, symbol, want string }{
		{"Cm", "Db/F", "N6"}, {"C", "Db/F", "N6"}, {"C", "Db", "N"}, {"Am", "Bb/D", "N6"},
		{"E", "C", "bVI"}, {"E", "G", "bIII"}, {"E", "D", "bVII"},
		{"C", "Fm", "iv"}, {"C", "Fm6", "ivadd6"}, {"C", "Bb7", "bVII7"}, {"C", "Db7", "bII7"},
		{"C", "C6", "Iadd6"}, {"C", "Cadd9", "Iadd9"}, {"C", "G9", "V9"},
		{"C", "Gsus4", "Vsus4"}, {"C", "G7sus4", "V7sus4"}, {"C", "Dsus4", "iisus4"}, {"Am", "Esus4", "Vsus4"},
		{"C", "Dm9", "ii9"}, {"C", "Caug", "I+"}, {"C", "G+7", "V+7"},
		{"C", "C/F#", "I over F#"}, {"C", "F/G", "IV over G"}, {"C", "C6/E", "Iadd6 over E"},
		{"C", "D7/C#", "V7/V over C#"},
		{"C", "F#m", "#iv"}, {"C", "Ebdim7", "biii°7"}, {"C", "N.C.", "N.C."},
	} {
		assert.Equal(t, c.want, roman(t, c.symbol, c.key), "%s in %s", c.symbol, c.key)
	}
}

// Open Music Theory v1: "Harmonic syntax - the idealized phrase", "The blues
// progression", "The lament progression", "Circle-of-fifths progression, minor
// mode", "Plagal progressions", "The Singer/Songwriter chord progression".
func TestProgressions(t *testing.T) {
	for _, c := range []struct{ key, chords, want string }{
		{"C", "C Am Dm G C", "I vi ii V I"},
		{"C", "F#dim G C", "vii°/V V I"},
		{"Am", "Am G F E", "i VII VI V"},
		{"Am", "Am Dm G C F Bdim E", "i iv VII III VI ii° V"},
		{"E", "C G D A E", "bVI bIII bVII IV I"},
		{"C", "Am F C G", "vi IV I V"}, {"Am", "Am F C G", "i VI III VII"},
		{"C", "C/G G7 C", "I6/4 V7 I"},
	} {
		var got []string
		for _, s := range strings.Fields(c.chords) {
			got = append(got, roman(t, s, c.key))
		}
		assert.Equal(t, c.want, strings.Join(got, " "))
	}
}

// Whatever the chord, its bass and the key, there is a name, and it begins with
// a numeral.
func TestEveryChordHasANumeral(t *testing.T) {
	for f := -7; f <= 7; f++ {
		key := pitch.Key{Tonic: pitch.NoteAtFifths(f)}
		for root := -12; root <= 12; root++ {
			for _, typ := range chord.Types() {
				for bass := -12; bass <= 12; bass++ {
					c := chord.New(pitch.NoteAtFifths(root), typ).Over(pitch.NoteAtFifths(bass))
					got := Roman(c, key)
					require.NotEmpty(t, strings.Trim(got, "b#"))
					require.Contains(t, "IVivN", strings.TrimLeft(got, "b#")[:1], got)
				}
			}
		}
	}
}
