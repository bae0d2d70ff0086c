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
	stroke  *Stroke
	index   int // in Take.Strokes
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
func (t *Take) perform() {
	wander := t.wander()
	visits := make([]int, len(t.Strokes))
	order := t.order()
	for s := range t.path {
		sg := &t.path[s]
		for _, i := range order {
			st := &t.Strokes[i]
			if st.Pos < sg.from || st.Pos >= sg.to {
				continue
			}
			visit := visits[i]
			visits[i]++
			if visit > 0 {
				if st.Want < 0 {
					continue // a slip is not learnt by heart
				}
				st = &t.plain[i]
			}
			if st.Silent {
				continue
			}
			p := played{stroke: st, index: i, visit: visit, segment: s}
			p.notes = t.notes(&p, t.wandered(wander, sg, st.Pos))
			t.played = append(t.played, p)
		}
	}
	t.release()
}

// order lists the strokes by place.
func (t *Take) order() []int {
	order := make([]int, len(t.Strokes))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(a, b int) bool { return t.Strokes[order[a]].Pos < t.Strokes[order[b]].Pos })
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
func (t *Take) notes(p *played, wandered time.Duration) []note {
	st, sg := p.stroke, &t.path[p.segment]
	room := time.Duration(roomShare * float64(t.room(st.Pos)))
	base := t.nominal(sg, st.Pos) + t.h.Bias + wandered + st.Shift
	moment := t.offset(st, p.visit)
	if st.Shift != 0 {
		room = time.Duration(shiftedShare * float64(t.room(st.Pos)))
	}
	r := t.random(forStrokes, p.index, p.visit)
	hold := t.hold(st, normal(r))
	off := t.end(p.segment, st, st.Pos+meter.Ticks(hold*float64(st.Dur))) + t.h.Bias + wandered
	notes := make([]note, len(st.Keys))
	apart, rolled := t.apart(st.Pos), t.rolled(p)
	for i, k := range st.Keys {
		by := moment
		if len(st.Keys) > 1 {
			by += spread(r, apart)
		}
		on := base + clamp(by, -room, room)
		if rolled {
			on += min(t.h.RollSpread, room/2) * time.Duration(i) / time.Duration(max(2, len(st.Keys)-1))
		}
		v := orElse(t.h.Velocity, 64) + st.Gain + int(math.Round(normal(r)*float64(t.h.VelocitySD)))
		if i == len(st.Keys)-1 {
			v += st.Top
		}
		notes[i] = note{key: k, on: max(on, 0), off: off, velocity: clamp(v, 1, 127)}
	}
	return notes
}

// apart is the sd of the notes of a chord at a place.
func (t *Take) apart(pos meter.Ticks) time.Duration {
	if t.h.Leisure == 0 {
		return t.h.Spread
	}
	_, after := t.Gaps(pos)
	share := min(1, t.s.Tempo.Duration(after, t.s.Meter).Seconds())
	return t.h.Spread + time.Duration(share*float64(t.h.Leisure-t.h.Spread))
}

// rolled reports that the notes of a stroke are struck one by one.
func (t *Take) rolled(p *played) bool {
	n := len(p.stroke.Keys)
	return p.stroke.Roll && n > 1 || n > 2 && t.random(forRolls, p.index, p.visit).Float64() < t.h.RollSome
}

// end is when a stroke that is held to a place is let go. Held across a break
// into which playing goes on without it, it is held on; else a break ends it
// part of the way into its silence.
func (t *Take) end(segment int, st *Stroke, pos meter.Ticks) time.Duration {
	for segment+1 < len(t.path) && pos > t.path[segment].to {
		next := &t.path[segment+1]
		if next.from <= st.Pos || next.from > pos {
			return min(t.nominal(&t.path[segment], pos), next.start-next.gap*silentShare/100)
		}
		segment++
	}
	return t.nominal(&t.path[segment], pos)
}

// offset is how far a stroke is off its beat by chance; one that is early or
// late by mistake is so exactly.
func (t *Take) offset(st *Stroke, visit int) time.Duration {
	if st.Shift != 0 {
		return 0
	}
	r := t.random(forMoments, int(st.Pos), visit)
	off, async := spread(r, t.h.Jitter), spread(r, t.h.HandAsync)/2
	if st.Hand == pattern.Left {
		return off + async
	}
	return off - async
}

// hold is the share of its written length that a stroke is held, given a normal
// value.
func (t *Take) hold(st *Stroke, chance float64) float64 {
	if st.Hold > 0 {
		return st.Hold
	}
	legato := t.h.Legato
	if legato == 0 {
		legato = 1
	}
	return clamp(legato+chance*t.h.LegatoSD, 0.1, 1)
}

// room is the time from a place to the nearest other moment in the score.
func (t *Take) room(pos meter.Ticks) time.Duration {
	before, after := t.Gaps(pos)
	return t.s.Tempo.Duration(min(before, after), t.s.Meter)
}

// Gaps are the distances to the moments before and after a place. Where one is
// missing the other stands in for it; where both are, a bar.
func (t *Take) Gaps(pos meter.Ticks) (before, after meter.Ticks) {
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
