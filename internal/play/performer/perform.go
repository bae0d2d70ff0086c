package performer

import (
	"math"
	"sort"
	"time"

	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
)

// played is a stroke with its times.
type played struct {
	stroke  *stroke
	index   int // in take.strokes
	visit   int // 0 the first time its place is played
	segment int
	notes   []note
}

// note is a key from its stroke to its release.
type note struct {
	key      pitch.Num
	on, off  time.Duration
	velocity int
}

func (p *played) at() time.Duration {
	first := p.notes[0].on
	for _, n := range p.notes {
		first = min(first, n.on)
	}
	return first
}

// perform gives every stroke on the path its times.
func (t *take) perform() {
	wander := t.wander()
	visits := make([]int, len(t.strokes))
	order := t.order()
	for s := range t.path {
		sg := &t.path[s]
		for _, i := range order {
			st := &t.strokes[i]
			if st.pos < sg.from || st.pos >= sg.to {
				continue
			}
			visit := visits[i]
			visits[i]++
			if visit > 0 {
				if st.want < 0 {
					continue // a slip is not learnt by heart
				}
				st = &t.plain[i]
			}
			if st.silent {
				continue
			}
			p := played{stroke: st, index: i, visit: visit, segment: s}
			p.notes = t.notes(&p, t.wandered(wander, sg, st.pos))
			t.played = append(t.played, p)
		}
	}
	t.release()
}

// order lists the strokes by place.
func (t *take) order() []int {
	order := make([]int, len(t.strokes))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(a, b int) bool { return t.strokes[order[a]].pos < t.strokes[order[b]].pos })
	return order
}

// silentShare is the part of a break in which nothing sounds, in percent.
const silentShare = 40

// roomShare bounds chance: a note stays within this share of the gap to the
// moments around it, and a roll within half as much, so that nothing changes its
// order.
const roomShare = 0.35

// shiftedShare is the same for the fingers of a stroke that is early or late by
// mistake, which leaves less room.
const shiftedShare = 0.05

// notes gives a stroke its times, without heed to other strokes.
func (t *take) notes(p *played, wandered time.Duration) []note {
	st, sg := p.stroke, &t.path[p.segment]
	room := time.Duration(roomShare * float64(t.room(st.pos)))
	base := t.nominal(sg, st.pos) + t.h.Bias + wandered + st.shift
	moment := t.offset(st, p.visit)
	if st.shift != 0 {
		room = time.Duration(shiftedShare * float64(t.room(st.pos)))
	}
	r := t.random(forStrokes, p.index, p.visit)
	hold := t.hold(st, normal(r))
	off := t.end(p.segment, st, st.pos+meter.Ticks(hold*float64(st.dur))) + t.h.Bias + wandered
	notes := make([]note, len(st.keys))
	for i, k := range st.keys {
		by := moment
		if len(st.keys) > 1 {
			by += spread(r, t.h.Spread)
		}
		on := base + clamp(by, -room, room)
		if st.roll && len(st.keys) > 1 {
			on += min(t.h.RollSpread, room/2) * time.Duration(i) / time.Duration(max(2, len(st.keys)-1))
		}
		v := orElse(t.h.Velocity, 64) + st.gain + int(math.Round(normal(r)*float64(t.h.VelocitySD)))
		if i == len(st.keys)-1 {
			v += st.top
		}
		notes[i] = note{key: k, on: max(on, 0), off: off, velocity: clamp(v, 1, 127)}
	}
	return notes
}

// end is when a stroke that is held to a place is let go. Held across a break
// into which playing goes on without it, it is held on; else a break ends it
// part of the way into its silence.
func (t *take) end(segment int, st *stroke, pos meter.Ticks) time.Duration {
	for segment+1 < len(t.path) && pos > t.path[segment].to {
		next := &t.path[segment+1]
		if next.from <= st.pos || next.from > pos {
			return min(t.nominal(&t.path[segment], pos), next.start-next.gap*silentShare/100)
		}
		segment++
	}
	return t.nominal(&t.path[segment], pos)
}

// offset is how far a stroke is off its beat by chance; one that is early or
// late by mistake is so exactly.
func (t *take) offset(st *stroke, visit int) time.Duration {
	if st.shift != 0 {
		return 0
	}
	r := t.random(forMoments, int(st.pos), visit)
	off, async := spread(r, t.h.Jitter), spread(r, t.h.HandAsync)/2
	if st.hand == pattern.Left {
		return off + async
	}
	return off - async
}

// hold is the share of its written length that a stroke is held, given a normal
// value.
func (t *take) hold(st *stroke, chance float64) float64 {
	if st.hold > 0 {
		return st.hold
	}
	legato := t.h.Legato
	if legato == 0 {
		legato = 1
	}
	return clamp(legato+chance*t.h.LegatoSD, 0.1, 1)
}

// room is the time from a place to the nearest other moment in the score.
func (t *take) room(pos meter.Ticks) time.Duration {
	before, after := t.gaps(pos)
	return t.s.Tempo.Duration(min(before, after), t.s.Meter)
}

// gaps are the distances to the moments before and after a place. Where one is
// missing the other stands in for it; where both are, a bar.
func (t *take) gaps(pos meter.Ticks) (before, after meter.Ticks) {
	i := sort.Search(len(t.moments), func(i int) bool { return t.moments[i] >= pos })
	if i > 0 {
		before = pos - t.moments[i-1]
	}
	if i < len(t.moments) && t.moments[i] == pos {
		i++
	}
	if i < len(t.moments) {
		after = t.moments[i] - pos
	}
	switch {
	case before == 0 && after == 0:
		return t.s.Meter.Bar(), t.s.Meter.Bar()
	case before == 0:
		before = after
	case after == 0:
		after = before
	}
	return before, after
}
