package practice

import (
	"slices"

	"undersong/internal/judge/finding"
	"undersong/internal/session/sitting"
)

// place is a bar, by its index in the piece, at one time of playing it.
type place struct {
	turn sitting.Turn
	bar  int
}

// gate lets one correction through in a bar: one about each bar, and one while
// each bar is played. A player who hears more listens to none. It also knows which
// mistakes came before, so that nobody is told the same thing twice at length.
type gate struct {
	turns         sitting.Turns
	about, during []place // where one was let through; the latest few
	open          []visit // bars that were not looked back at yet
	known         map[fault]*record
}

// visit is how one time of playing a bar went so far.
type visit struct {
	place
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
	before int   // times before the last
	last   place // where it came last
}

// again begins a round after a break. The bar that was being played is never
// looked back at: it was not finished.
func (g *gate) again() {
	g.turns.Again()
	g.dropLast()
}

func (g *gate) dropLast() { g.open = g.open[:max(0, len(g.open)-1)] }

// turn is the turn of a finding made in a pass, counted through all takes.
func (g *gate) turn(f *finding.Finding, pass int) sitting.Turn {
	round := g.turns.Round()
	turn := g.turns.Of(f, pass)
	if turn.Round != round {
		g.dropLast() // the player went back in the middle of it
	}
	return turn
}

// note takes a finding, and returns how often the same came before.
func (g *gate) note(k finding.Kind, part finding.Part, at place, number int) int {
	v := g.visit(at, number)
	if k == finding.Right {
		v.right = true
		return 0
	}
	v.wrong = true
	if g.known == nil {
		g.known = map[fault]*record{}
	}
	f := fault{number, k, part}
	r := g.known[f]
	switch {
	case r == nil:
		r = &record{last: at}
		g.known[f] = r
	case r.last != at:
		r.before, r.last = r.before+1, at
	}
	return r.before
}

// visit is the open visit to a place, made where there is none.
func (g *gate) visit(at place, number int) *visit {
	for i := range g.open {
		if g.open[i].place == at {
			return &g.open[i]
		}
	}
	g.open = append(g.open, visit{place: at, number: number})
	return &g.open[len(g.open)-1]
}

// choose is the finding to be told while a bar is played, the most important of
// those given, or nil.
func (g *gate) choose(found []sitting.Item, first int, now place) *sitting.Item {
	var worst *sitting.Item
	for i := range found {
		if k := found[i].Finding.Kind; k != finding.Right && (worst == nil || k > worst.Finding.Kind) {
			worst = &found[i]
		}
	}
	if worst == nil {
		return nil
	}
	about := place{sitting.Turn{Round: now.turn.Round, Pass: worst.Pass}, first + worst.Finding.Bar}
	if slices.Contains(g.about, about) || slices.Contains(g.during, now) {
		return nil
	}
	g.about, g.during = keep(g.about, about), keep(g.during, now)
	return worst
}

// settle takes the visits that are over, in the order of the piece: all that are
// done, and those of earlier rounds.
func (g *gate) settle(done func(place) bool) []visit {
	var over []visit
	round := g.turns.Round()
	g.open = slices.DeleteFunc(g.open, func(v visit) bool {
		gone := v.turn.Round < round || done(v.place)
		if gone {
			over = append(over, v)
		}
		return gone
	})
	slices.SortStableFunc(over, func(a, b visit) int {
		if a.turn != b.turn {
			if a.turn.Before(b.turn) {
				return -1
			}
			return 1
		}
		return a.bar - b.bar
	})
	return over
}

// mended reports a bar that went well where something was wrong before, and
// forgets that.
func (g *gate) mended(v *visit) bool {
	any := false
	for f := range g.known {
		if f.number == v.number {
			any = true
			delete(g.known, f)
		}
	}
	return any
}

// remembered is how many bars back a correction may still come.
const remembered = 8

func keep(list []place, p place) []place {
	list = append(list, p)
	return list[max(0, len(list)-remembered):]
}
