package capture

import (
	"cmp"
	"math"
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

// loud is how loud a stroke of the pattern was: each time, and in the middle of its
// repetitions.
type loud struct {
	hand     pattern.Hand
	cell     int
	each     []float64
	velocity float64
}

// accents marks the strokes that stand out: those above the widest gap between the
// loudnesses of the pattern's strokes, where that is wide enough, and where they
// stand out too often for chance.
func (w *writer) accents() {
	all := w.loudness()
	cut, gap := 0, 0.0
	for i := 1; i < len(all); i++ {
		if d := all[i].velocity - all[i-1].velocity; d > gap {
			cut, gap = i, d
		}
	}
	if cut == 0 || float64(len(all)-cut) > mostAccents*float64(len(all)) || !standOut(all[:cut], all[cut:], gap) || !meant(all[:cut], all[cut:]) {
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
				all = append(all, loud{pattern.Hand(h), i, v, median(v)})
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

// meant reports strong strokes that two loudnesses explain better than one does, by
// more than it costs to name them: what was played once, or now loud and now soft, is
// no accent to be asked for. Velocities are Gaussian about their mean, of a spread that
// is known a little beforehand (common practice).
func meant(quiet, strong []loud) bool {
	one, n := scatter(append(slices.Clone(quiet), strong...))
	low, _ := scatter(quiet)
	high, _ := scatter(strong)
	const known = touchKnown * touchSpread * touchSpread
	better := (float64(n) + touchKnown) / 2 * math.Log((one+known)/(low+high+known))
	return better >= accentsCost+perAccent*float64(len(strong))
}

// scatter is the sum of the squared distances of n velocities from their mean.
func scatter(all []loud) (sum float64, n int) {
	mean := 0.0
	for _, l := range all {
		for _, v := range l.each {
			n++
			mean += (v - mean) / float64(n)
		}
	}
	for _, l := range all {
		for _, v := range l.each {
			sum += (v - mean) * (v - mean)
		}
	}
	return sum, n
}

func mean(all []loud) float64 {
	sum := 0.0
	for _, l := range all {
		sum += l.velocity
	}
	return sum / float64(len(all))
}
