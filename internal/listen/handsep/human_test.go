package handsep

import (
	"fmt"
	"hash/fnv"
	"math/rand/v2"
	"sort"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/test/golden"
	"undersong/internal/test/material"
	"undersong/internal/test/reduced"
	"undersong/internal/test/sounding"
)

// bend is what becomes of a stroke of several keys.
type bend struct {
	name  string
	share float64 // how many strokes are bent
	keys  func(r *rand.Rand, notes []sounding.Note)
}

// bends are ways to play otherwise than written. Which hand struck what is known,
// whatever it struck.
var bends = []bend{
	{"as written", 0, nil},
	{"slips", 0.3, func(r *rand.Rand, notes []sounding.Note) {
		notes[r.IntN(len(notes))].Key += []pitch.Num{-2, -1, 1, 2}[r.IntN(4)]
	}},
	{"left out", 0.3, func(r *rand.Rand, notes []sounding.Note) { notes[r.IntN(len(notes))].Velocity = 0 }},
	{"hand elsewhere", 0.3, func(r *rand.Rand, notes []sounding.Note) {
		by := []pitch.Num{-7, -5, 5, 7}[r.IntN(4)]
		for i := range notes {
			notes[i].Key += by
		}
	}},
	{"turned over", 0.3, func(_ *rand.Rand, notes []sounding.Note) {
		if len(notes) > 1 {
			notes[0].Key += 12
		}
	}},
}

// result is how many of the notes were given to the hand that struck them.
type result struct{ notes, right int }

// play plays a score once, with fingers that are 9 ms apart (standard deviation),
// and separates its onsets. told gets the hands of each.
func play(b *bench, bend bend, seed uint64, told func(string)) (all result) {
	r := rand.New(rand.NewPCG(seed, 1))
	take := sounding.Exact(b.score)
	sort.SliceStable(take.Notes, func(i, j int) bool { return take.Notes[i].At < take.Notes[j].At })
	for from := 0; from < len(take.Notes); {
		to := from
		for ; to < len(take.Notes) && take.Notes[to].At == take.Notes[from].At; to++ {
		}
		onset := take.Notes[from:to]
		from = to
		for i := 0; i < len(onset); {
			n := i + 1
			for ; n < len(onset) && onset[n].Hand == onset[i].Hand; n++ {
			}
			if r.Float64() < bend.share {
				bend.keys(r, onset[i:n])
			}
			i = n
		}
		b.open(b.barAt(onset[0].Bar), onset[0].Beat)
		b.hear(r, onset, &all)
		told(b.who())
	}
	return all
}

func (b *bench) barAt(number int) int {
	for i := range b.score.Bars {
		if b.score.Bars[i].Number == number {
			return i + 1
		}
	}
	return 0
}

// hear strikes an onset as fingers do, and judges it as it is judged: told at once
// where it is sure, the rest when it is over.
func (b *bench) hear(r *rand.Rand, onset []sounding.Note, all *result) {
	for i := range onset {
		onset[i].At += time.Duration(r.NormFloat64() * 9 * float64(ms))
	}
	sort.SliceStable(onset, func(i, j int) bool { return onset[i].At < onset[j].At })
	for _, n := range onset {
		if n.Velocity == 0 || !b.Onset.Add(Strike{Key: n.Key, Velocity: n.Velocity, At: n.At}) {
			continue
		}
		b.Assign()
		for _, h := range b.Hands {
			if b.Sure(h) {
				b.told(h.Which)
			}
		}
	}
	b.Reconsider()
	b.Reclaim()
	for _, h := range b.Hands {
		if !h.Free() && !b.Unasked(h) && b.Onset.hasFresh(h.Which) {
			b.told(h.Which)
		}
	}
	for _, n := range onset {
		for _, s := range b.Onset.Notes() {
			if n.Velocity > 0 && s.Key == n.Key && s.At == n.At {
				all.notes++
				if s.Hand == n.Hand {
					all.right++
				}
			}
		}
	}
}

// Human fingers on every pattern: how many notes are given to the hand that struck
// them, and a sum over who struck what.
func TestHandsOfHumanPlaying(t *testing.T) {
	var table strings.Builder
	var sums [5]result
	for i, p := range material.Catalogue(t).Of(pattern.Accompaniment) {
		m := p.Meter
		if p.AnyMeter() {
			m = meter.Known()[i%6]
		}
		if i%reduced.By() > 0 {
			continue
		}
		fmt.Fprintf(&table, "%-24s", p.Name)
		for k, bend := range bends {
			hash := fnv.New32a()
			b := newBench(t, m.String(), "| C | F | G7 | Am | Dm7 | Bdim | C/E | F |", p.Name)
			got := play(b, bend, uint64(i), func(who string) { hash.Write([]byte(who)) })
			sums[k].notes += got.notes
			sums[k].right += got.right
			fmt.Fprintf(&table, " %4d of %4d %08x", got.right, got.notes, hash.Sum32())
		}
		table.WriteString("\n")
	}
	for k, bend := range bends {
		fmt.Fprintf(&table, "%s: %d of %d\n", bend.name, sums[k].right, sums[k].notes)
		reduced.Row(bend.name, float64(sums[k].right), float64(sums[k].notes))
	}
	assert.GreaterOrEqual(t, float64(sums[0].right), 0.998*float64(sums[0].notes), "what is played as written is hardly ever given to the other hand")
	if reduced.By() == 1 {
		golden.Equal(t, "hands.txt", table.String())
	}
}
