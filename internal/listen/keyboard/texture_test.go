package keyboard

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/pitch"
)

func keysOf(t *testing.T, text string) []pitch.Num {
	t.Helper()
	var keys []pitch.Num
	for _, w := range strings.Fields(text) {
		p, err := pitch.ParsePitch(w)
		require.NoError(t, err)
		keys = append(keys, p.Num())
	}
	return keys
}

// Each case is groups struck one after the other, with what is held in brackets
// before a group. Common practice, no source.
func TestTextures(t *testing.T) {
	for _, c := range []struct {
		name   string
		groups []string
		want   []string
	}{
		{"bass and chord", []string{"C3 C4 E4 G4"}, []string{"bass chord chord chord"}},
		{"a bass then chords", []string{"C3", "C4 E4 G4", "G2", "B3 D4 G4"}, []string{"bass", "chord chord chord", "bass", "chord chord chord"}},
		{"bass and tune", []string{"C3 E5", "D5", "G2 B4"}, []string{"bass melody", "melody", "bass melody"}},
		{"tune over chord", []string{"C3 C4 E4 G4 E5"}, []string{"bass chord chord chord melody"}},
		{"tune alone over a held chord", []string{"C3 C4 E4 G4", "[C3 C4 E4 G4] D5", "[C3 C4 E4 G4] C5"}, []string{"bass chord chord chord", "melody", "melody"}},
		{"a tune that dips to the chord", []string{"C3 E4 G4 C5 G5", "[C3 E4 G4 C5] E5", "[C3 E4 G4] C5"}, []string{"bass chord chord chord melody", "melody", "melody"}},
		{"bass in octaves", []string{"C2 C3 E4 G4 C5"}, []string{"bass bass chord chord chord"}},
		{"left hand alone, broken", []string{"C3", "G3", "E3", "G3"}, []string{"bass", "bass", "bass", "bass"}},
		{"right hand alone", []string{"C4 E4 G4", "C4 F4 A4"}, []string{"chord chord chord", "chord chord chord"}},
		{"a tune alone", []string{"C5", "D5", "E5"}, []string{"melody", "melody", "melody"}},
		{"a tune in octaves", []string{"C3 E5 E6"}, []string{"bass melody melody"}},
	} {
		var x Texture
		for i, g := range c.groups {
			var held Set
			if rest, ok := strings.CutPrefix(g, "["); ok {
				before, after, _ := strings.Cut(rest, "]")
				for _, k := range keysOf(t, before) {
					held.Add(k)
				}
				g = after
			}
			var got []string
			for _, v := range x.Group(keysOf(t, g), held) {
				got = append(got, v.String())
			}
			assert.Equal(t, c.want[i], strings.Join(got, " "), "%s: %s", c.name, g)
		}
	}
}

func TestForcedSplit(t *testing.T) {
	x := Texture{Split: 60}
	got := x.Group(keysOf(t, "C2 G3 C5"), Set{})
	assert.Equal(t, []Voice{BassVoice, ChordVoice, MelodyVoice}, append([]Voice(nil), got...))
	got = x.Group(keysOf(t, "A3"), Set{})
	assert.NotEqual(t, MelodyVoice, got[0])
}

func TestTextureOfManyNotes(t *testing.T) {
	var x Texture
	var keys []pitch.Num
	for k := pitch.Num(40); k < 70; k++ {
		keys = append(keys, k)
	}
	assert.Len(t, x.Group(keys, Set{}), 16)
	assert.Empty(t, x.Group(nil, Set{}))
	assert.Zero(t, testing.AllocsPerRun(50, func() { x.Group(keys, Set{}) }))
}
