package mistakes

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
	"undersong/internal/play/performer"
	"undersong/internal/sheet/pattern"
	"undersong/internal/test/material"
	"undersong/internal/test/sounding"
)

func TestCounterparts(t *testing.T) {
	for _, c := range []struct{ from, to, keys, other string }{
		{"C", "F", "C4 E4 G4", "F4 A4 C5"},
		{"C", "G", "E4 G4 C5", "B3 D4 G4"}, // down, the nearer way; the inversion is kept
		{"Am", "G", "A3 C4 E4", "G3 B3 D4"},
		{"G7", "F", "G3 B3 D4 F4", "F3 A3 C4"}, // the seventh is left out
		{"G7", "C", "B3 F4", "E4 C5"},          // or is the root, where there is none
		{"Csus4", "Dm", "C4 F4 G4", "D4 F4 A4"},
		{"C/F#", "G", "F#2", "C#2"}, // a foreign bass moves with the root
		{"Bdim", "C", "B3 D4 F4", "C4 E4 G4"},
	} {
		from, err := chord.Parse(c.from)
		require.NoError(t, err)
		to, err := chord.Parse(c.to)
		require.NoError(t, err)
		var keys []pitch.Num
		for _, word := range strings.Fields(c.keys) {
			p, err := pitch.ParsePitch(word)
			require.NoError(t, err)
			keys = append(keys, p.Num())
		}
		var got performer.Stroke
		got.Set(counterpart(keys, from, to, 0))
		var words []string
		for _, k := range got.Keys {
			n := pitch.Key{}.Spell(k.Class())
			if k.Class() == 1 {
				n = pitch.Note{Alter: 1}
			}
			words = append(words, k.Spell(n).String())
		}
		assert.Equal(t, c.other, strings.Join(words, " "), "%s to %s", c.from, c.to)
	}
}

// Whatever the chord, a wrong one is heard as the triad that the truth tells.
func TestAWrongChordIsTheOneTold(t *testing.T) {
	for _, symbol := range []string{"C", "Cmaj7", "C9", "C13", "Csus4", "Csus2", "C6", "C/F#", "Cm7b5", "Caug", "Dm7", "G7sus4"} {
		s := sounding.Score(t, "4/4", "90", "| "+symbol+" |", material.Shipped(t, "block-whole"))
		i := want(t, s, 1, 1, pattern.Right)
		for seed := range uint64(8) {
			p, err := Play(s, performer.Habits{LeaveOut: 0.5}, Plan{}.Plant(WrongChord, i), seed)
			if symbol == "C13" {
				assert.ErrorContains(t, err, "no other chord of the key is far enough from C13")
				continue // it has every note of the key but one
			}
			require.NoError(t, err)
			told, _, _ := strings.Cut(p.Truth[0].Detail, " for ")
			other, err := chord.Parse(told)
			require.NoError(t, err)
			right := sounding.Ons(p.Events)[1:]
			assert.Equal(t, other.Set(), classes(right), "%s for %s", told, symbol)
			assert.LessOrEqual(t, size(other.Set()&s.Wants[i].Chord.Set()), 1)
		}
	}
}

func TestWhatTellsNoChord(t *testing.T) {
	for rows, reason := range map[string]string{
		"left: 1+5 . . .":   "two notes",
		"left: 1 5 1 5":     "tell no chord",
		"left: 1 *? *? 1":   "free notes",
		"right: 1+3 . . .":  "two notes",
		"left: 1 3 5 *?":    "free notes",
		"right: 1 3 5 ap":   "free notes",
		"left: 1+3+5 1 1 1": "",
	} {
		s := sounding.Score(t, "4/4", "90", "| C | F |", sounding.Own(t, "4/4", "quarters", rows))
		_, err := Play(s, performer.Habits{}, Plan{}.Plant(WrongChord, 0), 1)
		if reason == "" {
			assert.NoError(t, err, rows)
			continue
		}
		assert.ErrorContains(t, err, reason, rows)
	}
}

// A key that both hands want at once is struck once and held for both.
func TestBothHandsOnOneKey(t *testing.T) {
	s := sounding.Score(t, "4/4", "60", "| C |", sounding.Own(t, "4/4", "quarters", "left-low: C4\nright-low: C4\nleft: 1 - - -\nright: 1 . 1 ."))
	p := faultless(s, performer.Habits{}, 1)
	sounding.AssertKeyboard(t, p.Events, "one key")
	var at []time.Duration
	for _, e := range p.Events {
		at = append(at, e.At)
	}
	assert.Equal(t, []time.Duration{0, 1995 * time.Millisecond, 2 * time.Second, 3 * time.Second}, at)
}
