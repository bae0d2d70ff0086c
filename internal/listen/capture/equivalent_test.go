package capture

import (
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"undersong/internal/judge/engine"
	"undersong/internal/judge/finding"
	"undersong/internal/judge/rules"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/play/mistakes"
	"undersong/internal/play/performer"
	"undersong/internal/sheet/score"
)

// What is captured is measured against what was meant: a simulated player plays a
// pattern over known chords, and the captured pattern must ask for the same.
//
// Equivalent means, over testTune in a key in which nothing was played:
//   - the same strokes: each hand strikes at the same places (within a tenth of a
//     beat, so that a swing of 3:2 heard as 2:1 counts as the same place);
//   - a demonstration of the captured pattern, judged as the shipped one, brings no
//     correction but about lengths and balance;
//   - a demonstration of the shipped pattern, judged as the captured one, neither.
//
// Where the meter was not told each pattern is laid over a chart in its own meter,
// with chords that last as long: a bar of 4/4 heard as two of 2/4 is equivalent if
// all that holds. Where it was told, bars must be bars.

const testTune = "C F G7 Am Dm7 E7 Cmaj7 C"

// differs says what keeps a captured pattern from being equivalent; "" where it is.
func (r *trial) differs(t testing.TB) string {
	t.Helper()
	m := meterOf(r.p)
	here, there := barsAlike(r)
	if here == 0 || r.told.meter && (here != 1 || there != 1) {
		return fmt.Sprintf("bars of %s that are %.2f as long", r.got.Pattern.Meter, r.barRatio())
	}
	tempo := meter.Tempo(100)
	bar := tempo.Duration(m.Bar(), m).Seconds() * float64(here) / float64(there)
	own := r.got.Pattern.Meter
	key := pitch.Key{Tonic: pitch.NoteAtFifths(-1)} // F
	a, err := score.Build(tuneOf(t, testTune, m, here), r.p, score.Options{Key: &key, Tempo: tempo})
	require.NoError(t, err)
	ownTempo := meter.Tempo(60 * float64(own.Beats()) / bar)
	b, err := score.Build(tuneOf(t, testTune, own, there), r.got.Pattern, score.Options{Key: &key, Tempo: ownTempo})
	if err != nil {
		return err.Error()
	}
	if d := otherPlaces(a, b); d != "" {
		return d
	}
	if d := corrections(a, b); d != "" {
		return "judged as shipped: " + d
	}
	if d := corrections(b, a); d != "" {
		return "shipped judged as captured: " + d
	}
	return ""
}

// barRatio is how long a captured bar lasts against one as written.
func (r *trial) barRatio() float64 {
	want, own := meterOf(r.p), r.got.Pattern.Meter
	return float64(r.got.Tempo.Duration(own.Bar(), own)) / float64(r.tempo.Duration(want.Bar(), want))
}

// barsAlike is how many bars as written last as long as how many captured ones; 0
// where up to four do not.
func barsAlike(r *trial) (here, there int) {
	best := 0.12
	for n := 1; n <= MostBars; n++ {
		for m := 1; m <= MostBars; m++ {
			if off := math.Abs(r.barRatio()*float64(m)/float64(n) - 1); off < best-1e-3 {
				best, here, there = off, n, m
			}
		}
	}
	return here, there
}

// otherPlaces compares strokes by their share of the tune.
func otherPlaces(a, b *score.Score) string {
	if len(a.Wants) != len(b.Wants) {
		return fmt.Sprintf("%d strokes for %d", len(b.Wants), len(a.Wants))
	}
	scale := float64(a.Length) / float64(b.Length)
	for i := range a.Wants {
		x, y := &a.Wants[i], &b.Wants[i]
		if x.Hand != y.Hand || math.Abs(float64(x.At)-scale*float64(y.At)) > float64(a.Meter.Beat())/10 {
			return fmt.Sprintf("bar %d: a stroke at beat %g of the %s hand for %g of the %s", x.Bar+1, y.Beat, y.Hand, x.Beat, x.Hand)
		}
	}
	return ""
}

// corrections is the first thing that is told of a demonstration of played when it
// is judged as wanted.
func corrections(wanted, demonstrated *score.Score) string {
	e := engine.New(wanted, engine.Options{Level: rules.Gentle, Start: time.Second})
	p, err := mistakes.Play(demonstrated, performer.Habits{}, mistakes.Plan{Start: time.Second}, 1)
	if err != nil {
		return err.Error()
	}
	var told string
	look := func(all []finding.Finding) {
		for i := range all {
			switch f := &all[i]; f.Kind {
			case finding.Right, finding.Short, finding.Blurred, finding.Balance:
			default:
				if told == "" {
					told = fmt.Sprintf("%+v", *f)
				}
			}
		}
	}
	for _, ev := range p.Events {
		look(e.Feed(ev))
	}
	look(e.Finish(time.Hour))
	return told
}
