package playback

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/judge/engine"
	"undersong/internal/judge/finding"
	"undersong/internal/judge/rules"
	"undersong/internal/midi/event"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
	"undersong/internal/ui/words"
)

// corrections is what the engine finds to mend in a performance.
func corrections(s *score.Score, events []event.Event) []string {
	e := engine.New(s, engine.Options{Level: rules.Steady})
	var told []string
	tell := func(found []finding.Finding) {
		for i := range found {
			if found[i].Kind != finding.Right {
				told = append(told, (&words.Wording{Score: e.Score, Ear: e.Ear}).Line(&found[i]))
			}
		}
	}
	last := time.Duration(0)
	for _, ev := range events {
		tell(e.Feed(ev))
		last = ev.At
	}
	tell(e.Finish(last))
	return told
}

// What is played is what practice accepts: every pattern that fits, over every
// demo chart, in twelve keys, exact and human; with the tune too where the right
// hand is free.
func TestADemonstrationIsRight(t *testing.T) {
	cat := material.Catalogue(t)
	n := 0
	for name, c := range material.DemoCharts(t) {
		for _, p := range cat.Of(pattern.Accompaniment) {
			if !p.Fits(c.Meter) || p.PlaysTune() && !c.HasMelody() {
				continue
			}
			for class := pitch.Class(0); class < 12; class++ {
				n++
				if testing.Short() && n%37 != 0 {
					continue
				}
				key := pitch.KeyAt(class, c.Key.Minor)
				s, err := score.Build(c, p, score.Options{Key: &key})
				require.NoError(t, err)
				o := Options{Seed: uint64(n), Human: n%2 == 0, Parts: Hands(s)}
				if p.Rows[pattern.Right] == nil {
					o.Parts = append(o.Parts, Tune)
					if n%3 == 0 {
						s.Only = score.LeftAlone
					}
				}
				assert.Empty(t, corrections(s, NewPlayer(s, o).Pass(0)), "%s over %s in %s, human %v", p.Name, name, key, o.Human)
			}
		}
	}
}
