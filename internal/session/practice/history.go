package practice

import (
	"slices"

	"undersong/internal/judge/finding"
	"undersong/internal/session/sitting"
)

// history is how the bars went so far: which mistakes came before, so that nobody is
// told the same thing twice at length, and which bars are still to be looked back at.
type history struct {
	turns sitting.Turns
	open  []visit // bars that were not looked back at yet
	known map[fault]*record
}

// visit is how one time of playing a bar went so far.
type visit struct {
	sitting.Place
	number       int // as printed
	right, wrong bool
}

// fault is what makes two mistakes the same: a kind in a printed bar by a hand.
type fault struct {
	number int
	kind   finding.Kind
	part   finding.Part
}

// record is how often a fault came since the bar was last right.
type record struct {
	before int           // times before the last
	last   sitting.Place // where it came last
}

// again begins a round after a break. The bar that was being played is never
// looked back at: it was not finished.
func (h *history) again() {
	h.turns.Again()
	h.dropLast()
}

func (h *history) dropLast() { h.open = h.open[:max(0, len(h.open)-1)] }

// turn is the turn of a finding made in a pass, counted through all takes.
func (h *history) turn(f *finding.Finding, pass int) sitting.Turn {
	round := h.turns.Round()
	turn := h.turns.Of(f, pass)
	if turn.Round != round {
		h.dropLast() // the player went back in the middle of it
	}
	return turn
}

// note takes a finding, and returns how often the same came before.
func (h *history) note(k finding.Kind, part finding.Part, at sitting.Place, number int) int {
	v := h.visit(at, number)
	if k == finding.Right {
		v.right = true
		return 0
	}
	v.wrong = true
	if h.known == nil {
		h.known = map[fault]*record{}
	}
	f := fault{number, k, part}
	r := h.known[f]
	switch {
	case r == nil:
		r = &record{last: at}
		h.known[f] = r
	case r.last != at:
		r.before, r.last = r.before+1, at
	}
	return r.before
}

// visit is the open visit to a place, made where there is none.
func (h *history) visit(at sitting.Place, number int) *visit {
	for i := range h.open {
		if h.open[i].Place == at {
			return &h.open[i]
		}
	}
	h.open = append(h.open, visit{Place: at, number: number})
	return &h.open[len(h.open)-1]
}

// settle takes the visits that are over, in the order of the piece: all that are
// done, and those of earlier rounds.
func (h *history) settle(done func(sitting.Place) bool) []visit {
	var over []visit
	round := h.turns.Round()
	h.open = slices.DeleteFunc(h.open, func(v visit) bool {
		gone := v.Turn.Round < round || done(v.Place)
		if gone {
			over = append(over, v)
		}
		return gone
	})
	slices.SortStableFunc(over, func(a, b visit) int {
		if a.Turn != b.Turn {
			if a.Turn.Before(b.Turn) {
				return -1
			}
			return 1
		}
		return a.Bar - b.Bar
	})
	return over
}

// mended reports a bar that went well where something was wrong before, and
// forgets that.
func (h *history) mended(v *visit) bool {
	any := false
	for f := range h.known {
		if f.number == v.number {
			any = true
			delete(h.known, f)
		}
	}
	return any
}
