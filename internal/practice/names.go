package practice

import (
	"slices"

	"undersong/internal/chord"
	"undersong/internal/hands"
)

func chordSet(s hands.Set) chord.Set { return chord.Set(s.Classes()) }

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
