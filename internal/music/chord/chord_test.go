package chord

import (
	"encoding/json"
	"sort"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/pitch"
)

func parse(t *testing.T, s string) Chord {
	t.Helper()
	c, err := Parse(s)
	require.NoError(t, err, s)
	return c
}

func spelled(c Chord) string {
	var names []string
	for _, n := range c.Notes() {
		names = append(names, n.String())
	}
	return strings.Join(names, " ")
}

// Semitones above the root for every kind of the MusicXML 4.0 kind-value page
// (W3C Community Group) that is a chord on a root; the shorthand is that of
// Harte et al. 2005 and its later extensions in JAMS.
func TestTonesAgreeWithMusicXMLAndHarte(t *testing.T) {
	for _, c := range []struct{ kind, harte, semitones, spelledOnC string }{
		{"major", "maj", "0 4 7", "C E G"},
		{"minor", "min", "0 3 7", "C Eb G"},
		{"diminished", "dim", "0 3 6", "C Eb Gb"},
		{"augmented", "aug", "0 4 8", "C E G#"},
		{"major-seventh", "maj7", "0 4 7 11", "C E G B"},
		{"minor-seventh", "min7", "0 3 7 10", "C Eb G Bb"},
		{"dominant", "7", "0 4 7 10", "C E G Bb"},
		{"diminished-seventh", "dim7", "0 3 6 9", "C Eb Gb Bbb"},
		{"half-diminished", "hdim7", "0 3 6 10", "C Eb Gb Bb"},
		{"major-minor", "minmaj7", "0 3 7 11", "C Eb G B"},
		{"major-sixth", "maj6", "0 4 7 9", "C E G A"},
		{"minor-sixth", "min6", "0 3 7 9", "C Eb G A"},
		{"dominant-ninth", "9", "0 4 7 10 14", "C E G Bb D"},
		{"major-ninth", "maj9", "0 4 7 11 14", "C E G B D"},
		{"minor-ninth", "min9", "0 3 7 10 14", "C Eb G Bb D"},
		{"suspended-fourth", "sus4", "0 5 7", "C F G"},
		{"suspended-second", "sus2", "0 2 7", "C D G"},
		{"power", "5", "0 7", "C G"},
		{"augmented-seventh", "aug7", "0 4 8 10", "C E G# Bb"},
		{"dominant-11th", "11", "0 4 7 10 14 17", "C E G Bb D F"},
		{"major-11th", "maj11", "0 4 7 11 14 17", "C E G B D F"},
		{"minor-11th", "min11", "0 3 7 10 14 17", "C Eb G Bb D F"},
		{"dominant-13th", "13", "0 4 7 10 14 17 21", "C E G Bb D F A"},
		{"major-13th", "maj13", "0 4 7 11 14 17 21", "C E G B D F A"},
		{"minor-13th", "min13", "0 3 7 10 14 17 21", "C Eb G Bb D F A"},
	} {
		typ := byKind(t, c.kind)
		assert.Equal(t, c.harte, typ.Harte(), c.kind)
		var semis []string
		for _, tone := range typ.Tones() {
			semis = append(semis, strconv.Itoa(tone.Interval.Semitones))
		}
		assert.Equal(t, c.semitones, strings.Join(semis, " "), c.kind)
		assert.Equal(t, c.spelledOnC, spelled(New(pitch.Note{}, typ)), c.kind)
	}
}

func byKind(t *testing.T, kind string) Type {
	t.Helper()
	for _, typ := range Types() {
		if typ.MusicXML() == kind {
			return typ
		}
	}
	t.Fatalf("no chord type for the kind %s", kind)
	return None
}

func TestTypesWithoutAKindOfTheirOwn(t *testing.T) {
	// Added and altered degrees by the rule of the W3C degree-alter page; spelled on C.
	for symbol, want := range map[string]string{
		"Cmaj7#5": "C E G# B", "C7sus4": "C F G Bb", "Cadd9": "C E G D", "Cmadd9": "C Eb G D",
		"C6/9": "C E G A D", "C7b5": "C E Gb Bb", "C7b9": "C E G Bb Db", "C7#9": "C E G Bb D#",
		"C7#11": "C E G Bb F#",
	} {
		assert.Equal(t, want, spelled(parse(t, symbol)), symbol)
	}
}

func TestSymbolsAsMusiciansWriteThem(t *testing.T) {
	// Lead-sheet symbols: Open Music Theory v1, "Triads and seventh chords"; others common practice, no source.
	for written, want := range map[string]string{
		"C": "C", "CM": "C", "Cmaj": "C", "Cm": "Cm", "C-": "Cm", "Cmin": "Cm", "C°": "Cdim", "Co": "Cdim",
		"C+": "Caug", "C(#5)": "Caug", "CΔ7": "Cmaj7", "CM7": "Cmaj7", "C-7": "Cm7", "Cø7": "Cm7b5", "Cø": "Cm7b5",
		"C°7": "Cdim7", "Cm(maj7)": "CmMaj7", "C-Δ7": "CmMaj7", "C69": "C6/9", "C6/9/E": "C6/9/E",
		"Csus": "Csus4", "C7sus": "C7sus4", "Em7(b5)": "Em7b5", "F♯m7/E": "F#m7/E", "B♭7": "Bb7", "Bb7/D": "Bb7/D",
		"C/E": "C/E", "C/C": "C", "C2": "Cadd9", "N.C.": "N.C.", "NC": "N.C.", "Bb": "Bb", "Bbb": "Bbb", "C7(b9)": "C7b9",
	} {
		assert.Equal(t, want, parse(t, written).String(), written)
	}
}

func TestBadSymbolsSayWhere(t *testing.T) {
	for symbol, offset := range map[string]int{
		"": 0, "H": 0, "c": 0, "Cmajor": 1, "C/": 2, "C/H": 2, "C/Ex": 2, "F#zz": 2, "C7/Bb7": 3, "C\xff": 0, "hello": 0,
	} {
		_, err := Parse(symbol)
		var se *SymbolError
		require.ErrorAs(t, err, &se, symbol)
		assert.Equal(t, offset, se.Offset, symbol)
	}
}

func TestEverySymbolReadsBack(t *testing.T) {
	for f := -9; f <= 11; f++ {
		root := pitch.NoteAtFifths(f)
		for _, typ := range Types() {
			c := New(root, typ)
			assert.Equal(t, c, parse(t, c.String()))
			for _, n := range c.Notes() {
				assert.Equal(t, c.Over(n), parse(t, c.Over(n).String()))
			}
		}
	}
}

func TestNoTwoTypesShareASymbol(t *testing.T) {
	seen := map[string]Type{}
	for _, typ := range Types() {
		for _, s := range append([]string{typ.Suffix()}, typ.row().aliases...) {
			if other, ok := seen[s]; ok {
				t.Errorf("%q means both %s and %s", s, other.Name(), typ.Name())
			}
			seen[s] = typ
		}
	}
}

// Sounds that two types share on one root. On different roots more pairs agree
// (C6 and Am7); those are told apart by the bass and the context.
func TestTypesThatSoundAlikeOnOneRoot(t *testing.T) {
	bySet := map[Set][]string{}
	for _, typ := range Types() {
		bySet[typ.Set()] = append(bySet[typ.Set()], typ.Suffix())
	}
	var pairs []string
	for _, names := range bySet {
		if len(names) > 1 {
			pairs = append(pairs, strings.Join(names, "="))
		}
	}
	sort.Strings(pairs)
	assert.Empty(t, pairs)
}

func TestTonesRise(t *testing.T) {
	for _, typ := range Types() {
		last := -1
		for _, tone := range typ.Tones() {
			assert.Greater(t, tone.Interval.Semitones, last, typ.Name())
			last = tone.Interval.Semitones
		}
		assert.Zero(t, typ.Optional()&^typ.Set(), typ.Name())
	}
}

func TestInversions(t *testing.T) {
	// Cases 3 to 11 and 18: Open Music Theory v1 and v2, Music Theory for the 21st-Century Classroom 6.3.
	for symbol, want := range map[string]int{
		"C": 0, "Cm/Eb": 1, "Cdim/Gb": 2, "D#dim/F#": 1, "F/A": 1, "Dm/A": 2, "Gdim/Db": 2, "C+/G#": 2,
		"C/F#": -1, "A/C#": 1, "A/E": 2, "G7/F": 3, "C9/D": 4, "N.C.": 0, "C/B#": 0,
	} {
		assert.Equal(t, want, parse(t, symbol).Inversion(), symbol)
	}
	assert.Equal(t, "F major, first inversion", parse(t, "F/A").Words())
	assert.Equal(t, "C major over F#", parse(t, "C/F#").Words())
}

func TestSpelledTones(t *testing.T) {
	// Open Music Theory v1, "Triads and seventh chords" and "Applied chords".
	for symbol, want := range map[string]string{
		"Ddim7": "D F Ab Cb", "E7": "E G# B D", "Ab7": "Ab C Eb Gb", "Bdim7": "B D F Ab", "G#dim7": "G# B D F",
		"Dm7b5": "D F Ab C", "Ebaug": "Eb G B", "Am7": "A C E G", "B7": "B D# F# A", "F#m7": "F# A C# E", "A7": "A C# E G",
	} {
		assert.Equal(t, want, spelled(parse(t, symbol)), symbol)
	}
}

func TestTranspose(t *testing.T) {
	c := pitch.Key{}
	for _, row := range []struct{ from, key, want string }{
		{"E7", "E", "G#7"}, {"F/A", "Bb", "Eb/G"}, {"Bdim", "Gb", "Fdim"}, {"D7/F#", "Ab", "Bb7/D"}, {"N.C.", "G", "N.C."},
	} {
		to, err := pitch.ParseKey(row.key)
		require.NoError(t, err)
		assert.Equal(t, row.want, parse(t, row.from).Transpose(c.To(to)).String(), row.from)
	}
}

func TestDegreesOfAChord(t *testing.T) {
	for _, c := range []struct {
		chord     string
		degree    int
		semitones int
	}{
		{"Am", 3, 3}, {"Bdim", 5, 6}, {"C", 8, 12}, {"Cm", 10, 15}, {"Csus4", 3, 5}, {"Csus2", 3, 2}, {"C", 7, 12},
		{"C7", 7, 10}, {"C", 6, 9}, {"C", 2, 2}, {"C9", 9, 14}, {"C", 9, 14}, {"Caug", 5, 8}, {"C", 12, 19}, {"C7b9", 9, 13}, {"C7", 14, 22},
	} {
		assert.Equal(t, c.semitones, parse(t, c.chord).Degree(c.degree).Semitones, "%s degree %d", c.chord, c.degree)
	}
}

func keys(ks ...pitch.Num) []pitch.Num { return ks }

func TestSmoothestVoiceLeading(t *testing.T) {
	// From C4 E4 G4 with the least motion (arithmetic; rule "shortest way" in
	// Open Music Theory v1, "Composing in basso-continuo style").
	from := keys(60, 64, 67)
	for symbol, want := range map[string]struct {
		keys   []pitch.Num
		motion int
	}{
		"F":  {keys(60, 65, 69), 3},
		"G":  {keys(59, 62, 67), 3},
		"Am": {keys(60, 64, 69), 2},
		"Em": {keys(59, 64, 67), 1},
		"Dm": {keys(62, 65, 69), 5},
	} {
		got := Nearest(from, parse(t, symbol).HandTones(4), 55)
		assert.Equal(t, want.keys, got, symbol)
		assert.Equal(t, want.motion, Motion(from, got), symbol)
	}
}

func TestMotionBetweenUnequalChords(t *testing.T) {
	assert.Equal(t, 2, Motion(keys(60, 64, 67), keys(59, 65, 67, 67)))
	assert.Equal(t, 0, Motion(nil, keys(60)))
	assert.Equal(t, 12, Motion(keys(60), keys(48)))
}

func TestTallChordsFitTheHand(t *testing.T) {
	assert.Equal(t, []pitch.Class{4, 7, 10, 2}, parse(t, "C9").HandTones(4))
	assert.Equal(t, []pitch.Class{4, 10, 2, 9}, parse(t, "C13").HandTones(4))
	assert.Equal(t, []pitch.Class{0, 4, 7}, parse(t, "C").HandTones(4))
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"C", "F#m7/E", "Bb6/9/D", "N.C.", "Em7(b5)", "C/H", "G°7", "C\xff/"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		c, err := Parse(s)
		if err != nil {
			var se *SymbolError
			require.ErrorAs(t, err, &se)
			require.LessOrEqual(t, se.Offset, len(s))
			return
		}
		again, err := Parse(c.String())
		require.NoError(t, err)
		require.Equal(t, c, again)
	})
}

func TestChordsComeBackFromJSON(t *testing.T) {
	for _, name := range []string{"N.C.", "C", "F#m7b5", "Bb7/Ab"} {
		c, err := Parse(name)
		require.NoError(t, err)
		text, err := json.Marshal(c)
		require.NoError(t, err)
		var back Chord
		require.NoError(t, json.Unmarshal(text, &back), string(text))
		assert.Equal(t, c, back)
	}
	var c Chord
	assert.Error(t, json.Unmarshal([]byte(`"Hm"`), &c))
}
