package playback

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/pitch"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
)

// beneath is an accompaniment for a meter, to lay parts around.
func beneath(t *testing.T, cat *pattern.Catalogue, c *chart.Chart, n int) *pattern.Pattern {
	t.Helper()
	var fit []*pattern.Pattern
	for _, p := range cat.Of(pattern.Accompaniment) {
		if p.Fits(c.Meter) && p.Hands() == "both hands" && (c.HasMelody() || !p.PlaysTune()) {
			fit = append(fit, p)
		}
	}
	require.NotEmpty(t, fit)
	return fit[n%len(fit)]
}

// asking is a chart with a part in its place: a fill in bars 1 and 2.
func asking(c *chart.Chart, p *pattern.Pattern) (*chart.Chart, score.Parts) {
	d := *c
	switch p.Part {
	case pattern.Intro:
		return &d, score.Parts{Intro: p}
	case pattern.Turnaround:
		return &d, score.Parts{Turnaround: p}
	case pattern.Ending:
		return &d, score.Parts{Ending: p}
	}
	d.Fills = []chart.Fill{{Bars: []int{1, 2}}}
	return &d, score.Parts{Fills: []*pattern.Pattern{p}}
}

// Every intro, fill, turnaround and ending that fits, over every demo chart, in
// twelve keys, with one accompaniment after the other, exact and human.
func TestADemonstratedPartIsRight(t *testing.T) {
	cat := material.Catalogue(t)
	n := 0
	played := map[string]int{}
	for name, c := range material.DemoCharts(t) {
		for _, p := range cat.All() {
			if p.Part == pattern.Accompaniment || !p.Fits(c.Meter) {
				continue
			}
			for class := pitch.Class(0); class < 12; class++ {
				n++
				if testing.Short() && n%7 != 0 {
					continue
				}
				key := pitch.KeyAt(class, c.Key.Minor)
				d, parts := asking(c, p)
				main := beneath(t, cat, c, n)
				s, err := score.Build(d, main, score.Options{Key: &key, Parts: parts, Round: p.Part == pattern.Turnaround})
				require.NoError(t, err, "%s over %s", p.Name, name)
				o := Options{Seed: uint64(n), Human: n%2 == 0, Parts: Hands(s)}
				assert.Empty(t, corrections(s, NewPlayer(s, o).Pass(0)), "%s over %s with %s in %s, human %v", p.Name, name, main.Name, key, o.Human)
				for _, b := range s.Bars {
					if b.Pattern == p || b.Fill == p {
						played[p.Name]++
					}
				}
			}
		}
	}
	for _, p := range cat.All() {
		if p.Part != pattern.Accompaniment {
			assert.NotZero(t, played[p.Name], "%s was never played", p.Name)
		}
	}
}
