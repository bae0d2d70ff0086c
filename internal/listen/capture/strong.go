package capture

import (
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
)

// weakness of a cell in its bar: 0 for the downbeat, up to 1 off the beat.
func (r *interpretation) weakness(cell int) float64 {
	switch r.meter.Strength(meter.Ticks(cell) * r.ticks) {
	case meter.Downbeat:
		return 0
	case meter.MidBar:
		return weakHalf
	case meter.OnBeat:
		return weakBeat
	}
	return 1
}

// level of a place in the bars: 3 for a downbeat, 2 for a beat, less for its parts.
func (r *interpretation) level(pos int) float64 {
	at := meter.Ticks(pos%r.perBar) * r.ticks
	switch strength := r.meter.Strength(at); {
	case strength == meter.Downbeat:
		return levelDown
	case strength == meter.MidBar && r.meter.Beats() == 4:
		return levelHalf
	case strength >= meter.OnBeat:
		return levelBeat
	case at%meter.Eighth == 0 || at%meter.Triplet == 0:
		return 1
	}
	return 0
}

// passedOver is by how many levels a place that is passed over between a stroke
// and the next, of n, is stronger than the stroke's own.
func (r *interpretation) passedOver(group, n int) float64 {
	if group+1 == n {
		return 0
	}
	from, most := r.pos[group]+r.offset, 0.0
	for p := from + 1; p < r.pos[group+1]+r.offset; p++ {
		most = max(most, r.level(p)-r.level(from))
	}
	return most
}

// lowLimit is the key up to which a group's lowest note counts as low; -1 where
// all lie alike.
func (t *take) lowLimit() int {
	lo, hi := 127, 0
	for _, g := range t.groups {
		lo, hi = min(lo, int(g.notes[0].key)), max(hi, int(g.notes[0].key))
	}
	if hi-lo < lowApart {
		return -1
	}
	return (lo + hi) / 2
}

// bottoms are the lowest keys in the bars of each chord of the row.
func (r *interpretation) bottoms(t *take) []pitch.Num {
	all := make([]pitch.Num, len(t.o.Chords))
	for i := range all {
		all[i] = 127
	}
	for i, g := range r.counted(t) {
		bar, _ := r.at(i)
		b := &all[bar%len(all)]
		*b = min(*b, g.notes[0].key)
	}
	return all
}

func (g *group) loudest() float64 {
	v := 0
	for _, n := range g.notes {
		v = max(v, n.velocity)
	}
	return float64(v)
}

// usualVelocity is the middle of all strokes' loudness.
func (t *take) usualVelocity() float64 {
	all := make([]float64, len(t.groups))
	for i := range t.groups {
		all[i] = t.groups[i].loudest()
	}
	return median(all)
}
