package sitting

import (
	"slices"

	"undersong/internal/judge/finding"
)

// Place is a bar, by its index in the piece, at one time of playing it.
type Place struct {
	Turn Turn
	Bar  int
}

// Gate lets one correction through in a bar: one about each bar, and one while
// each bar is played. A player who hears more listens to none. Every face that does
// not tell all has a gate of its own.
type Gate struct {
	// After is for corrections that come when a pass is over: one about each bar of
	// it, the most important kind first, and the earlier bar first among equals.
	After bool
	// Sing is for somebody who accompanies a singer: where the music did not go on is
	// always told, and what a singer hardly hears by itself, like corrections After.
	Sing bool

	about, during []Place // where one was let through; the latest few
}

// Choose is what is to be told of what came at one moment. It is never what was
// right.
func (g *Gate) Choose(found []Item) []Item {
	if g.After || g.Sing && Inner(found) {
		return worstFirst(found)
	}
	var worst *Item
	for i := range found {
		if k := found[i].Finding.Kind; k != finding.Right && (worst == nil || k > worst.Finding.Kind) {
			worst = &found[i]
		}
	}
	if worst != nil && worst.Finding.Kind.By(finding.Flow) {
		return []Item{*worst}
	}
	if worst == nil || slices.Contains(g.about, worst.About) || slices.Contains(g.during, worst.During) {
		return nil
	}
	g.about, g.during = keep(g.about, worst.About), keep(g.during, worst.During)
	return []Item{*worst}
}

// Inner reports that all is about notes within chords.
func Inner(all []Item) bool {
	return !slices.ContainsFunc(all, func(i Item) bool { return !i.Finding.Kind.Inner() })
}

// Remembered is how many bars back a correction may still come.
const Remembered = 8

func keep(list []Place, p Place) []Place {
	list = append(list, p)
	return list[max(0, len(list)-Remembered):]
}

// Correction is the one that a gate lets through, of all that are to be read still; nil
// for none.
func (t *Told) Correction(g Gate) *Item {
	var now *Item
	for n, moment := range t.Found {
		if chosen := g.Choose(moment); len(chosen) > 0 {
			now = nil
			if n >= len(t.Found)-t.Fresh {
				now = &chosen[0]
			}
		}
	}
	return now
}

func worstFirst(all []Item) []Item {
	var worst []Item
	for _, i := range all {
		if i.Finding.Kind == finding.Right {
			continue
		}
		n := slices.IndexFunc(worst, func(w Item) bool { return w.About == i.About })
		switch {
		case n < 0:
			worst = append(worst, i)
		case i.Finding.Kind > worst[n].Finding.Kind:
			worst[n] = i
		}
	}
	slices.SortStableFunc(worst, func(a, b Item) int {
		if a.Finding.Kind != b.Finding.Kind {
			return int(b.Finding.Kind) - int(a.Finding.Kind)
		}
		return a.Finding.Bar - b.Finding.Bar
	})
	return worst
}
