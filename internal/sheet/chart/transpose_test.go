package chart

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/pitch"
)

// triads are the diatonic triads of every key. Qualities: Open Music Theory v1,
// "Triads and seventh chords" (in minor the natural third degree, the raised
// leading note in the fifth and seventh); the spelling follows from the scales.
const triads = `
C   C Dm Em F G Am Bdim
G   G Am Bm C D Em F#dim
D   D Em F#m G A Bm C#dim
A   A Bm C#m D E F#m G#dim
E   E F#m G#m A B C#m D#dim
B   B C#m D#m E F# G#m A#dim
F#  F# G#m A#m B C# D#m E#dim
C#  C# D#m E#m F# G# A#m B#dim
F   F Gm Am Bb C Dm Edim
Bb  Bb Cm Dm Eb F Gm Adim
Eb  Eb Fm Gm Ab Bb Cm Ddim
Ab  Ab Bbm Cm Db Eb Fm Gdim
Db  Db Ebm Fm Gb Ab Bbm Cdim
Gb  Gb Abm Bbm Cb Db Ebm Fdim
Cb  Cb Dbm Ebm Fb Gb Abm Bbdim
Am  Am Bdim C Dm E F G#dim
Em  Em F#dim G Am B C D#dim
Bm  Bm C#dim D Em F# G A#dim
F#m F#m G#dim A Bm C# D E#dim
C#m C#m D#dim E F#m G# A B#dim
G#m G#m A#dim B C#m D# E F##dim
D#m D#m E#dim F# G#m A# B C##dim
A#m A#m B#dim C# D#m E# F# G##dim
Dm  Dm Edim F Gm A Bb C#dim
Gm  Gm Adim Bb Cm D Eb F#dim
Cm  Cm Ddim Eb Fm G Ab Bdim
Fm  Fm Gdim Ab Bbm C Db Edim
Bbm Bbm Cdim Db Ebm F Gb Adim
Ebm Ebm Fdim Gb Abm Bb Cb Ddim
Abm Abm Bbdim Cb Dbm Eb Fb Gdim
`

// symbols is a chart's chords in order.
func symbols(c *Chart) string {
	var all []string
	for _, b := range c.Bars() {
		for _, p := range b.Chords {
			all = append(all, p.Chord.String())
		}
	}
	return strings.Join(all, " ")
}

func chartOf(t *testing.T, key, chords string) *Chart {
	t.Helper()
	return parse(t, "key: "+key+"\n| "+strings.Join(strings.Fields(chords), " | ")+" |")
}

func key(t *testing.T, s string) pitch.Key {
	t.Helper()
	k, err := pitch.ParseKey(s)
	require.NoError(t, err)
	return k
}

func TestDiatonicTriadsFromEveryKeyToEveryKey(t *testing.T) {
	rows := map[bool]map[string]string{false: {}, true: {}}
	for _, row := range strings.Split(strings.TrimSpace(triads), "\n") {
		name, chords, _ := strings.Cut(row, " ")
		rows[strings.HasSuffix(name, "m")][name] = strings.TrimSpace(chords)
	}
	for _, mode := range rows {
		require.Len(t, mode, 15)
		for from, chords := range mode {
			for to, want := range mode {
				got := chartOf(t, from, chords).In(key(t, to))
				assert.Equal(t, to, got.Key.String())
				assert.Equal(t, want, symbols(got), "%s to %s", from, to)
			}
		}
	}
}

func TestSecondaryDominantsKeepTheirSpelling(t *testing.T) {
	// V7/ii, V7/iii, V7/IV, V7/V and V7/vi in C: Music Theory for the 21st-Century
	// Classroom, 17.3; in the other keys by the same degrees.
	const inC = "A7 B7 C7 D7 E7 E7/G#"
	for to, want := range map[string]string{
		"E":  "C#7 D#7 E7 F#7 G#7 G#7/B#",
		"B":  "G#7 A#7 B7 C#7 D#7 D#7/F##",
		"F#": "D#7 E#7 F#7 G#7 A#7 A#7/C##",
		"Gb": "Eb7 F7 Gb7 Ab7 Bb7 Bb7/D",
		"Eb": "C7 D7 Eb7 F7 G7 G7/B",
		"Db": "Bb7 C7 Db7 Eb7 F7 F7/A",
	} {
		assert.Equal(t, want, symbols(chartOf(t, "C", inC).In(key(t, to))), to)
	}
}

func TestForeignChordsReadSimply(t *testing.T) {
	for _, c := range []struct{ from, chords, to, want string }{
		{"C", "Db Eb Ab Bb", "G", "Ab Bb Eb F"},
		{"C", "Ab", "Gb", "D"},      // not Ebb
		{"C", "Db", "Cb", "C"},      // not Dbb
		{"C", "Bb/D", "Gb", "E/G#"}, // not Fb/Ab
		{"Gb", "D", "C", "Ab"},      // and back
		{"Gb", "E/G#", "C", "Bb/D"}, //
		{"C", "F#dim7", "E", "A#dim7"},
		{"C", "C#dim7", "E", "E#dim7"}, // leads to F#m
		{"C", "G#dim7", "Eb", "Bdim7"},
		{"C", "G#dim7 G#dim", "E", "B#dim7 B#dim"}, // leads to C#m
		{"C", "C#dim7", "F#", "Gdim7"},             // not F##dim7
		{"E", "Cdim7", "C", "G#dim7"},              // written simply, it moves on as it leads
		{"C", "Fm", "E", "Am"},
		{"F", "G7/F C/Bb", "C", "D7/C G/F"},
		{"C", "C/F#", "Gb", "Gb/C"}, // a foreign bass
		{"C", "C/Bb", "Gb", "Gb/E"},
		{"Am", "F#dim Bb E7/G#", "G#m", "E#dim A D#7/F##"},
		{"Am", "Bb", "Ebm", "E"},
		{"C", "N.C. C", "D", "N.C. D"},
	} {
		assert.Equal(t, c.want, symbols(chartOf(t, c.from, c.chords).In(key(t, c.to))), "%s from %s to %s", c.chords, c.from, c.to)
	}
}

func TestKeyNamesBeyondSevenAccidentals(t *testing.T) {
	major := chartOf(t, "C", "C G7")
	assert.Equal(t, "Ab", major.In(key(t, "G#m")).Key.String())
	assert.Equal(t, "Ab Eb7", symbols(major.In(key(t, "G#m"))))
	minor := chartOf(t, "Am", "Am E7")
	assert.Equal(t, "C#m", minor.In(key(t, "Db")).Key.String())
	assert.Equal(t, "Gm D7", symbols(minor.In(key(t, "G"))))
}

func TestInLeavesTheChartAlone(t *testing.T) {
	for _, name := range demoNames {
		c := load(t, name)
		before := c.Text()
		moved := c.In(key(t, "Db"))
		assert.Equal(t, before, c.Text())
		assert.Equal(t, c, c.In(c.Key), name)
		moved.Bars()[0].Chords[0].Chord.Bass.Alter++
		moved.Bars()[0].Lyrics = nil
		assert.Equal(t, before, c.Text())
	}
}

// Every chord of every demo chart in every key sounds the distance away, and
// comes back; no root in it needs a double accidental but the leading notes of
// keys that have them.
func TestDemoChartsInEveryKey(t *testing.T) {
	for _, name := range demoNames {
		c := load(t, name)
		for f := -7; f <= 7; f++ {
			tonic := pitch.NoteAtFifths(f)
			if c.Key.Minor {
				tonic = pitch.NoteAtFifths(f + 3)
			}
			moved := c.In(pitch.Key{Tonic: tonic, Minor: c.Key.Minor})
			up := moved.Key.Tonic.Class().Above(c.Key.Tonic.Class())
			old := c.Bars()
			for i, b := range moved.Bars() {
				for j, p := range b.Chords {
					was := old[i].Chords[j].Chord
					require.Equal(t, was.Type, p.Chord.Type)
					require.Equal(t, was.Inversion(), p.Chord.Inversion())
					if !was.IsNone() {
						require.Equal(t, was.Set().Up(up), p.Chord.Set(), "%s bar %d in %s", name, b.Number, moved.Key)
						require.LessOrEqual(t, max(p.Chord.Root.Alter, -p.Chord.Root.Alter), 1, "%s bar %d in %s", name, b.Number, moved.Key)
					}
				}
			}
			assertSame(t, moved, parse(t, moved.Text()))
			assert.Equal(t, symbols(c), symbols(moved.In(c.Key)), "%s to %s and back", name, moved.Key)
		}
	}
}
