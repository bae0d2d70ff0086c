package simulate

import (
	"sort"
	"time"

	"undersong/internal/meter"
)

// made is a mistake with the place that tells its time.
type made struct {
	fault  Fault
	pos    meter.Ticks
	stroke int // whose first note is its time; where that was not played, pos tells
}

// put records a fault that concerns some wants, the first of which leads.
func (t *take) put(f Fault, wants ...int) {
	lead := &t.s.Wants[wants[0]]
	f.Want, f.Also = wants[0], wants[1:]
	f.Bar, f.Beat = t.beatOf(lead.At)
	f.Hand = lead.Hand.String()
	for _, i := range wants {
		t.touched[i] = true
		if t.s.Wants[i].Hand != lead.Hand {
			f.Hand = "both"
		}
	}
	t.made = append(t.made, made{f, lead.At, f.Want})
}

// beatOf is a place's bar as printed and its beat.
func (t *take) beatOf(pos meter.Ticks) (bar int, beat float64) {
	b := &t.s.Bars[t.s.BarAt(pos)]
	return b.Number, t.s.Meter.BeatAt(pos - b.At)
}

// untouched reports wants that bear no mistake yet.
func (t *take) untouched(wants []int) bool {
	for _, i := range wants {
		if t.touched[i] {
			return false
		}
	}
	return true
}

// truth tells the faults with the times at which they were made.
func (t *take) truth() []Fault {
	var faults []Fault
	for _, m := range t.made {
		m.fault.At = t.timeOf(m)
		faults = append(faults, m.fault)
	}
	sort.SliceStable(faults, func(i, j int) bool { return faults[i].At < faults[j].At })
	return faults
}

func (t *take) timeOf(m made) time.Duration {
	for i := range t.played {
		if p := &t.played[i]; p.index == m.stroke && p.visit == 0 {
			return p.at()
		}
	}
	for i := range t.path {
		if sg := &t.path[i]; m.pos >= sg.from && m.pos < sg.to {
			return t.nominal(sg, m.pos)
		}
	}
	return 0
}
