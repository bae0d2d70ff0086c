package practice

import (
	"slices"
	"strings"

	"undersong/internal/chord"
	"undersong/internal/hands"
	"undersong/internal/pitch"
)

func chordSet(s hands.Set) chord.Set { return chord.Set(s.Classes()) }

// minus is a without b.
func minus(a, b hands.Set) hands.Set { return hands.Set{a[0] &^ b[0], a[1] &^ b[1]} }

// both is what a and b share.
func both(a, b hands.Set) hands.Set { return hands.Set{a[0] & b[0], a[1] & b[1]} }

func only(k pitch.Num) (s hands.Set) {
	s.Add(k)
	return s
}

// keysOf lists the keys of s, low to high.
func keysOf(s hands.Set) []pitch.Num {
	var keys []pitch.Num
	for k := s.Lowest(); k >= 0; k = s.Next(k) {
		keys = append(keys, k)
	}
	return keys
}

// noteNames spells the keys of s, low to high, each name once.
func noteNames(s hands.Set, key pitch.Key) string {
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
