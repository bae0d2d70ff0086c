package follow

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/test/material"
)

// few are performances of which each manner gives one of every kind: a bass with
// chords, a broken chord, a tune in the right hand, whole chords, and three beats.
var few = []struct{ pattern, tune string }{
	{"two-beat", "red-river-valley"}, {"broken-up", "when-the-saints"},
	{"tune-and-chords", "auld-lang-syne"}, {"block-near", "oh-susanna"}, {"waltz", "down-in-the-valley"},
}

// How many onsets of a few performances are not at their place, not at once, and
// how many leaps are told, at most: as few as have been reached, so that what is
// lost shows at once and not only in the long table. Fewer are welcome.
var fewMisses = map[string][3]int{
	"steady": {}, "rubato": {}, "at 0.75 of the tempo": {}, "at 1.3 of the tempo": {}, "from 1.15 to 0.85": {},
	"fermatas": {1, 1, 0}, "mistakes in notes": {9, 9, 3}, "wrong chords": {10, 6, 6}, "pause": {3, 3, 0},
	"restart": {5, 5, 4}, "stumble": {3, 3, 5}, "repeat-bar": {9, 11, 30}, "skip-bar": {5, 8, 12},
	"jump": {8, 9, 29}, "all, and mistakes": {1, 1, 0},
	"at half the tempo": {}, "at 0.4 of the tempo": {1, 1, 0}, "at twice the tempo": {}, "from half to double": {},
	"wide chords": {}, "long fermatas": {}, "ornaments": {1, 1, 0},
}

func TestAFewPerformances(t *testing.T) {
	for n, m := range manners() {
		most, ok := fewMisses[m.name]
		require.True(t, ok, m.name)
		var a tally
		for i, c := range few {
			s, perf, fits := perform(t, m, material.Shipped(t, c.pattern), c.tune, n+i)
			require.True(t, fits, c)
			a.add(measure(s, perf, "few"))
		}
		assert.LessOrEqual(t, a.onsets-a.right, most[0], "%s: not at their place", m.name)
		assert.LessOrEqual(t, a.onsets-a.atOnce, most[1], "%s: not at once", m.name)
		assert.LessOrEqual(t, a.leaps, most[2], "%s: leaps", m.name)
	}
}
