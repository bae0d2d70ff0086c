package pitch

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func note(t *testing.T, s string) Note {
	t.Helper()
	n, err := ParseNote(s)
	require.NoError(t, err)
	return n
}

func key(t *testing.T, s string) Key {
	t.Helper()
	k, err := ParseKey(s)
	require.NoError(t, err)
	return k
}

func TestPitchNumbers(t *testing.T) {
	// Middle C is note 60 (MIDI 1.0 Detailed Specification 4.2.1); piano range 21 to 108 from memory.
	for text, want := range map[string]Num{
		"C4": 60, "A4": 69, "A0": 21, "C8": 108, "C-1": 0, "G9": 127,
		"B#3": 60, "Cb4": 59, "F#3": 54, "Gb3": 54, "B##3": 61, "Cbb4": 58,
	} {
		p, err := ParsePitch(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, p.Num(), text)
		assert.Equal(t, text, p.String())
		assert.Equal(t, p, want.Spell(p.Note), text)
	}
}

func TestParsePitchRefuses(t *testing.T) {
	for _, text := range []string{"", "H2", "C", "C+4", "C 4", "c4", "C04", "C4x", "C####4"} {
		_, err := ParsePitch(text)
		assert.Error(t, err, text)
	}
}

func TestNumValid(t *testing.T) {
	assert.True(t, Num(0).Valid())
	assert.True(t, Num(127).Valid())
	assert.False(t, Num(-1).Valid())
	assert.False(t, Num(128).Valid())
}

func TestKeysAreFoldedIntoARange(t *testing.T) {
	for key, want := range map[Num]Num{
		PianoLow: PianoLow, PianoLow - 1: PianoLow + 11, PianoLow - 13: PianoLow + 11, -1: 23, MiddleC: MiddleC,
		PianoHigh: PianoHigh, PianoHigh + 1: PianoHigh - 11, PianoHigh + 13: PianoHigh - 11, 127: 103,
	} {
		assert.Equal(t, want, key.Within(PianoLow, PianoHigh), "key %d", key)
	}
}

func TestLineOfFifthsBothWays(t *testing.T) {
	for f := -20; f <= 20; f++ {
		n := NoteAtFifths(f)
		assert.Equal(t, f, n.Fifths(), n)
		assert.Equal(t, ClassOf(7*f), n.Class(), n)
	}
}

func TestIntervalsSpellByTheirSteps(t *testing.T) {
	for _, c := range []struct {
		from  string
		steps Interval
		to    string
	}{
		{"E", Interval{2, 4}, "G#"}, {"Eb", Interval{2, 4}, "G"}, {"D", Interval{6, 9}, "Cb"},
		{"B", Interval{2, 3}, "D"}, {"F", Interval{3, 6}, "B"}, {"Ab", Interval{6, 10}, "Gb"},
		{"C", Interval{-1, -1}, "B"}, {"C", Interval{8, 14}, "D"}, {"F#", Interval{6, 11}, "E#"},
		{"D", Interval{-2, -3}, "B"}, {"C", Interval{0, 0}, "C"}, {"C", Interval{7, 12}, "C"},
	} {
		assert.Equal(t, c.to, note(t, c.from).Up(c.steps).String(), c.from)
	}
}

func TestIntervalUpUndoesUp(t *testing.T) {
	for a := -8; a <= 8; a++ {
		for b := -8; b <= 8; b++ {
			from, to := NoteAtFifths(a), NoteAtFifths(b)
			assert.Equal(t, to, from.Up(IntervalUp(from, to)), "%s to %s", from, to)
		}
	}
}

func TestScales(t *testing.T) {
	// Open Music Theory v1, "Key signatures".
	for k, want := range map[string]string{
		"C": "C D E F G A B", "A": "A B C# D E F# G#", "Ab": "Ab Bb C Db Eb F G",
		"Gb": "Gb Ab Bb Cb Db Eb F", "F#": "F# G# A# B C# D# E#",
		"Am": "A B C D E F G", "Cm": "C D Eb F G Ab Bb", "G#m": "G# A# B C# D# E F#",
	} {
		var got []string
		for _, n := range key(t, k).Scale() {
			got = append(got, n.String())
		}
		assert.Equal(t, want, strings.Join(got, " "), k)
	}
}

func TestSpellingInAKey(t *testing.T) {
	for _, c := range []struct {
		key    string
		class  Class
		want   string
		raised string
	}{
		{"D", 6, "F#", "F#"}, {"F", 10, "Bb", "Bb"}, {"Am", 8, "G#", "G#"}, {"C", 6, "F#", "F#"},
		{"C", 1, "Db", "C#"}, {"C", 10, "Bb", "A#"}, {"Cm", 11, "B", "B"}, {"Db", 6, "Gb", "Gb"},
		{"Gb", 11, "Cb", "Cb"}, {"F#", 5, "E#", "E#"}, {"G#m", 7, "F##", "F##"},
	} {
		assert.Equal(t, c.want, key(t, c.key).Spell(c.class).String(), "%s in %s", c.want, c.key)
		assert.Equal(t, c.raised, key(t, c.key).SpellRaised(c.class).String(), "%s raised in %s", c.raised, c.key)
	}
}

func TestSpellingKeepsTheSound(t *testing.T) {
	for f := -7; f <= 7; f++ {
		for _, minor := range []bool{false, true} {
			k := Key{Minor: minor}.withFifths(f)
			for c := Class(0); c < 12; c++ {
				assert.Equal(t, c, k.Spell(c).Class())
				assert.Equal(t, c, k.SpellRaised(c).Class())
			}
		}
	}
}

func TestKeySignatures(t *testing.T) {
	// MIDI FF 59: sf -7 (seven flats) to 7 (Standard MIDI Files 1.1 text, D. Back).
	for text, want := range map[string]int{"C": 0, "Am": 0, "F": -1, "Dm": -1, "Cb": -7, "C#": 7, "Abm": -7, "A#m": 7, "Eb": -3, "Cm": -3} {
		assert.Equal(t, want, key(t, text).Fifths(), text)
		assert.Equal(t, text, key(t, text).String())
	}
	for text, want := range map[string]string{"C minor": "Cm", "E flat major": "Eb", "F sharp minor": "F#m", "g minor": "Gm", "e flat major": "Eb", "Bbmin": "Bbm", "GM": "G"} {
		assert.Equal(t, want, key(t, text).String(), text)
	}
	for _, text := range []string{"", "H", "C dorian", "G#", "Fbm", "Cx"} {
		_, err := ParseKey(text)
		assert.Error(t, err, text)
	}
}

func TestEveryClassHasAKey(t *testing.T) {
	for c := Class(0); c < 12; c++ {
		for _, minor := range []bool{false, true} {
			k := KeyAt(c, minor)
			assert.Equal(t, c, k.Tonic.Class())
			assert.Equal(t, k, k.Simplest())
		}
	}
	assert.Equal(t, "Gb", KeyAt(6, false).String())
	assert.Equal(t, "Ebm", KeyAt(3, true).String())
}

func TestAKeyWrittenSmall(t *testing.T) {
	for text, want := range map[string]string{
		"g": "write it large: G for major, Gm for minor", "bb": "write it large: Bb for major, Bbm for minor",
		"f#m": "write it large: F#m", "h": "the note H is called B here",
		"ter": `not "t"`, "evil": `not "e"`, "": "expected a note name", "é": "expected a note name",
	} {
		_, err := ParseKey(text)
		assert.ErrorContains(t, err, want, text)
	}
}

// Every text is a key, read back as it is written, or an error.
func FuzzParseKey(f *testing.F) {
	for _, s := range []string{"C", "f#m", "E flat major", "h", "xyz", "\xff"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		k, err := ParseKey(s)
		if err != nil {
			return
		}
		again, err := ParseKey(k.String())
		require.NoError(t, err)
		require.Equal(t, k, again)
	})
}

func FuzzNote(f *testing.F) {
	for _, s := range []string{"C", "F#", "Bbb", "B♭", "Cbb#"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		n, err := ParseNote(s)
		if err != nil {
			return
		}
		again, err := ParseNote(n.String())
		require.NoError(t, err)
		require.Equal(t, n, again)
	})
}

func TestPitchesAndKeysComeBackFromJSON(t *testing.T) {
	type both struct {
		Pitch Pitch
		Key   Key
	}
	for _, b := range []both{{Pitch{Note{}, 4}, Key{}}, {Pitch{Note{Letter: 6, Alter: -1}, -1}, Key{Tonic: Note{Letter: 3, Alter: 1}, Minor: true}}} {
		text, err := json.Marshal(b)
		require.NoError(t, err)
		var back both
		require.NoError(t, json.Unmarshal(text, &back), string(text))
		assert.Equal(t, b, back)
	}
}
