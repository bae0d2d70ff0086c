package perform

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/chart"
	"undersong/internal/coach"
	"undersong/internal/engine"
	"undersong/internal/meter"
	"undersong/internal/pattern"
	"undersong/internal/pitch"
	"undersong/internal/score"
	"undersong/patterns"
)

func scoreOf(t *testing.T, m, bars string, p *pattern.Pattern, o score.Options) *score.Score {
	t.Helper()
	c, err := chart.Parse([]byte("key: C\ntempo: 120\nmeter: "+m+"\n\n"+bars+"\n"), "t.chart")
	require.NoError(t, err)
	s, err := score.Build(c, p, o)
	require.NoError(t, err)
	return s
}

func shipped(t *testing.T, name string) *pattern.Pattern {
	t.Helper()
	cat, err := pattern.Load(patterns.Files)
	require.NoError(t, err)
	p, err := cat.Find(name)
	require.NoError(t, err)
	return p
}

func TestPartsOfADemonstration(t *testing.T) {
	s := scoreOf(t, "4/4", "| C | F |", shipped(t, "two-beat"), score.Options{})
	parts, err := Parts(s, Options{CountIn: 1, Click: true, Times: 2})
	require.NoError(t, err)
	require.Len(t, parts, 3)
	assert.Equal(t, []string{"right hand", "left hand", "click"}, []string{parts[0].Name, parts[1].Name, parts[2].Name})
	assert.Equal(t, 2*time.Second, parts[1].Events[0].At, "the music begins after one bar of four at 120")
	ons := 0
	for _, e := range parts[2].Events {
		assert.Equal(t, uint8(9), e.Channel())
		if e.IsNoteOn() {
			ons++
		}
	}
	assert.Equal(t, 4+2*8, ons)
	s.Only = score.LeftAlone
	parts, err = Parts(s, Options{})
	require.NoError(t, err)
	require.Len(t, parts, 1)
	assert.Equal(t, "left hand", parts[0].Name)
}

// What is played is what practice accepts: every pattern, in twelve keys, exact
// and human.
func TestADemonstrationIsRight(t *testing.T) {
	cat, err := pattern.Load(patterns.Files)
	require.NoError(t, err)
	for _, p := range cat.All() {
		m := p.Meter
		if p.AnyMeter() {
			m = meter.Meter{Num: 4, Den: 4}
		}
		for class := pitch.Class(0); class < 12; class++ {
			if testing.Short() && class%5 != 0 {
				continue
			}
			key := pitch.KeyAt(class, false)
			s := scoreOf(t, m.String(), "| C | Am | F/A | G7 | Dm7 | C |", p, score.Options{Key: &key})
			for _, human := range []bool{false, true} {
				parts, err := Parts(s, Options{Human: human, Seed: 3})
				require.NoError(t, err)
				e := engine.New(s, engine.Options{Level: coach.Steady})
				var last time.Duration
				tell := func(found []coach.Finding) {
					for i := range found {
						assert.Equal(t, coach.Right, found[i].Kind, "%s in %s, human %v: %s", p.Name, key, human, e.Voice().Line(&found[i]))
					}
				}
				for _, ev := range Merged(parts) {
					tell(e.Feed(ev))
					last = ev.At
				}
				tell(e.Finish(last))
			}
		}
	}
}

func TestEveryNoteEnds(t *testing.T) {
	s := scoreOf(t, "3/4", "| C | F |", shipped(t, "waltz"), score.Options{})
	parts, err := Parts(s, Options{Human: true, CountIn: 2, Click: true, Times: 3})
	require.NoError(t, err)
	down := map[[2]uint8]int{}
	at := time.Duration(0)
	for _, e := range Merged(parts) {
		assert.GreaterOrEqual(t, e.At, at)
		at = e.At
		k := [2]uint8{e.Channel(), e.Data1}
		switch {
		case e.IsNoteOn():
			down[k]++
		case e.IsNoteOff():
			down[k]--
		}
	}
	for k, n := range down {
		assert.Zero(t, n, k)
	}
}
