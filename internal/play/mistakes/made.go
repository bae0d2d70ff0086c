package mistakes

import (
	"sort"
	"time"

	"undersong/internal/music/meter"
)

// made is a mistake with the place that tells its time.
type made struct {
	fault  Fault
	pos    meter.Ticks
	until  meter.Ticks // the place to which it must be played without a break
	stroke int         // whose first note is its time; where that was not played, pos tells
	leaves int         // of the order of things: the number of its break; else -1
}

// put records a fault that concerns some wants, the first of which leads.
func (t *planter) put(f Fault, wants ...int) {
	lead := &t.s.Wants[wants[0]]
	f.Want, f.Also = wants[0], wants[1:]
	f.Bar, f.Beat = t.beatOf(lead.At)
	f.Hand = lead.Hand.String()
	until := lead.At + 1
	for _, i := range wants {
		t.touched[i] = true
		until = max(until, t.s.Wants[i].At+1)
		if t.s.Wants[i].Hand != lead.Hand {
			f.Hand = "both"
		}
	}
	t.made = append(t.made, made{f, lead.At, until, f.Want, -1})
}

// beatOf is a place's bar as printed and its beat.
func (t *planter) beatOf(pos meter.Ticks) (bar int, beat float64) {
	b := &t.s.Bars[t.s.BarAt(pos)]
	return b.Number, t.s.Meter.BeatAt(pos - b.At)
}

// untouched reports wants that bear no mistake yet.
func (t *planter) untouched(wants []int) bool {
	for _, i := range wants {
		if t.touched[i] {
			return false
		}
	}
	return true
}

// truth tells the faults with the times at which they were made.
func (t *planter) truth() []Fault {
	var faults []Fault
	for _, m := range t.made {
		if !t.happens(m) {
			continue
		}
		m.fault.At = t.timeOf(m)
		faults = append(faults, m.fault)
	}
	sort.SliceStable(faults, func(i, j int) bool { return faults[i].At < faults[j].At })
	return faults
}

// happens reports a mistake whose place the player comes to.
func (t *planter) happens(m made) bool {
	if m.leaves >= 0 {
		_, reached := t.take.GoesOn(m.leaves)
		return reached
	}
	return t.take.Reaches(m.pos, m.until)
}

func (t *planter) timeOf(m made) time.Duration {
	if m.leaves >= 0 {
		at, _ := t.take.GoesOn(m.leaves)
		return at
	}
	return t.take.TimeOf(m.stroke, m.pos)
}
