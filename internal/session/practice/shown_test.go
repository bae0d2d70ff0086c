package practice

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/judge/finding"
	"undersong/internal/play/mistakes"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/pattern"
)

// kinds are the kinds of findings, in their order.
func kinds(found ...[]sitting.Item) (all []finding.Kind) {
	for _, moment := range found {
		for i := range moment {
			all = append(all, moment[i].Finding.Kind)
		}
	}
	return all
}

// twoInBar2 plays bar 2 with a wrong bass and without its last chord, up to a time.
func twoInBar2(b *bench, until time.Duration) *bench {
	plan := mistakes.Plan{}.Plant(mistakes.WrongBass, want(b.t, b.score, 2, 1, pattern.Left)).
		Plant(mistakes.Missing, want(b.t, b.score, 2, 4, pattern.Right))
	return b.play(exact(b.t, b.score, plan), until).pass(until)
}

func TestAllThatIsWrongIsToldAndOneThingABarIsSeen(t *testing.T) {
	b := twoInBar2(newBench(t, tune, nil), 3*bar+600*time.Millisecond)
	told := b.s.State().Told
	assert.Equal(t, []finding.Kind{finding.WrongBass, finding.Missing}, kinds(told.Found...))
	assert.Equal(t, 2, told.Fresh)
	assert.Contains(t, b.s.view().Correction, "bar 2, beat 1: bass ")
	assert.Regexp(t, `(?s)"wrong-bass".*"missing"`, b.s.json.String(), "who takes all gets all")
	b = twoInBar2(newBench(t, tune, nil), 4*bar-100*time.Millisecond)
	assert.Equal(t, 1, b.s.State().Told.Fresh, "the first has been read")
	assert.Empty(t, b.s.view().Correction, "and the second is of the same bar")
}

func TestAllThatIsWrongInAPassIsToldAfterIt(t *testing.T) {
	b := newBench(t, tune, func(o *Options) { o.Heading.After, o.Heading.Loop, o.Wait = true, true, true })
	b.do(sitting.DoBegin)
	b = twoInBar2(b, time.Hour).pass(b.now + time.Minute)
	require.Equal(t, sitting.Reading, b.s.State().Where.Phase)
	read := kinds(b.s.State().Told.Read)
	assert.Subset(t, read, []finding.Kind{finding.WrongBass, finding.Missing})
	assert.NotContains(t, read, finding.Right)
}

// What a face was shown stays as it is, and what is long past is kept no longer.
func TestCorrectionsOfTheLatestBarsAreKept(t *testing.T) {
	b := newBench(t, tune, nil)
	var v shown
	var states [][][]sitting.Item
	for n := range 3 * sitting.Remembered {
		during := sitting.Place{Bar: n}
		for _, k := range []finding.Kind{finding.Late, finding.Early} {
			v.correct(b.s.take, []sitting.Item{{Finding: finding.Finding{Kind: k}, During: during}}, time.Duration(n)*bar)
			states = append(states, v.found)
		}
		require.LessOrEqual(t, len(v.found), 2*sitting.Remembered, n)
	}
	require.Len(t, v.found, 2*sitting.Remembered)
	for n, found := range states {
		last := found[len(found)-1][0]
		assert.Equal(t, n/2, last.During.Bar)
		assert.Equal(t, []finding.Kind{finding.Late, finding.Early}[n%2], last.Finding.Kind)
	}
	now := time.Duration(3*sitting.Remembered-1) * bar
	assert.Equal(t, 4, v.fresh(now), "those of the bar before, to the middle of this one")
	assert.Equal(t, 2, v.fresh(now+bar/2))
	assert.Zero(t, v.fresh(now+bar*3/2))
}
