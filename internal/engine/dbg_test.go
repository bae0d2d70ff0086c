package engine

import (
	"flag"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"
	"undersong/internal/coach"
	"undersong/internal/meter"
	"undersong/internal/pattern"
	"undersong/internal/pitch"
	"undersong/internal/simulate"
)

var dbgName = flag.String("dbg", "", "pattern/class/kindindex")

func TestDbg(t *testing.T) {
	var name string
	var class, n, seed int
	fmt.Sscanf(*dbgName, "%d %d %d %s", &seed, &class, &n, &name)
	human, err := simulate.Human("steady")
	require.NoError(t, err)
	human.TempoWalk = 0.02
	everyPattern(t, func(p *pattern.Pattern, m meter.Meter) {
		if p.Name != name {
			return
		}
		s := accuracyScore(t, p, m, pitch.KeyAt(pitch.Class(class), false), accuracyTempi[(class/3+seed)%3])
		perf, err := simulate.Play(s, human, simulate.Random([]simulate.Kind{simulate.NoteKinds()[n]}, 0.1), uint64(seed*1000+class*20+n))
		require.NoError(t, err)
		for _, f := range perf.Truth {
			t.Logf("TRUTH %+v", f)
		}
		e := New(s, Options{Level: coach.Steady, Led: true})
		tell := func(fs []coach.Finding) {
			for i := range fs {
				t.Logf("      -> %s %s %s", fs[i].Kind, fs[i].Part, e.Voice().Line(&fs[i]))
			}
		}
		for _, ev := range perf.Events {
			tell(e.Feed(ev))
			if ev.IsNoteOn() {
				x := e.leader.Estimate()
				t.Logf("%6.3f key %d %s: bar %d beat %.2f conf %.2f extra %v lost %v jumped %v tempo %.0f", ev.At.Seconds(), ev.Data1, pitch.KeyAt(0,false).Spell(pitch.Num(ev.Data1).Class()), s.Bars[x.Bar].Number, s.Meter.BeatAt(x.At-s.Bars[x.Bar].At), x.Confidence, x.Extra, x.Lost, x.Jumped, float64(x.Tempo))
			}
		}
		tell(e.Finish(perf.Events[len(perf.Events)-1].At))
	})
}
