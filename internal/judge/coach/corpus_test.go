package coach_test

import (
	"fmt"
	"hash/fnv"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"undersong/internal/judge/engine"
	"undersong/internal/judge/finding"
	"undersong/internal/judge/rules"
	"undersong/internal/music/meter"
	"undersong/internal/play/mistakes"
	"undersong/internal/play/performer"
	"undersong/internal/sheet/pattern"
	"undersong/internal/test/golden"
	"undersong/internal/test/material"
	"undersong/internal/test/sounding"
)

// Every fifth pattern with mistakes of every kind, by a click and led: what is told,
// in counts, and a sum over all of it. It changes where anything that is told does,
// and says nothing of what is right: for that there are the accuracy tables.
func TestACorpusOfMistakes(t *testing.T) {
	human, err := performer.Human("beginner")
	require.NoError(t, err)
	human.Revoice, human.LeaveOut, human.Double = 0.2, 0.2, 0.1
	kinds := slices.Concat(mistakes.NoteKinds(), mistakes.TimeKinds(), mistakes.FollowKinds())
	var text strings.Builder
	for i, p := range material.Catalogue(t).Of(pattern.Accompaniment) {
		if i%5 > 0 {
			continue
		}
		m := p.Meter
		if p.AnyMeter() {
			m = meter.Known()[i%6]
		}
		s := sounding.ScoreOf(t, m.String(), "| C | F | G7 | C | Am | Dm7 | Bdim | C | C/E | F | G7 | Csus4 |", p.Name)
		perf, err := mistakes.Play(s, human, mistakes.Random(kinds, 0.5), uint64(i))
		require.NoError(t, err)
		for _, o := range []engine.Options{{Level: rules.Steady}, {Level: rules.Steady, Led: true}} {
			found, sum := heard(s, perf.Events, o)
			hash := fnv.New32a()
			for i := range found {
				fmt.Fprintln(hash, line(s, &found[i]))
				require.True(t, found[i].Want >= 0 || found[i].Want == -1 && found[i].Second == -1, "what is about no stroke is about no second")
			}
			for _, timing := range sum.Timing {
				fmt.Fprintf(hash, "%d %.6g %.6g %.6g", timing.Strokes, timing.MeanMs, timing.SpreadMs, timing.DriftMs)
			}
			fmt.Fprintf(&text, "%s, led %t:", p.Name, o.Led)
			for _, k := range finding.Kinds(finding.Strokes) {
				if n := sum.Count(k); n > 0 {
					fmt.Fprintf(&text, " %d %s", n, k)
				}
			}
			fmt.Fprintf(&text, " %08x\n", hash.Sum32())
		}
	}
	golden.Equal(t, "corpus.txt", text.String())
}
