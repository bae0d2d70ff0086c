package melody

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
)

// written reads a line and writes it again.
func written(t testing.TB, s Setting, l Line) string {
	t.Helper()
	w := NewWriter(s)
	var bars []string
	for _, b := range l.Bars {
		bars = append(bars, w.Bar(b.Notes, b.Len))
	}
	return strings.Join(bars, " | ")
}

func TestWritingNotes(t *testing.T) {
	for _, c := range []struct{ setting, text, want string }{
		{"C 4/4", "C,B,CBcbc'b'", "C,B, CB cb c'b'"},
		{"F 4/4", "B=B_BB|B_B", "B=B _BB | BB"},
		{"F 4/4", "=B4b2_b2|^^C__d", "=B4 b2 _b2 | ^^C__d"},
		{"C 4/4", "A8|A6A2|A3A/A/A3/2A/4A/4A2", "A8 | A6 A2 | A3 A/A/ A3/2A/4A/4 A2"},
		{"C 4/4 1/16", "A4 A3A A16|A/", "A4 A3A A16 | A/"},
		{"C 6/8", "ABcdef|A3B2c|A>BcA2B", "ABc def | A3 B2c | A3/2B/c A2B"},
		{"C 4/4", "A>BA<B|z2AzzAz2|zAzA|A8", "A3/2B/ A/B3/2 | z2 A z2 A z2 | z A z A | A8"},
		{"C 4/4", "(3ABc(3A2B2c2(3:2:2A2B(3:2:2AB2", "(3ABc (3A2B2c2 (3:2:2A2B (3:2:2AB2"},
		{"C 4/4", "(3ABz z2(3zAB(3AzB", "(3AB z z2 (3z AB (3A z B"},
		{"C 4/4", "(5ABcde(6ABcABc", "(5:4:5A/B/c/d/e/ (3A/B/c/(3A/B/c/"},
		{"C 4/4", "^C4-C4-|C2C4c2|^c8-|c8", "^C4- C4- | C2 C4 c2 | ^c8- | c8"},
		{"C 4/4", "!longphrase!^A4(3B2!breath!c2d2", "!breath!^A4 (3B2!breath!c2d2"},
	} {
		s := setting(t, c.setting)
		l, err := NewReader(s).Line(c.text)
		require.NoError(t, err, c.text)
		text := written(t, s, l)
		assert.Equal(t, c.want, text, c.text)
		again, err := NewReader(s).Line(text)
		require.NoError(t, err, text)
		assert.Equal(t, spell(l), spell(again), text)
	}
}

func TestRestsToFillABar(t *testing.T) {
	s := setting(t, "C 4/4")
	for length, want := range map[meter.Ticks]string{meter.Eighth: "z", meter.Quarter: "z2", meter.Sixteenth: "z/", 3 * meter.Quarter: "z6", 32: "z/15"} {
		assert.Equal(t, want, Rest(length, s))
	}
}

func TestTransposingKeepsTheSpelling(t *testing.T) {
	key := func(s string) pitch.Key { return setting(t, s+" 4/4").Key }
	for _, c := range []struct {
		note, from, to string
		octaves        int
		want           string
	}{
		{"C4", "C", "Eb", 0, "Eb4"}, {"A4", "F", "D", -1, "F#4"}, {"G#4", "Am", "Dm", 0, "C#5"},
		{"Bb4", "C", "Eb", -1, "Db4"}, {"B3", "C", "B", -1, "A#3"}, {"C4", "C", "Cb", 0, "Cb4"},
		{"F##4", "C", "C#", 0, "G#4"}, {"Bbb4", "C", "Cb", 0, "Ab4"}, // no triple signs
	} {
		p, err := pitch.ParsePitch(c.note)
		require.NoError(t, err)
		n := Note{Pitch: p, Dur: meter.Quarter, Tied: true}.Transpose(key(c.from).To(key(c.to)), c.octaves)
		assert.Equal(t, c.want, n.Pitch.String(), "%s from %s to %s", c.note, c.from, c.to)
		assert.True(t, n.Tied)
	}
}

func FuzzLine(f *testing.F) {
	for _, text := range []string{
		"C,2 ^F/ |: _B>c (3CDE z2 Z4 | c4-|c4 [1 (3:2:4G2A2Bc {g}A !breath!d2 :|]",
		"(7abcdefg(9AAAAAAAAA(5:4:5AzAzA", "__A^^A=A-A//a'3/4 \"^slow\"b x y `.~", "A-|[CE]", "% |", "!breath!|",
	} {
		for _, s := range []string{"C 4/4", "Gbm 2/4"} {
			f.Add(text, s == "C 4/4", uint8(len(text)))
		}
	}
	keys := strings.Fields("C Eb F#m Cb A#m G Dm")
	meters := strings.Fields("4/4 2/4 3/4 6/8 5/4 12/8")
	f.Fuzz(func(t *testing.T, text string, two bool, pick uint8) {
		s := setting(t, keys[int(pick)%len(keys)]+" "+meters[int(pick/8)%len(meters)])
		if two {
			s.Unit = meter.Quarter
		}
		l, err := NewReader(s).Line(text)
		if err != nil {
			return
		}
		for i, b := range l.Bars {
			if b.Len > longest {
				return // no meter has such bars
			}
			at := meter.Ticks(0)
			for _, n := range b.Notes {
				require.True(t, n.At >= at && n.Dur > 0, "bar %d: %+v", i, n)
				require.True(t, n.Pitch.Num() >= pitch.PianoLow && n.Pitch.Num() <= pitch.PianoHigh)
				at = n.At + n.Dur
			}
			require.True(t, b.Len >= at && (b.Len > 0 || b.Rest))
		}
		again, err := NewReader(s).Line(written(t, s, l))
		require.NoError(t, err, written(t, s, l))
		require.Equal(t, len(l.Bars), len(again.Bars))
		for i, b := range l.Bars {
			require.Equal(t, b.Notes, again.Bars[i].Notes)
		}
	})
}
