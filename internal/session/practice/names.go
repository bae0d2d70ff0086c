package practice

import (
	"slices"
	"strings"

	"undersong/internal/listen/keyboard"
	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
)

func chordSet(s keyboard.Set) chord.Set { return chord.Set(s.Classes()) }

// minus is a without b.
func minus(a, b keyboard.Set) keyboard.Set { return keyboard.Set{a[0] &^ b[0], a[1] &^ b[1]} }

// both is what a and b share.
func both(a, b keyboard.Set) keyboard.Set { return keyboard.Set{a[0] & b[0], a[1] & b[1]} }

func only(k pitch.Num) (s keyboard.Set) {
	s.Add(k)
	return s
}

// keysOf lists the keys of s, low to high.
func keysOf(s keyboard.Set) []pitch.Num {
	var keys []pitch.Num
	for k := s.Lowest(); k >= 0; k = s.Next(k) {
		keys = append(keys, k)
	}
	return keys
}

// noteNames spells the keys of s, low to high, each name once.
func noteNames(s keyboard.Set, key pitch.Key) string {
	var names []string
	for _, k := range keysOf(s) {
		names = append(names, key.Spell(k.Class()).String())
	}
	return strings.Join(unique(names), " ")
}

// unique leaves out names that came before.
func unique(names []string) []string {
	var out []string
	for _, n := range names {
		if !slices.Contains(out, n) {
			out = append(out, n)
		}
	}
	return out
}
