package capture

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
)

// takeOver is a take of groups as in "C3, C4 E4 G4", a beat after one another.
func takeOver(t testing.TB, chords, keys string) *take {
	t.Helper()
	key := pitch.Key{Tonic: pitch.NoteAtFifths(0)} // C
	tk := &take{o: Options{Chords: mustChords(t, chords), Key: &key}}
	if keys != "" {
		tk.groups = groupsStruck(t, keys)
	}
	return tk
}

// tokensOf are the tokens of groups, each in a bar of its own.
func tokensOf(t testing.TB, chords, keys string) []token {
	t.Helper()
	tk := takeOver(t, chords, keys)
	var all []token
	for bar, g := range tk.groups {
		all = append(all, tk.tokenOf(g, bar))
	}
	return all
}

// What is heard of a stroke, in the first bar of chords.
func TestWhatAStrokeTells(t *testing.T) {
	set := func(classes ...pitch.Class) (s chord.Set) {
		for _, c := range classes {
			s = s.With(c)
		}
		return s
	}
	for _, c := range []struct {
		chords, keys string
		want         token
	}{
		{"C F", "C3", token{notes: 1, low: 0, degrees: 1, above: set(0), classes: set(0)}},
		{"C F", "C3 G3", token{notes: 2, low: 0, degrees: 0b101, above: set(0, 7), classes: set(0, 7), bass: 48}},
		{"C F", "D3", token{notes: 1, low: -1, above: set(2), classes: set(2)}},
		{"C F", "D4 G4", token{notes: 2, low: 2, degrees: 0b100, above: set(2, 7), classes: set(2, 7)}},
		{"F C", "A3 C4", token{notes: 2, low: 1, degrees: 0b110, above: set(4, 7), classes: set(9, 0)}},
		{"C F", "E3", token{notes: 1, low: 1, degrees: 0b10, above: set(4), classes: set(4), leads: true}},
		{"C F", "C3 C4 E4 G4", token{notes: 4, low: 0, degrees: 0b111, above: set(0, 4, 7), classes: set(0, 4, 7), bass: 48}},
		{"C F", "E3 C4 E4", token{notes: 3, low: 1, degrees: 0b11, above: set(0, 4), classes: set(0, 4), bass: 52, over: 4, order: 1, leads: true}},
		{"C", "C3", token{notes: 1, low: 48, degrees: 1, above: set(0), classes: set(0), byKey: true}},
	} {
		assert.Equal(t, c.want, tokensOf(t, c.chords, c.keys)[0], "%s over %s", c.keys, c.chords)
	}
}

// Strokes of two bars that mean the same.
func TestStrokesThatAreAlike(t *testing.T) {
	for _, c := range []struct {
		name, chords, keys string
		want               bool
	}{
		{"chords as degrees", "C F", "C4 E4 G4, F4 A4 C5", true},
		{"in another inversion", "C F", "C4 E4 G4, A4 C5 F5", true},
		{"one note another", "C F", "C4 E4 G4, F4 A4 D5", true},
		{"two others", "C F", "C4 E4 G4, F4 B4 D5", false},
		{"the same note wrong in both", "C F", "C4 E4 A4, F4 A4 D5", true},
		{"a seventh more", "C7 F7", "C4 E4 G4 Bb4, F4 A4 C5", true},
		{"the same keys", "C F", "C4 E4 G4, C4 E4 G4", true},
		{"roots", "C F", "C3, F3", true},
		{"thirds", "C F", "E3, A3", true},
		{"thirds of a major and a minor chord", "C Am", "E3, C4", true},
		{"a root and a third", "C F", "C3, A3", false},
		{"a note that stays", "C F", "C3, C3", true},
		{"seconds", "C F", "D3, G3", true},
		{"a second and a fourth", "C F", "D3, Bb3", false},
		{"a half step above the next root", "C F", "F#3, C#4", true},
		{"below", "C F", "E3, B3", true},
		{"a whole step above", "C F", "G3, D4", true},
		{"below", "C F", "Eb3, Bb3", true},
		{"a step, and none", "C F", "Eb3, A3", false},
		{"two notes", "C F", "C3 E3, F3 A3", true},
		{"fifths", "C F", "C3 G3, F3 C4", true},
		{"a fifth and a third", "C F", "C3 G3, F3 A3", false},
		{"two notes and one", "C F", "C3 G3, F3", false},
		{"two notes a step from the next root", "C F", "E3 F#3, B3 C#4", false},
		{"over one chord, the same", "C", "C3, C3", true},
		{"an octave up", "C", "C3, C4", false},
		{"another above", "C", "C3 E3, C3 G3", false},
		{"a bass under a chord", "C", "C3 C4 E4 G4, C3 E4 G4 C5", true},
		{"another bass", "C", "C3 C4 E4 G4, G2 C4 E4 G4", false},
		{"none", "C", "C3 C4 E4 G4, C4 E4 G4", false},
		{"roots under chords", "C F", "C3 C4 E4 G4, F3 F4 A4 C5", true},
		{"a root and a third under chords", "C F", "C3 C4 E4 G4, A2 F4 A4 C5", false},
		{"none under one", "C F", "C4 E4 G4, F3 F4 A4 C5", false},
		{"thirds under a major and a minor chord", "C Am", "E3 C4 E4 G4, C3 A3 C4 E4", true},
		{"a bass that stays", "C F", "C3 C4 E4 G4, C3 F4 A4 C5", true},
		{"seconds under chords", "C F", "D3 C4 E4 G4, G3 F4 A4 C5", true},
		{"a second and a fourth under chords", "C F", "D3 C4 E4 G4, Bb2 F4 A4 C5", false},
		{"basses a step from the next root", "C F", "E3 C4 E4 G4, B2 F4 A4 C5", true},
	} {
		all := tokensOf(t, c.chords, c.keys)
		assert.Equal(t, c.want, all[0].like(all[1]), "%s: %s over %s", c.name, c.keys, c.chords)
	}
	some := tokensOf(t, "C", "C3")[0]
	assert.False(t, some.like(token{}))
	assert.False(t, token{}.like(some))
	assert.True(t, token{}.like(token{}))
	both := tokensOf(t, "C F", "E3")[0].merge(tokensOf(t, "C F", "C3")[0])
	want := tokensOf(t, "C F", "C3 E3")[0]
	assert.Equal(t, want, both, "two groups on one cell")
	assert.Equal(t, some, token{}.merge(some))
}

// barsOf reads bars as in "ab.b|a.bb": letters that are alike are, a dot is a rest.
func barsOf(text string) [][]token {
	var all [][]token
	for _, bar := range strings.Split(text, "|") {
		var row []token
		for _, c := range bar {
			k := token{}
			if c != '.' {
				k = token{notes: 1, low: int(c), byKey: true}
			}
			row = append(row, k)
		}
		all = append(all, row)
	}
	return all
}

// Bars are laid over each other: what most have is the pattern, of equals the first.
func TestTheMajorityOfBars(t *testing.T) {
	for _, c := range []struct {
		bars, want    string
		length, slips int
	}{
		{"ab|ab|ab", "ab", 1, 0},
		{"ab|ac|ab", "ab", 1, 1},
		{"ac|ab|ab", "ab", 1, 1},
		{"ab|ac", "ab", 1, 1},
		{"ab|ac|ad|ac", "ac", 1, 2},
		{"ab|cd|ab|cd", "ab|cd", 2, 0},
		{"ab|cd|ab|c.", "ab|cd", 2, 1},
		{"ab|cd", "ab|cd", 2, 0},
	} {
		medoid, slips := vote(barsOf(c.bars), c.length)
		assert.Equal(t, barsOf(c.want), medoid, c.bars)
		assert.Equal(t, c.slips, slips, c.bars)
	}
}

// What is easier to write down costs less.
func TestPlainBarsAreCheap(t *testing.T) {
	cost := func(bars string) float64 { return describe(barsOf(bars)) }
	stroke := cost("a")
	assert.Positive(t, stroke)
	assert.Zero(t, cost("."))
	assert.Zero(t, cost("...."))
	assert.Equal(t, 3*stroke, cost("abc"))
	assert.Equal(t, 3*stroke, cost("aaa"), "three have no halves")
	assert.Equal(t, stroke, cost("a..."), "a rest costs nothing")
	assert.Less(t, cost("abcabc"), cost("abcdef"), "the second half like the first")
	assert.Less(t, cost("abcabc"), cost("abcabd"))
	assert.LessOrEqual(t, cost("abcabd"), cost("abcdef"))
	again := cost("abcabc|abcabc") - cost("abcabc")
	assert.Positive(t, again)
	assert.Equal(t, again, cost("abcdefgh|abcdefgh")-cost("abcdefgh"), "a bar like the one before, however long")
	assert.Equal(t, again, cost("abcdef|ghijkl|abcdef")-cost("abcdef|ghijkl"), "or like any before")
	one := cost("abcdef|abcdeg") - cost("abcdef")
	assert.Greater(t, one, again, "one stroke another")
	assert.Greater(t, cost("abcdef|ghijkl")-cost("abcdef"), one, "another bar altogether")
}

func TestBarsWhoseHalvesAreAlike(t *testing.T) {
	for bars, want := range map[string]bool{"abab": true, "abac": false, "aaa": false, "abab|cdcd": true, "abab|cdce": false, "..": true} {
		assert.Equal(t, want, halvesAlike(barsOf(bars)), bars)
	}
}

// A pattern is played whole, and a long one more than once.
func TestPatternsAreNotBrokenOff(t *testing.T) {
	for _, c := range []struct {
		bars, length int
		odd          bool
	}{
		{4, 2, false}, {3, 2, true}, {2, 2, false}, {3, 3, true}, {6, 3, false}, {4, 4, true}, {8, 4, false}, {5, 4, true}, {1, 1, false}, {7, 1, false},
	} {
		r := &interpretation{bars: c.bars}
		assert.Equal(t, c.odd, r.broken(c.length) > 0, "%d bars of %d", c.bars, c.length)
	}
}
