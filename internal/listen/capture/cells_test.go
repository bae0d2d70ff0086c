package capture

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/music/meter"
	"undersong/internal/sheet/pattern"
)

// strokesOf are strokes at one place, as in "C3, F3": each in a bar of its own.
func strokesOf(tk *take) []stroke {
	var all []stroke
	for bar, g := range tk.groups {
		all = append(all, stroke{bar: bar, at: float64(bar), chord: tk.chordIn(bar), notes: g.notes})
	}
	return all
}

// sheetOf is a sheet of a hand's cells, as in "C3, F3 | C4 E4 G4, F4 A4 C5": each
// has its strokes, those of the first bar first.
func sheetOf(t testing.TB, h pattern.Hand, chords, cells string) *sheet {
	t.Helper()
	all := strings.Split(cells, "|")
	s := &sheet{t: takeOver(t, chords, ""), r: laid(4, 4, meter.Quarter)}
	s.r.perBar = len(all)
	s.rows[h] = make([][]stroke, len(all))
	for i, text := range all {
		if strings.TrimSpace(text) == "" {
			continue
		}
		s.rows[h][i] = strokesOf(takeOver(t, chords, text))
		for n := range s.rows[h][i] {
			s.rows[h][i][n].at = float64(n*len(all) + i)
		}
	}
	return s
}

// Chords without their root, which the bass has.
func TestChordsWithoutTheirRoot(t *testing.T) {
	for _, c := range []struct {
		name, chords, keys, want string // want is empty for none
	}{
		{"third and seventh", "C7 F7", "E4 Bb4, A4 Eb5", "ch-1"},
		{"with the fifth", "C7 F7", "E4 G4 Bb4, A4 C5 Eb5", "ch-1"},
		{"with the ninth", "C7 F7", "E4 Bb4 D5, A4 Eb5 G5", "ch-1+9"},
		{"with the flat ninth", "C7 F7", "E4 Bb4 Db5, A4 Eb5 Gb5", "ch-1+9"},
		{"with the ninth once", "C7 F7", "E4 Bb4 D5, A4 Eb5", "ch-1+9"},
		{"with the root once", "C7 F7", "E4 Bb4 C5, A4 Eb5", ""},
		{"without the third", "C7 F7", "G4 Bb4, A4 Eb5", ""},
		{"with a foreign note", "C7 F7", "E4 A4 Bb4, A4 Eb5", ""},
		{"triads alone", "C F", "E4 G4, A4 C5", ""},
		{"a seventh and a triad", "C7 F", "E4 Bb4, A4 C5", "ch-1"},
		{"a triad lacks its fifth", "C7 F", "E4 Bb4, A4 A5", ""},
		{"more ninths than sevenths", "C7 F", "E4 Bb4 D5, A4 C5 G5", ""},
		{"a lone fifth", "C7 F5", "E4 Bb4, C5", ""},
	} {
		s := sheetOf(t, pattern.Right, c.chords, c.keys)
		got, ok := s.rootless(s.rows[pattern.Right][0])
		assert.Equal(t, c.want != "", ok, c.name)
		if ok {
			assert.Equal(t, c.want, got.String(), c.name)
		}
	}
}

// One inversion over different chords was meant; a hand that moves as little as it
// can would have played another.
func TestInversionsThatWereKept(t *testing.T) {
	for _, c := range []struct {
		name, chords, keys string
		want               bool
	}{
		{"the root lowest", "C F", "C4 E4 G4, F4 A4 C5", true},
		{"the nearest", "C F", "C4 E4 G4, C4 F4 A4", false},
		{"the third lowest, then the root", "C F G", "E4 G4 C5, A4 C5 F5, G4 B4 D5", false},
		{"the root lowest over one chord", "C C", "C4 E4 G4, C4 E4 G4", false},
		{"where that is the nearest", "C Dm", "C4 E4 G4, D4 F4 A4", false},
		{"and downwards", "C Bb", "C4 E4 G4, Bb3 D4 F4", false},
		{"once is chance", "C", "C4 E4 G4", false},
	} {
		assert.Equal(t, c.want, keptInversion(strokesOf(takeOver(t, c.chords, c.keys))), c.name)
	}
}

// What leads to the next root: a half or a whole step from it.
func TestStepsToTheNextRoot(t *testing.T) {
	for keys, want := range map[string]leading{ // over C, before F
		"E3":    {all: 1, below: 1, half: 1},
		"Eb3":   {all: 1, below: 1, outside: 1, foreign: 1},
		"F#3":   {all: 1, half: 1, outside: 1, foreign: 1},
		"G3":    {all: 1},
		"A3":    {},
		"D3":    {},
		"Ab3":   {},
		"E3 G3": {},
	} {
		s := sheetOf(t, pattern.Left, "C F", keys)
		assert.Equal(t, want, s.leading(s.rows[pattern.Left][0]), keys)
	}
}

// The last stroke of a bar is an approach where it leads to the next root more
// surely than it is a degree.
func TestApproaches(t *testing.T) {
	one := []pattern.Tone{{Degree: 3}}
	for _, c := range []struct {
		name, chords, keys string
		tones              []pattern.Tone
		support            float64
		want               string // empty for none
	}{
		{"a half step below", "C F G C", "E3, F#3, B2, B3", one, 0.5, "apc"},
		{"a half step above", "C F G C", "Gb3, Ab3, Db3, Db3", one, 0.5, "apc'"},
		{"a step of the key above", "C F G C", "G3, A3, D3, D3", one, 0.5, "ap'"},
		{"half steps of the key", "C F C F", "E3, B3, E3, B3", one, 0.5, "ap"},
		{"three of four", "C F G C", "E3, F#3, B2, E3", one, 0.5, "apc"},
		{"half of them", "C F G C", "E3, F#3, G2, E3", one, 0.25, ""},
		{"as sure a degree", "C F G C", "E3, F#3, B2, B3", one, 1, ""},
		{"as sure a degree, but one that is written out", "C F G C", "E3, F#3, B2, B3", []pattern.Tone{{Degree: 3, Written: true}}, 1, "apc"},
		{"two degrees", "C F G C", "E3, F#3, B2, B3", []pattern.Tone{{Degree: 3}, {Degree: 5}}, 1, "apc"},
		{"a surer degree", "C F G C", "E3, F#3, B2, E3", []pattern.Tone{{Degree: 3, Written: true}}, 0.8, ""},
		{"a note of its own chord", "C F", "E3", nil, 0, ""},
	} {
		s := sheetOf(t, pattern.Left, c.chords, "C3 | | | "+c.keys)
		got, ok := s.approach(3, c.tones, c.support)
		assert.Equal(t, c.want != "", ok, c.name)
		if ok {
			assert.Equal(t, c.want, got.String(), c.name)
		}
	}
	s := sheetOf(t, pattern.Left, "C F G C", "C3 | | E3, F#3, B2, B3 | C3")
	_, ok := s.approach(2, one, 0.5)
	assert.False(t, ok, "not the last of its bar")
}

func TestTheLastStrokeOfABar(t *testing.T) {
	for _, c := range []struct {
		cells string
		at    int
		want  bool
	}{
		{"C3 | | C3 | | | | | ", 2, true},
		{"C3 | | C3 | | | | | ", 0, false},
		{"C3 | | C3 | | C3 | | | ", 2, true}, // the next bar's is another
		{"C3 | | | | C3 | | | C3", 7, true},
		{"C3 | | | | C3 | | | C3", 4, false},
		{"C3 | | | | C3 | C3 | | C3", 5, false},
		{"C3 | | | | C3 | | | ", 4, false}, // a downbeat leads to nothing
	} {
		s := sheetOf(t, pattern.Left, "C F", c.cells)
		s.r.perBar = 4
		assert.Equal(t, c.want, s.lastOfBar(c.at), "%d of %s", c.at, c.cells)
	}
}

// Lone chord tones that follow no rule: any will do.
func TestAnyToneOfTheChord(t *testing.T) {
	for _, c := range []struct {
		name, keys string
		support    float64
		want       bool
	}{
		{"three of no rule", "C3, A3, D3", 0.3, true},
		{"as a rule the same", "C3, A3, D3", 0.9, false},
		{"two", "C3, A3", 0.3, false},
		{"with a foreign note", "C3, B3, D3", 0.3, false},
		{"with a fifth", "C3, A3 C4, D3", 0.3, false},
	} {
		s := sheetOf(t, pattern.Left, "C F G", c.keys)
		got, ok := s.anyTone(s.rows[pattern.Left][0], c.support)
		assert.Equal(t, c.want, ok, c.name)
		assert.Equal(t, "*?", got.String())
	}
}

// The degrees that most strokes of a hand from C3 up have, and how many have them.
func TestTonesThatMostStrokesHave(t *testing.T) {
	for _, c := range []struct {
		name, chords, keys, want string
		support                  float64
	}{
		{"roots and fifths", "C F", "C3 G3, F3 C4", "1+5", 1},
		{"three of four have the fifth", "C F", "C3 G3, F3 C4, C3, F3 C4", "1+5", 0.875},
		{"three of five: it may be left out", "C F", "C3 G3, F3 C4, C3 G3, F3, C3", "1+(5)", 0.8},
		{"four of six", "C F", "C3 G3, F3 C4, C3 G3, F3 C4, C3, F3", "1+(5)", 5. / 6},
		{"two of three: too few to tell", "C F", "C3 G3, F3 C4, C3", "1+5", 5. / 6},
		{"half of four: it is left out", "C F", "C3 G3, F3 C4, C3, F3", "1", 1},
		{"one of two", "C F", "C3 G3, F3", "1+5", 0.75},
		{"three of five have what most have", "C F", "C3, F3, C3, A3, G3", "1", 0.6},
		{"an octave up every other time", "C F", "C3, F3, C4, F4", "1?", 1},
		{"an octave up, and others as often", "C F", "C3, F4, D3, C#4", "1", 0.25},
		{"minor thirds in two octaves", "Cm Fm", "Eb3, Ab3, Eb4, Ab4", "3?", 1},
		{"the tonic stays", "C F G", "C3, C3, C3", "T1", 1},
		{"seconds", "C F", "D3, G3", "=2", 1},
		{"seven notes: six are written", "C", "C3 D3 E3 F3 G3 A3 B3", "1+=2+3+=4+5+=6", 1},
	} {
		s := sheetOf(t, pattern.Left, c.chords, c.keys)
		got, support := s.tones(pattern.Left, 0, 48)
		assert.Equal(t, c.want, pattern.Cell{Kind: pattern.Tones, Tones: got}.String(), c.name)
		assert.InDelta(t, c.support, support, 1e-9, c.name)
	}
}

// Basses in one hand, and the chords between them.
func TestBassesAndChordsOfAHand(t *testing.T) {
	for _, c := range []struct {
		name, cells             string
		octaves, several, apart bool // of the first cell, and of all
		blocks                  bool
	}{
		{"single basses", "C2, F2 | C4 E4 G4, F4 A4 C5", false, false, true, true},
		{"octaves", "C2 C3, F2 F3 | C4 E4 G4, F4 A4 C5", true, true, true, true},
		{"tenths", "C2 E3, F2 A3 | C4 E4 G4, F4 A4 C5", true, true, true, true},
		{"fifths", "C2 G2, F2 C3 | C4 E4 G4, F4 A4 C5", false, true, true, true},
		{"fifths in the middle of them", "C3 G3, F3 C4 | C3 E3 G3, F3 A3 C4", false, true, false, false},
		{"over them", "C4 G4, F4 C5 | C3 E3 G3, F3 A3 C4", false, true, false, false},
		{"three notes in an octave", "C2 G2 C3, F2 C3 F3 | C4 E4 G4, F4 A4 C5", false, true, true, true},
	} {
		s := sheetOf(t, pattern.Left, "C F", c.cells)
		first := s.rows[pattern.Left][0]
		assert.Equal(t, c.octaves, s.octaves(first), "%s: octaves", c.name)
		assert.Equal(t, c.several, s.several(first), "%s: several notes", c.name)
		assert.Equal(t, c.apart, s.wideApart(), "%s: apart", c.name)
		assert.Equal(t, c.blocks, s.blocks(pattern.Left), "%s: whole chords", c.name)
		assert.False(t, s.onlyBlocks(pattern.Left), c.name)
	}
	right := sheetOf(t, pattern.Right, "C F", "C4 E4 G4, F4 A4 C5 | G4, C5")
	assert.False(t, right.blocks(pattern.Right), "in a figure every note has its place")
	right = sheetOf(t, pattern.Right, "C F", "C4 E4 G4, F4 A4 C5 | | E4 G4 C5, A4 C5 F5")
	assert.True(t, right.blocks(pattern.Right))
	assert.True(t, right.onlyBlocks(pattern.Right))
}
