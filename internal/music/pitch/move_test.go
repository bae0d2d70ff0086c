package pitch

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Intervals by Open Music Theory v2, "Intervals"; that an interval without its size
// leads to the easier key is this program's own rule.
func TestMoves(t *testing.T) {
	for _, c := range []struct{ said, from, to string }{
		{"G", "C", "G"}, {"Am", "Dm", "Am"}, {"E flat", "C", "Eb"}, {"A minor", "Dm", "Am"},
		{"a third lower", "F", "D"}, {"a third lower", "G", "Eb"}, {"a third lower", "C", "A"}, {"A third lower", "D", "Bb"},
		{"a major third lower", "F", "Db"}, {"a minor third lower", "F", "D"}, {"a minor third lower", "Am", "F#m"},
		{"a third higher", "C", "Eb"}, {"up a major third", "C", "E"}, {"a third higher", "Am", "Cm"},
		{"up a fifth", "F", "C"}, {"a fifth up", "A", "E"}, {"down a perfect fifth", "C", "F"}, {"a fifth lower", "Gb", "B"},
		{"a fourth higher", "Bb", "Eb"}, {"an augmented fourth higher", "C", "F#"}, {"a diminished fifth higher", "C", "Gb"},
		{"a tritone lower", "F", "B"}, {"a whole tone higher", "F", "G"}, {"a tone lower", "C", "Bb"}, {"whole step down", "A", "G"},
		{"a second higher", "C", "D"}, {"a minor second higher", "E", "F"}, {"half a tone lower", "G", "Gb"}, {"a half-step up", "G", "Ab"},
		{"a semitone lower", "D", "Db"}, {"a sixth higher", "C", "A"}, {"a minor seventh lower", "C", "D"},
		{"+3", "C", "Eb"}, {"-2 semitones", "F", "Eb"}, {"\u22122", "F", "Eb"}, {"- 2", "D", "C"}, {"3 semitones higher", "Am", "Cm"}, {"down by two semitones", "A", "G"},
		{"+11", "C", "B"}, {"-11 semitones", "C", "Db"}, {"two tones down", "E", "C"},
		{"capo 3", "G", "Bb"}, {"Capo 2", "Am", "Bm"}, {"+1", "Db", "D"}, {"a major second higher", "B", "Db"},
	} {
		m, err := ParseMove(c.said)
		require.NoError(t, err, c.said)
		home, err := ParseKey(c.from)
		require.NoError(t, err)
		assert.Equal(t, c.to, m.From(home).String(), "%s from %s", c.said, c.from)
	}
}

func TestMovesThatAreNone(t *testing.T) {
	for said, want := range map[string]string{
		"":                           `or say how far to move, such as "a third lower"`,
		"evil":                       `expected a note name, A to G, not "e"; or say how far to move, such as`,
		"H":                          "the note H is called B here",
		"g":                          "write it large: G for major, Gm for minor",
		"a third lowr":               `what is "lowr"? Say how far to move, such as "a third lower"`,
		"a thrid lower":              `what is "thrid"? Say how far`,
		"a third":                    `"a third": up or down? Say "a third higher" or "a third lower"`,
		"2":                          `up or down? Say "2 higher" or "2 lower"`,
		"up":                         "is no distance from 1 to 11 semitones",
		"an octave lower":            "an octave higher or lower is the same key",
		"+12":                        "is no distance from 1 to 11 semitones",
		"+0":                         `what is "0"?`,
		"++3":                        `or say how far`,
		"-+3":                        `or say how far`,
		"up a third higher":          `what is "higher"?`,
		"a perfect third lower":      "is no distance",
		"two thirds lower":           `what is "thirds"?`,
		"a half third lower":         "is no distance",
		"a minor semitone higher":    "is no distance",
		"99999999999999999999999 up": `what is "99999999999999999999999"?`,
		"capo":                       "is no distance",
		"capo 12":                    "is no distance from 1 to 11 semitones",
	} {
		_, err := ParseMove(said)
		assert.ErrorContains(t, err, want, said)
	}
}

// Wherever a move leads, it is a key that can be written, as far away as was said.
func FuzzParseMove(f *testing.F) {
	for _, s := range []string{"a third lower", "+3", "capo 11", "up a diminished seventh", "-5 semitones", "Bb minor", "two tones down"} {
		f.Add(s, -3, true)
	}
	f.Fuzz(func(t *testing.T, s string, at int, minor bool) {
		m, err := ParseMove(s)
		if err != nil {
			require.NotEmpty(t, err.Error())
			return
		}
		home := Key{Minor: minor}.withFifths(at % 8)
		to := m.From(home)
		require.True(t, to.Fifths() >= -7 && to.Fifths() <= 7)
		if !m.Named() {
			require.Equal(t, home.Minor, to.Minor)
			require.LessOrEqual(t, abs(to.Fifths()), 6)
			require.NotEqual(t, home.Tonic.Class(), to.Tonic.Class())
		}
	})
}
