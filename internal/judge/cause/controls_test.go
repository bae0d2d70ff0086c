package cause

import (
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/play/mistakes"
	"undersong/internal/play/performer"
	"undersong/internal/test/reduced"
)

// controls are performances without a cause.
var controls = []struct {
	name  string
	bend  func(h *performer.Habits)
	kinds []mistakes.Kind
	rate  float64
	bars  []string // of its own, which come again and again; nil for those of the table
}{
	{"faultless", func(*performer.Habits) {}, nil, 0, nil},
	{"many mistakes", func(*performer.Habits) {}, append(mistakes.NoteKinds(), mistakes.TimeKinds()...), 0.7, nil},
	{"wrong notes", func(*performer.Habits) {}, []mistakes.Kind{mistakes.WrongChord, mistakes.WrongBass, mistakes.WrongNote}, 1, nil},
	{"out of time", func(h *performer.Habits) { h.Drift, h.Jitter = 0.04, 25*time.Millisecond }, []mistakes.Kind{mistakes.Early, mistakes.Late}, 0.5, nil},
	{"an unsteady tempo", func(h *performer.Habits) { h.Rubato = 0.04 }, mistakes.NoteKinds(), 0.2, nil},
	{"fits elsewhere", func(*performer.Habits) {}, []mistakes.Kind{mistakes.WrongChord, mistakes.WrongBass, mistakes.WrongNote, mistakes.Missing}, 0.8, []string{
		"| C | F | C | F | C | F | G7 | C | C | F | C | F | C | F | G7 | C |",
		"| C | C | C | C | G7 | G7 | C | C | C | C | C | C | G7 | G7 | C | C |",
		"| C | G7 | C | G7 | C | G7 | C | G7 | C | G7 | C | G7 | C | G7 | C | C |",
		"| C | C | C | C | C | C | C | C | C | C | C | C | C | C | C | C |",
	}},
}

// TestNoCauseWhereThereIsNone plays faultlessly, and merely badly.
func TestNoCauseWhereThereIsNone(t *testing.T) {
	for n := range controls {
		c := &controls[n]
		human, err := performer.Human("steady")
		require.NoError(t, err)
		c.bend(&human)
		played, told := 0, 0
		first, last := seeds()
		for seed := first; seed <= 4*last; seed++ {
			r := rand.New(rand.NewPCG(seed, uint64(100+n)))
			bars := c.bars
			if bars == nil {
				bars = charts
			}
			s := pieceOf(t, r, bars)
			perf, err := mistakes.Play(s, human, mistakes.Plan{Start: lead, Kinds: c.kinds, Rate: c.rate}, seed)
			require.NoError(t, err)
			h := judged(s, perf, seed%2 == 0)
			played++
			if len(h.causes) > 0 {
				told++
				t.Logf("%s, seed %d: %s in %s at %g: %+v", c.name, seed, s.Pattern.Name, s.Key, s.Tempo, h.causes)
			}
		}
		reduced.Row(c.name+": no cause", float64(played-told), float64(played))
		t.Logf("%s: a cause in %d of %d performances", c.name, told, played)
		assert.Zero(t, told, c.name)
	}
}
