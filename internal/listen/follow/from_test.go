package follow

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/music/meter"
)

// Of places that sound alike the one from which a player most likely begins is taken; and
// another one, where that is what is played.
func TestFromWhereAPlayerBegins(t *testing.T) {
	s := build(t, "two-beat", "| C | F | G7 | C | C | F | G7 | Am | C | F | G7 | C |")
	for name, c := range map[string]struct {
		from  meter.Ticks
		first int // event that is struck, four to a bar
		want  int // bar, by the end of it
	}{
		"the beginning":                   {0, 0, 0},
		"bar 5, which sounds like bar 1":  {4 * meter.Whole, 16, 4},
		"bar 9":                           {8 * meter.Whole, 32, 8},
		"bar 8 alone, for bar 5":          {4 * meter.Whole, 28, 7},
		"the second half of bar 6":        {5*meter.Whole + meter.Half, 22, 5},
		"the last beat":                   {11*meter.Whole + 3*meter.Quarter, 47, 11},
		"bar 1 for bar 9, which is alike": {8 * meter.Whole, 0, 8},
	} {
		p := newPlayer(s, FollowOptions{From: c.from})
		p.play(c.first, min(48, c.first-c.first%4+4))
		assert.Equal(t, c.want, p.f.Estimate().Bar, name)
	}
}
