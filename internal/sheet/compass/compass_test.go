package compass

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/sheet/chart"
)

func parsed(t *testing.T, text string) *chart.Chart {
	t.Helper()
	c, err := chart.Parse([]byte(text), "test.chart")
	require.NoError(t, err)
	return c
}

const twoParts = `key: F
[Verse]
| F | C7 |
m: | C2 F2 F2 A2 | G8 |
[Chorus]
| Bb | F |
m: | d2 d2 c4 | A8 |
`

func TestWhereATuneLies(t *testing.T) {
	whole, sections, ok := Of(parsed(t, twoParts))
	require.True(t, ok)
	assert.Equal(t, "C4 D5", whole.Low.String()+" "+whole.High.String())
	assert.Equal(t, "F4 D5", whole.From.String()+" "+whole.To.String(), "the quarter on C4 is a sixteenth of the time, those on D5 an eighth")
	require.Len(t, sections, 2)
	assert.Equal(t, "Verse C4 A4", sections[0].Section+" "+sections[0].Low.String()+" "+sections[0].High.String())
	assert.Equal(t, "Chorus A4 D5", sections[1].Section+" "+sections[1].Low.String()+" "+sections[1].High.String())
	_, _, ok = Of(parsed(t, "key: F\n| F |\n"))
	assert.False(t, ok, "chords have no compass")
}

func TestARepeatCountsAsOftenAsItIsSung(t *testing.T) {
	once, _, _ := Of(parsed(t, "key: C\n| C | C | C |\nm: | C8 | e8 | G8 |\n"))
	often, _, _ := Of(parsed(t, "key: C\n| C |: C :| x20 C |\nm: | C8 | e8 | G8 |\n"))
	assert.Equal(t, "C4", once.From.String())
	assert.Equal(t, "E5", often.From.String(), "twenty times E5 against once C4")
}

func TestRanges(t *testing.T) {
	for text, want := range map[string]string{
		"A3-D5": "A3-D5", "a3 - d5": "A3-D5", "Bb2 to F4": "Bb2-F4", "D5-A3": "A3-D5", "C#4–E5": "C#4-E5",
		"A3": "", "A-D": "", "A3-C4": "", "high": "", "": "", "A3-D5-F5": "",
	} {
		r, err := ParseRange(text)
		if want == "" {
			assert.ErrorContains(t, err, "range \""+text+"\"", text)
			continue
		}
		require.NoError(t, err, text)
		assert.Equal(t, want, r.String(), text)
	}
}

// Lowest and highest notes of voices as choirs have them (Randel, ed., The Harvard
// Dictionary of Music, 4th ed., 2003, "Voice", from memory): soprano C4-A5, alto
// F3-D5, tenor C3-G4, bass E2-C4.
func TestKeysForVoices(t *testing.T) {
	c := parsed(t, twoParts) // C4 to D5, a ninth
	for _, v := range []struct {
		voice, rng, key string
		octaves         int
	}{
		{"soprano", "C4-A5", "F", 0},
		{"alto", "F3-D5", "C", 0},
		{"tenor", "C3-G4", "F", -1},
		{"bass", "E2-C4", "Bb", -2},
	} {
		r, err := ParseRange(v.rng)
		require.NoError(t, err)
		fits, ok := Keys(c, r)
		require.True(t, ok)
		require.Len(t, fits, 12)
		f := fits[0]
		assert.True(t, f.Fits(), v.voice)
		assert.GreaterOrEqual(t, f.Lie.Low.Num(), r.Low.Num(), v.voice)
		assert.LessOrEqual(t, f.Lie.High.Num(), r.High.Num(), v.voice)
		assert.Equal(t, v.key, f.Key.String(), v.voice)
		assert.Equal(t, v.octaves, f.Octaves, v.voice)
	}
}

func TestATuneWiderThanTheVoice(t *testing.T) {
	r, err := ParseRange("A3-F4")
	require.NoError(t, err)
	fits, _ := Keys(parsed(t, twoParts), r)
	assert.False(t, fits[0].Fits())
	assert.Equal(t, 14-8, fits[0].Below+fits[0].Above, "fourteen semitones into eight")
}

func TestTheSheetsOwnKeyWhereItSuits(t *testing.T) {
	r, err := ParseRange("B3-Eb5") // the tune with a semitone to spare
	require.NoError(t, err)
	fits, _ := Keys(parsed(t, twoParts), r)
	assert.Equal(t, "F", fits[0].Key.String())
	assert.Zero(t, fits[0].Semitones)
}
