package simulate

import (
	"time"

	"undersong/internal/meter"
)

// segment is a stretch of the score played without a break.
type segment struct {
	from, to meter.Ticks
	start    time.Duration // when from sounds
	played   meter.Ticks   // music played before it
}

// nominal is when a place sounds within a segment, before any unevenness.
// Places after the segment's end are told as if it went on.
func (t *take) nominal(sg *segment, pos meter.Ticks) time.Duration {
	return sg.start + t.s.Tempo.Duration(pos-sg.from, t.s.Meter)
}

// layPath gives the segments their times.
func (t *take) layPath() {
	at, played := t.plan.Start, meter.Ticks(0)
	for i := range t.path {
		sg := &t.path[i]
		sg.start, sg.played = at, played
		at = t.nominal(sg, sg.to)
		played += sg.to - sg.from
	}
}

// wanderKeep is how much of the wander around the click is kept from one beat
// to the next.
const wanderKeep = 0.9

// wander lists the distance from the click, in beats, at each beat played.
func (t *take) wander() []float64 {
	last := t.path[len(t.path)-1]
	beats := int((last.played+last.to-last.from)/t.s.Meter.Beat()) + 2
	all := make([]float64, beats)
	if t.h.Drift == 0 {
		return all
	}
	r := t.random(forWander, 0, 0)
	fresh := sqrt(1 - wanderKeep*wanderKeep)
	v := normal(r)
	for i := range all {
		all[i] = clamp(v, -within, within) * t.h.Drift
		v = wanderKeep*v + fresh*normal(r)
	}
	return all
}

// wandered is the distance from the click at a place, in time.
func (t *take) wandered(wander []float64, sg *segment, pos meter.Ticks) time.Duration {
	beat := t.s.Meter.Beat()
	played := sg.played + pos - sg.from
	i := clamp(int(played/beat), 0, len(wander)-2)
	part := clamp(float64(played)/float64(beat)-float64(i), 0, 1)
	v := wander[i] + (wander[i+1]-wander[i])*part
	return time.Duration(v * float64(t.s.Tempo.Duration(beat, t.s.Meter)))
}
