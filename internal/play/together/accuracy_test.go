package together

import (
	"flag"
	"fmt"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/meter"
	"undersong/internal/play/performer"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
	"undersong/internal/test/reduced"
)

var seedsFlag = flag.Int("seeds", 1, "how many seeds the accuracy table is made from")

const bars = "| C | F | G7 | C | Am | Dm7 | G7 | C | C/E | F | Bdim | Em | F | C | Csus4 | C |"

// manner is a way of keeping time.
type manner struct {
	name         string
	walk, rubato float64
	course       performer.Course
	most         time.Duration // half of the strokes that meet no stroke of the player's are no farther off
}

// manners are steady playing; a tempo that walks freely; one that goes up by 30 percent
// over four bars, down to 30 percent under over four more, and back; and rubati.
func manners() []manner {
	up := performer.Course{Tempo: []performer.TempoMark{
		{At: 0, Share: 1}, {At: 4 * meter.Whole, Share: 1.3}, {At: 8 * meter.Whole, Share: 0.7}, {At: 12 * meter.Whole, Share: 1},
	}}
	const ms = time.Millisecond
	return []manner{
		{"steady", 0, 0, performer.Course{}, 30 * ms},
		{"walks 2 %", 0.02, 0, performer.Course{}, 30 * ms},
		{"walks 4 %", 0.04, 0, performer.Course{}, 35 * ms},
		{"drifts 30 %", 0.02, 0, up, 35 * ms},
		{"rubato 15 %", 0.02, 0.15, performer.Course{}, 50 * ms},
		{"rubato 30 %", 0.02, 0.3, performer.Course{}, 70 * ms},
	}
}

// everyPart visits each shipped pattern that has two hands, and lets each in turn be
// the player's.
func everyPart(t *testing.T, visit func(s *score.Score, hand pattern.Hand, seed uint64)) {
	for i, p := range material.Catalogue(t).Of(pattern.Accompaniment) {
		m := p.Meter
		if p.AnyMeter() {
			m = meter.Known()[i%6]
		}
		c := material.Chart(t, "title: T\nkey: C\nmeter: "+m.String()+"\n\n"+bars+"\n")
		if p.PlaysTune() {
			material.Sing(c)
		}
		for seed := range *seedsFlag {
			s, err := score.Build(c, p, score.Options{Tempo: []meter.Tempo{60, 92, 132}[(i+seed)%3]})
			require.NoError(t, err)
			for _, hand := range []pattern.Hand{pattern.Left, pattern.Right} {
				if plays(s, hand) && plays(s, 1-hand) {
					visit(s, hand, uint64(seed))
				}
			}
		}
	}
}

func plays(s *score.Score, hand pattern.Hand) bool {
	return slices.ContainsFunc(s.Wants, func(w score.Want) bool { return w.Hand == hand })
}

// quantile is the value that a share of all does not exceed.
func quantile(all []time.Duration, share float64) time.Duration {
	slices.Sort(all)
	return all[int(share*float64(len(all)-1))]
}

// TestAccuracy measures how far a partner is from where the player's own other hand
// would have been. Players of an ensemble are 30 to 50 ms apart (Rasch 1979, Acustica
// 43). The simulated player is invented.
func TestAccuracy(t *testing.T) {
	human, err := performer.Human("steady")
	require.NoError(t, err)
	table := fmt.Sprintf("\n%-12s %8s %8s %6s %9s %7s %5s %9s %7s %5s %9s %7s %5s\n", "", "strokes", "left out", "wrong", "meeting", "median", "p90", "between", "median", "p90", "all", "median", "p90")
	for _, m := range manners() {
		human.TempoWalk, human.Rubato = m.walk, m.rubato
		var all heard
		everyPart(t, func(s *score.Score, hand pattern.Hand, seed uint64) {
			all.add(perform(s, hand, human, m.course, seed).through(t).compare())
		})
		table += fmt.Sprintf("%-12s %8d %8d %6d", m.name, all.strokes, all.left, all.wrong)
		every := slices.Concat(all.meeting, all.apart)
		for _, off := range [][]time.Duration{all.meeting, all.apart, every} {
			table += fmt.Sprintf(" %9d %7d %5d", len(off), quantile(off, 0.5).Milliseconds(), quantile(off, 0.9).Milliseconds())
		}
		table += "\n"
		rows(m.name, &all, m.most)
		assert.LessOrEqual(t, quantile(all.meeting, 0.5), 30*time.Millisecond, m.name)
		assert.LessOrEqual(t, quantile(all.meeting, 0.9), 80*time.Millisecond, m.name)
		assert.LessOrEqual(t, quantile(all.apart, 0.5), m.most, m.name)
		if m.rubato == 0 {
			assert.LessOrEqual(t, quantile(every, 0.5), 30*time.Millisecond, m.name)
			assert.LessOrEqual(t, quantile(every, 0.9), 80*time.Millisecond, m.name)
			assert.Zero(t, all.wrong, m.name)
		}
		if m.rubato < 0.3 {
			assert.Less(t, float64(all.wrong), 0.001*float64(all.strokes), m.name)
			assert.Less(t, float64(all.left), 0.01*float64(all.strokes), m.name)
		}
	}
	t.Log(table)
}

// rows hands on how much of a part was played, and how much of that in time: within 30 ms
// where it meets the player's strokes, within a manner's median between them.
func rows(name string, all *heard, most time.Duration) {
	within := func(offs []time.Duration, most time.Duration) (n float64) {
		for _, off := range offs {
			if off <= most {
				n++
			}
		}
		return n
	}
	of := float64(all.strokes)
	reduced.Row(name+": played", of-float64(all.left), of)
	reduced.Row(name+": right of what was played", of-float64(all.left), of-float64(all.left)+float64(all.wrong))
	reduced.Row(name+": with the player", within(all.meeting, 30*time.Millisecond), float64(len(all.meeting)))
	reduced.Row(name+": in time between", within(all.apart, most), float64(len(all.apart)))
}

// TestAccuracyAfterBreaks measures the same where the player stops in a bar and begins
// it again, goes back a bar, and waits for four seconds. The follower then needs some
// strokes to be sure, and the notes that lie between the player's last stroke and the
// next have sounded when a stop is heard as one.
func TestAccuracyAfterBreaks(t *testing.T) {
	human, err := performer.Human("steady")
	require.NoError(t, err)
	human.TempoWalk = 0.02
	var all heard
	everyPart(t, func(s *score.Score, hand pattern.Hand, seed uint64) {
		bar := s.Meter.Bar()
		breaks := []performer.Break{
			{At: 5*bar + bar/2, To: 5 * bar, Gap: time.Second},
			{At: 9 * bar, To: 8 * bar, Gap: 300 * time.Millisecond},
			{At: 12*bar + bar/2, To: 12*bar + bar/2, Gap: 4 * time.Second},
		}
		all.add(perform(s, hand, human, performer.Course{}, seed, breaks...).through(t).compare())
	})
	t.Logf("three breaks each: %d strokes, left out %d, more than a beat from theirs %d; meeting: median %d, p90 %d ms", all.strokes, all.left, all.wrong,
		quantile(all.meeting, 0.5).Milliseconds(), quantile(all.meeting, 0.9).Milliseconds())
	rows("three breaks", &all, 35*time.Millisecond)
	assert.LessOrEqual(t, float64(all.wrong), 0.1*float64(all.strokes))
	assert.LessOrEqual(t, float64(all.left), 0.2*float64(all.strokes))
	assert.LessOrEqual(t, quantile(all.meeting, 0.9), 80*time.Millisecond)
}
