package firstbass

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/finding"
	"undersong/internal/music/pitch"
	"undersong/internal/test/material"
	"undersong/internal/test/sounding"
)

// The last time that a bar was played counts, with what was worst in it.
func TestWhatIsSummedUp(t *testing.T) {
	s := louScore(t)
	l := New(s, Options{BassAlone, 2})
	assert.Equal(t, finding.BassSummary{All: 4, Leading: -1}, l.Summary().Basses, "nothing was played")
	play := func(hits ...string) finding.BassSummary {
		start := l.now + beats(4)
		for _, e := range sounding.Under(t, s, hits...) {
			e.At += start
			l.Feed(e)
		}
		l.Tick(l.now + beats(4))
		return l.Summary().Basses
	}
	bar := func(n int, k finding.Kind, bass int) finding.BassBar {
		return finding.BassBar{Bar: n, Last: k, Bass: bass}
	}
	assert.Equal(t, finding.BassSummary{All: 4, Leading: -1, Bars: []finding.BassBar{
		bar(1, finding.Right, int(Tonic)), bar(2, finding.Misfit, -1), bar(3, finding.Right, int(Dominant)), bar(4, finding.Missing, -1),
	}}, play("C3 0-3.8", "G2 4-7.8", "G2 8-11.8"))
	assert.Equal(t, finding.BassSummary{All: 4, Leading: -1, Bars: []finding.BassBar{
		bar(1, finding.Missing, -1), bar(2, finding.Right, int(Tonic)), bar(3, finding.NotRoot, -1), bar(4, finding.Right, int(Tonic)),
	}}, play("C3 4-7.8", "A2 8-11.8", "C3 12-15.8"))
	totals := l.Summary().Totals
	for k, want := range map[finding.Kind]int{finding.Right: 4, finding.Misfit: 1, finding.Missing: 2, finding.NotRoot: 1, finding.NotHome: 0} {
		assert.Equal(t, want, totals[k].Count, k)
	}
}

// Praise for the first bass of a bar, and the tune leaves it: the bar was wrong.
func TestWhatIsWorstInABarCounts(t *testing.T) {
	s := scoreOf(t, material.Chart(t, sounding.Lou), "")
	l := New(s, Options{BassAlone, 2})
	sounding.Hear(l, sounding.Under(t, s, "C3 0-0.9", "G2 1-3.8", "C3 4-7.8", "G2 8-11.8", "C3 12-15.8"))
	assert.Equal(t, finding.BassBar{Bar: 1, Last: finding.Misfit, Bass: -1}, l.Summary().Basses.Bars[0])
}

// V leads home (Open Music Theory v1, "Classical cadence types"): who chose
// another bass before the end, where V fits, is told of it.
func TestWhatLeadsHome(t *testing.T) {
	const text = "key: C\nmeter: 4/4\nunit: 1/4\ntempo: 120\n| C | N.C. | C |]\nm: E4 | "
	for _, c := range []struct {
		what, tune string
		before     string
		last       string
		want       int
	}{
		{"G before C", "G4 | C4 |", "G2 4-7.8", "C3", -1},
		{"C before C, where G would do", "G4 | C4 |", "C3 4-7.8", "C3", 2},
		{"C before C, where it has to be", "E4 | C4 |", "C3 4-7.8", "C3", -1},
		{"C before C, where G does in the end", "C2G2 | C4 |", "C3 4-7.8", "C3", 2},
		{"nothing before C", "G4 | C4 |", "A2 4-7.8", "C3", -1},
		{"C before a wrong one", "G4 | C4 |", "C3 4-7.8", "G2", -1},
		{"C before G, which ends the tune on its own note", "G4 | G4 |", "C3 4-7.8", "G2", -1},
	} {
		s := scoreOf(t, material.Chart(t, text+c.tune+"\n"), "")
		l := New(s, Options{BassAlone, 2})
		sounding.Hear(l, sounding.Under(t, s, "C3 0-3.8", c.before, c.last+" 8-11.8"))
		assert.Equal(t, c.want, l.Summary().Basses.Leading, c.what)
	}
	s := scoreOf(t, material.Chart(t, "key: C\nmeter: 4/4\nunit: 1/4\ntempo: 120\n| C | C | C |]\nm: G4- | G4 | C4 |\n"), "")
	l := New(s, Options{BassAlone, 2})
	sounding.Hear(l, sounding.Under(t, s, "C3 0-7.8", "C3 8-11.8"))
	assert.Equal(t, 1, l.Summary().Basses.Leading, "the bar before only holds a note: the one before it")
	s = scoreOf(t, material.Chart(t, "key: C\nmeter: 4/4\nunit: 1/4\ntempo: 120\n| C |]\nm: C4 |\n"), "")
	l = New(s, Options{BassAlone, 2})
	sounding.Hear(l, sounding.Under(t, s, "C3 0-3.8"))
	assert.Equal(t, -1, l.Summary().Basses.Leading, "there is no bar before")
}

// The nearest key of a note, on the piano: a tritone goes up.
func TestTheNearestKey(t *testing.T) {
	for _, c := range []struct {
		class, from, want int
	}{
		{0, 48, 48}, {0, 43, 48}, {0, 53, 48}, {0, 42, 48}, {0, 54, 60}, {0, 47, 48}, {0, 49, 48},
		{9, 21, 21}, {8, 21, 32}, {8, 25, 32}, {0, 108, 108}, {1, 108, 97}, {11, 106, 107},
	} {
		assert.Equal(t, c.want, int(nearestOf(pitch.Class(c.class), pitch.Num(c.from))), "%d from %d", c.class, c.from)
	}
	l := New(louScore(t), Options{BassAlone, 3})
	assert.Equal(t, 43, int(l.nearest(45, []int{int(Tonic), int(Dominant)})), "G is nearer to A than C")
	assert.Equal(t, 43, int(l.nearest(45, []int{int(Dominant), int(Tonic)})))
	assert.Equal(t, 41, int(l.nearest(42, []int{int(Subdominant), int(Dominant)})), "as near: the one that was named first")
	assert.Equal(t, 43, int(l.nearest(42, []int{int(Dominant), int(Subdominant)})))
	assert.Zero(t, l.nearest(45, nil))
}
