package score

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/test/material"
)

func TestVoicings(t *testing.T) {
	for name, c := range map[string]struct{ bars, rows, left, right string }{
		// Open Music Theory, "Triads and seventh chords": open position leaves gaps.
		"open, the third an octave up":          {"| C |", "left-low: C3/left: cho", "1.1 C3+G3+E4", ""},
		"open, first inversion":                 {"| C |", "left-low: C3/left: ch1o", "1.1 E3+C4+G4", ""},
		"open over a slash bass":                {"| F/A |", "left-low: C3/left: cho", "1.1 A3+F4+C5", ""},
		"open in the right hand has its root":   {"| F/A |", "right: cho/left: 1", "1.1 A2", "1.1 F4+C5+A5"},
		"open seventh":                          {"| Cmaj7 |", "left-low: C3/left: cho", "1.1 C3+G3+B3+E4", ""},
		"open for both hands":                   {"| C |", "left-low: C3/left: cho/right: cho", "1.1 C3", "1.1 G3+E4"},
		"dropped: the second note from the top": {"| Cmaj7 |", "right-low: C4/right: ch0d", "", "1.1 G3+C4+E4+B4"},
		"dropped for both hands":                {"| Cmaj7 |", "right-low: C4/right: ch0d/left: ch0d", "1.1 G3+C4", "1.1 E4+B4"},
		"dropped, an octave up":                 {"| Cmaj7 |", "right: ch1d'/left: .", "", "1.1 B4+E5+G5+C6"},
		"an open fifth has nothing to open":     {"| C5 |", "left: cho", "1.1 C3+G3", ""},
		"spread triad":                          {"| C |", "left: chs/right: chs", "1.1 C3+G3", "1.1 C4+E4"},
		"spread seventh":                        {"| G7 |", "left: chs/right: chs", "1.1 G2+F3", "1.1 B3+D4"},
		"spread over the third":                 {"| C/E |", "left: chs/right: chs", "1.1 E2+C3", "1.1 C4+G4"},
		"spread over the seventh":               {"| G7/F |", "left: chs/right: chs", "1.1 F2+B2", "1.1 D4+G4"},
		"spread ninth":                          {"| C9 |", "left: chs/right: chs", "1.1 C3+Bb3", "1.1 D4+E4+G4"},
		"rootless":                              {"| Dm7 |", "left-low: C3/left: ch-1", "1.1 F3+A3+C4", ""},
		"rootless with its ninth":               {"| Dm7 |", "left-low: C3/left: ch-1+9", "1.1 E3+F3+A3+C4", ""},
		"a triad takes no ninth":                {"| F |", "left-low: C3/left: ch-1+9", "1.1 A3+C4", ""},
		"a ninth asked for drives out the root": {"| G7 |", "left-low: C3/left: ch+9", "1.1 F3+A3+B3+D4", ""},
		"the key lowers a dominant's ninth":     {"| E7 |", "left-low: C3/left: ch-1+9", "1.1 F3+G#3+B3+D4", ""},
	} {
		rows := strings.Split(c.rows, "/")
		s, err := Build(tune(t, "4/4", c.bars), own(t, "any", "bars", rows...), Options{})
		require.NoError(t, err, name)
		assert.Equal(t, c.left, spell(s, pattern.Left), name)
		assert.Equal(t, c.right, spell(s, pattern.Right), name)
	}
}

func TestFreedomsOfVoicings(t *testing.T) {
	want := func(bars string, rows ...string) *Want {
		s, err := Build(tune(t, "4/4", bars), own(t, "any", "bars", rows...), Options{})
		require.NoError(t, err)
		return &s.Wants[0]
	}
	w := want("| C |", "left: ch1o")
	assert.True(t, w.Whole)
	assert.Equal(t, pitch.Class(4), w.Bottom, "an open first inversion has the third lowest")
	w = want("| Cmaj7 |", "right: ch0d")
	assert.Equal(t, pitch.Class(7), w.Bottom, "the fifth was dropped below")
	w = want("| Cmaj7 |", "right: chd")
	assert.Equal(t, pattern.AnyInversion, w.Inversion)
	w = want("| Dm7 |", "left: ch-1")
	assert.True(t, w.Allowed.Has(4), "the ninth may stand in for the root")
	assert.False(t, want("| Dm |", "left: ch-1").Allowed.Has(4), "a triad has no ninth")
	for bars, accept := range map[string][]pitch.Class{
		"| G7 |":  {8, 9}, // over a dominant either ninth
		"| Dm7 |": {4},
	} {
		var ninth chord.Set
		for _, tone := range want(bars, "left: ch-1+9").Tones {
			if tone.Accept.Has(accept[0]) {
				ninth = tone.Accept
			}
		}
		for class := pitch.Class(0); class < 12; class++ {
			assert.Equal(t, has(accept, class), ninth.Has(class), "%s: %d", bars, class)
		}
	}
	for _, tone := range want("| C |", "left: chs", "right: chs").Tones {
		assert.True(t, tone.AnyOctave && !tone.Optional)
	}
}

func TestApproachesOfEachKind(t *testing.T) {
	for name, c := range map[string]struct {
		cell, bars, key, left string
		accept                []pitch.Class
	}{
		"any":                         {"ap", "| C | F |", "C", "E2", []pitch.Class{3, 4, 6, 7}},
		"diatonic":                    {"apd", "| C | F |", "C", "E2", []pitch.Class{4, 7}},
		"diatonic from above":         {"apd'", "| C | F |", "C", "G2", []pitch.Class{7}},
		"chromatic":                   {"apc", "| C | G |", "C", "F#2", []pitch.Class{6, 8}},
		"chromatic from above":        {"apc'", "| C | G |", "C", "Ab2", []pitch.Class{8}},
		"diatonic by a whole step":    {"apd", "| C | Dm |", "C", "C3", []pitch.Class{0, 4}},
		"to a bass outside the key":   {"apd", "| C | Bb |", "C", "A2", []pitch.Class{9, 11, 0}},
		"home in minor":               {"apd", "| E7 | Am |", "Am", "G2", []pitch.Class{7, 8, 11}},
		"the tonic where no chord is": {"apc", "| C | N.C. |", "C", "B2", []pitch.Class{1, 11}},
	} {
		ch := material.Chart(t, "key: "+c.key+"\nmeter: 4/4\n\n"+c.bars+"\n")
		s, err := Build(ch, own(t, "4/4", "quarters", "left: 1 3 5 "+c.cell), Options{})
		require.NoError(t, err)
		w := &s.Wants[3]
		k := w.Tones[0].Key
		assert.Equal(t, c.left, k.Spell(w.Chord.Spell(k.Class(), s.Key)).String(), name)
		for class := pitch.Class(0); class < 12; class++ {
			assert.Equal(t, has(c.accept, class), w.Tones[0].Accept.Has(class), "%s: %d", name, class)
		}
	}
}

func has(all []pitch.Class, c pitch.Class) bool {
	for _, a := range all {
		if a == c {
			return true
		}
	}
	return false
}

func TestPedalPoints(t *testing.T) {
	for name, c := range map[string]struct{ row, key, want string }{
		"tonic held under every chord":       {"T1 - - -", "C", "1.1 C3, 2.1 C3, 3.1 C3, 5.1 C3"},
		"held over the half bar and on":      {"T1 - - - | - - - -", "C", "1.1 C3, 3.1 C3, 5.1 C3"},
		"dominant below":                     {"T5, - - -", "F", "1.1 C2, 2.1 C2, 3.1 C2, 5.1 C2"},
		"a drone of two":                     {"T1+T5 - - -", "C", "1.1 C3+G3, 2.1 C3+G3, 3.1 C3+G3, 5.1 C3+G3"},
		"the chord's own note moves with it": {"1 - - -", "C", "1.1 C3, 2.1 G2, 2.4 F2, 3.1 C3, 5.1 C3"},
	} {
		key, err := pitch.ParseKey(c.key)
		require.NoError(t, err)
		s, err := Build(tune(t, "4/4", "| C | G . . F | C | N.C. | C |"), own(t, "4/4", "quarters", "left: "+c.row), Options{Key: &key})
		require.NoError(t, err)
		assert.Equal(t, c.want, spell(s, pattern.Left), name)
		for i := range s.Wants {
			w := &s.Wants[i]
			for _, tone := range w.Tones {
				assert.True(t, w.Allowed.Has(tone.Key.Class()), name)
			}
		}
	}
}

func TestASuspendedChordStrikesAKeyOnce(t *testing.T) {
	s, err := Build(tune(t, "4/4", "| Csus4 |"), own(t, "4/4", "halves", "right: 1+3+(=4)+5 1+3+5"), Options{})
	require.NoError(t, err)
	assert.Equal(t, "1.1 C4+F4+G4, 1.3 C4+F4+G4", spell(s, pattern.Right))
	assert.False(t, s.Wants[0].Tones[1].Optional)
}
