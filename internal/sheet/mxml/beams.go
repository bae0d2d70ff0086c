package mxml

import (
	"slices"

	"undersong/internal/music/meter"
)

// beam joins the short notes of each beat, and of half a bar where it is four
// eighths (common practice, no source).
func beam(pieces []Piece, m meter.Meter) {
	for from := 0; from < len(pieces); {
		to := from + 1
		if fourEighths(pieces[from:], m) {
			to = from + 4
		}
		for to < len(pieces) && joined(pieces[from:to+1], m) {
			to++
		}
		if to-from > 1 {
			beams(pieces[from:to])
		}
		from = to
	}
}

// tails is how many beams a note value has.
func (p Piece) tails() int {
	if p.Rest {
		return 0
	}
	return max(0, slices.Index(types, p.Type)-slices.Index(types, "quarter"))
}

// fourEighths reports that the pieces begin with half a bar of eighths.
func fourEighths(pieces []Piece, m meter.Meter) bool {
	half := 2 * m.Beat()
	if len(pieces) < 4 || half != meter.Half || m.Bar()%half != 0 || pieces[0].At%half != 0 {
		return false
	}
	for i, p := range pieces[:4] {
		if p.tails() != 1 || p.Dots > 0 || p.Actual > 0 || p.At != pieces[0].At+meter.Ticks(i)*meter.Eighth {
			return false
		}
	}
	return true
}

// joined reports that the last of the pieces goes under the beam of the others.
func joined(run []Piece, m meter.Meter) bool {
	last, before := run[len(run)-1], run[len(run)-2]
	return last.tails() > 0 && before.tails() > 0 && run[0].At/m.Beat() == last.At/m.Beat()
}

// beams writes the beams of notes that are joined.
func beams(run []Piece) {
	for i := range run {
		for level := 1; level <= run[i].tails(); level++ {
			left := i > 0 && run[i-1].tails() >= level
			right := i < len(run)-1 && run[i+1].tails() >= level
			run[i].Beams = append(run[i].Beams, beamText(left, right, i == 0))
		}
	}
}

func beamText(left, right, first bool) string {
	switch {
	case left && right:
		return "continue"
	case left:
		return "end"
	case right:
		return "begin"
	case first:
		return "forward hook"
	}
	return "backward hook"
}
