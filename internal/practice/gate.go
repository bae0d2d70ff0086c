package practice

import (
	"slices"

	"undersong/internal/coach"
	"undersong/internal/follow"
	"undersong/internal/score"
)

// place is a bar in a pass.
type place struct{ pass, bar int }

// gate lets one correction through in a bar: one about each bar, and one while
// each bar is played. A player who hears more listens to none.
type gate struct {
	about, during []place // where one was let through; the latest few
	wrong, right  map[place]bool
	settled       int // bars of the take, through all passes, that were looked back at
}

// choose is the finding to be told, the most important of those given, or nil.
func (g *gate) choose(found []coach.Finding, now follow.Position) *coach.Finding {
	var worst *coach.Finding
	for i := range found {
		f := &found[i]
		g.note(f)
		if f.Kind != coach.Right && (worst == nil || f.Kind > worst.Kind) {
			worst = f
		}
	}
	if worst == nil {
		return nil
	}
	about, during := place{worst.Pass, worst.Bar}, place{now.Pass, now.Bar}
	if slices.Contains(g.about, about) || slices.Contains(g.during, during) {
		return nil
	}
	g.about, g.during = keep(g.about, about), keep(g.during, during)
	return worst
}

func (g *gate) note(f *coach.Finding) {
	if g.wrong == nil {
		g.wrong, g.right = map[place]bool{}, map[place]bool{}
	}
	at := place{f.Pass, f.Bar}
	if f.Kind == coach.Right {
		g.right[at] = true
	} else {
		g.wrong[at] = true
	}
}

// wellPlayed lists the printed numbers of bars that went well, each one time.
// bars counts those of the take, through all passes, about which everything is
// known.
func (g *gate) wellPlayed(bars int, s *score.Score) []int {
	var well []int
	for ; g.settled < bars; g.settled++ {
		at := place{g.settled / len(s.Bars), g.settled % len(s.Bars)}
		if g.right[at] && !g.wrong[at] {
			well = append(well, s.Bars[at.bar].Number)
		}
		delete(g.right, at)
		delete(g.wrong, at)
	}
	return well
}

// remembered is how many bars back a correction may still come.
const remembered = 8

func keep(list []place, p place) []place {
	list = append(list, p)
	return list[max(0, len(list)-remembered):]
}
