package follow

import (
	"math"

	"undersong/internal/music/pitch"
)

// jumpAnywhere offers jumps. A jump to the start of a bar may be in time: the
// bar that is left is played to its end. Any other event may be begun at only
// after a silence.
func (f *Follower) jumpAnywhere(t float64) {
	best := &f.paths[f.bestPath]
	silent := t-best.lastAt > f.longWait(best)
	from := f.leaving(t, silent)
	most := max(from.free, from.timed) - (f.bestStep - beam)
	if most < toSame {
		return // no jump can keep up with the best step
	}
	here := int(f.events[best.event].bar)
	late := f.overdue(best, t) > 0
	for _, b := range f.openings[f.key] {
		if cost := f.toBar(here, int(b), late); cost <= most {
			f.jumpTo(f.first[b], cost, &from, t)
		}
	}
	f.jumpTo(f.restart, toRestart, &source{free: from.free, timed: math.Inf(-1), from: from.from}, t)
	if silent && from.free-toAny >= f.bestStep-beam {
		s := source{free: from.free, timed: math.Inf(-1), from: from.from}
		for j := range f.events {
			f.jumpTo(int32(j), toAny, &s, t)
		}
	}
}

// source is where a jump comes from: the place that explains it best, in time
// and out of it.
type source struct {
	free, timed  float64
	from, inTime int32
}

// jumpTo offers the best jump to an event that costs so much to be chosen.
func (f *Follower) jumpTo(j int32, cost float64, s *source, t float64) {
	took, c := f.fitOf(j).of(^tones(0))
	if took == 0 {
		return
	}
	weight, source := s.free, s.from
	if f.events[j].opens && s.timed > s.free {
		weight, source = s.timed, s.inTime
	}
	if weight -= cost + c; weight >= f.bestStep-beam {
		f.offer(&step{weight: weight, begunAt: t, event: j, took: took, by: jump, cost: c, from: source})
	}
}

// leaving weighs where a jump at t comes from. In time, the place that is left lacks
// what was left out of it, as where playing goes on.
func (f *Follower) leaving(t float64, silent bool) source {
	leap := f.leap + max(0, costAlike+f.bestStep)
	s := source{free: -leap - costUntimely, timed: math.Inf(-1), from: f.bestPath}
	if silent {
		s.free = -leap - costLate
	}
	for i := range f.paths {
		p := &f.paths[i]
		if p.weight < -costUntimely {
			continue
		}
		cost, _ := p.timing(t-p.struckAt, f.events[p.event].left)
		left, _ := f.leave(p)
		if c := p.weight - leap - cost - left; c > s.timed {
			s.timed, s.inTime = c, int32(i)
		}
	}
	return s
}

// toBar is the cost of choosing a bar to jump to, late or in time with what was played.
func (f *Follower) toBar(here, bar int, late bool) float64 {
	d := bar - here
	cost := toBar + toFar*(1-1/float64(1+max(d, -d)))
	switch {
	case d == 0:
		cost = toSame
	case d == -1 || d == 2:
		cost = toNeighbour
	}
	entry := f.entry[bar]
	if entry == toTop && !late {
		entry = toTopInTime
	}
	return min(cost, entry)
}

// longWait is how long after its stroke a path has surely paused.
func (f *Follower) longWait(p *path) float64 {
	next := f.events[f.after(int(p.event))].gap
	return waitLeast + waitDue*next*p.perTick
}

// layOpenings lists, for each key, the bars that begin with it.
func (f *Follower) layOpenings() {
	for b, j := range f.first {
		for key := range f.openings {
			f.key = pitch.Num(key)
			f.row = f.fits[key]
			if took, _ := f.fitOf(j).of(^tones(0)); took != 0 {
				f.openings[key] = append(f.openings[key], int32(b))
			}
		}
	}
}
