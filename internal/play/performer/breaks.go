package performer

import (
	"time"

	"undersong/internal/music/meter"
)

// Break is a place at which, the first time that it is reached, playing goes on
// elsewhere.
type Break struct {
	At, To  meter.Ticks
	Gap     time.Duration // the silence in between
	segment int           // the segment after it, counted from 1; 0 where it is not reached
}

// Break leaves the order of the score and returns the break's number.
func (t *Take) Break(b Break) int {
	t.breaks = append(t.breaks, b)
	return len(t.breaks) - 1
}

// GoesOn is when playing goes on after a break; reached reports that it does.
func (t *Take) GoesOn(number int) (at time.Duration, reached bool) {
	t.layPath()
	segment := t.breaks[number].segment
	if segment == 0 {
		return 0, false
	}
	return t.path[segment-1].start, true
}

// Reaches reports that the player comes to a place and, the first time, plays on
// from there to another without a break.
func (t *Take) Reaches(pos, until meter.Ticks) bool {
	t.layPath()
	for i := range t.path {
		if sg := &t.path[i]; pos >= sg.from && pos < sg.to {
			return until <= sg.to
		}
	}
	return false
}

// TimeOf is when a stroke was first struck; of one that was not, when its place
// would have sounded.
func (t *Take) TimeOf(stroke int, pos meter.Ticks) time.Duration {
	for i := range t.played {
		if p := &t.played[i]; p.index == stroke && p.visit == 0 {
			return p.at()
		}
	}
	for i := range t.path {
		if sg := &t.path[i]; pos >= sg.from && pos < sg.to {
			return t.nominal(sg, pos)
		}
	}
	return 0
}
