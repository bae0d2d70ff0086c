package capture

import (
	"cmp"
	"slices"

	"undersong/internal/sheet/pattern"
)

func median(v []float64) float64 {
	if len(v) == 0 {
		return 0
	}
	slices.Sort(v)
	return (v[(len(v)-1)/2] + v[len(v)/2]) / 2
}

// loud is how loud a stroke of the pattern was, in the middle of its repetitions.
type loud struct {
	hand     pattern.Hand
	cell     int
	velocity float64
}

// accents marks the strokes that stand out: those above the widest gap between the
// loudnesses of the pattern's strokes, where that is wide enough.
func (w *writer) accents() {
	all := w.loudness()
	cut, gap := 0, 0.0
	for i := 1; i < len(all); i++ {
		if d := all[i].velocity - all[i-1].velocity; d > gap {
			cut, gap = i, d
		}
	}
	if cut == 0 || float64(len(all)-cut) > mostAccents*float64(len(all)) || !standOut(all[:cut], all[cut:], gap) {
		return
	}
	for _, l := range all[cut:] {
		w.p.Rows[l.hand][l.cell].Accent = true
	}
}

// loudness lists the strokes, the softest first.
func (w *writer) loudness() []loud {
	var all []loud
	for h, row := range w.p.Rows {
		for _, i := range strikes(row) {
			var v []float64
			for _, st := range w.strokesAt(pattern.Hand(h), i) {
				v = append(v, st.velocity())
			}
			if len(v) > 0 {
				all = append(all, loud{pattern.Hand(h), i, median(v)})
			}
		}
	}
	slices.SortStableFunc(all, func(a, b loud) int { return cmp.Compare(a.velocity, b.velocity) })
	return all
}

// standOut reports strong strokes that are accents: louder than quiet ones of their
// own hand, or much louder where all the quiet ones are the other's.
func standOut(quiet, strong []loud, gap float64) bool {
	need := louderHand
	for _, l := range strong {
		if slices.ContainsFunc(quiet, func(q loud) bool { return q.hand == l.hand }) {
			need = louder
		}
	}
	return mean(strong)-mean(quiet) >= need && gap >= need/2
}

func mean(all []loud) float64 {
	sum := 0.0
	for _, l := range all {
		sum += l.velocity
	}
	return sum / float64(len(all))
}
