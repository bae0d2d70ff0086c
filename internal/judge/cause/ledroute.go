package cause

import (
	"math"
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/judge/flow"
	"undersong/internal/listen/keyboard"
	"undersong/internal/music/pitch"
)

// route is how the player leaped: the follower knows that it happened a few strokes later,
// and may have taken the first bars after it for those before.
type route struct {
	cost     float64 // nats
	left, to int     // the last moment of the score before it, and the first after it
	onset    int     // of what was struck: the first after it
	before   time.Duration
	pause    time.Duration
}

// route finds the leap of a break: the moment at which what was struck stops to fit the old
// place and begins to fit the new one, rather after a pause and to the beginning of a bar.
// ok is false where the old place fits nearly as well all along.
func (j *Judge) route(b *flow.Break, clean bool) (r route, ok bool) {
	struck, begins := j.beforeLeap(b)
	wanted := j.led.wanted(j)
	if len(struck) < fewestOnsets {
		return r, false
	}
	up := int(pitch.ClassOf(j.reading.up))
	weight := min(1, leapMoments*float64(len(j.Score.Bars))/float64(len(wanted)))
	on := make([]route, len(wanted)) // without a leap
	gone := make([]route, len(wanted))
	for k := range wanted {
		on[k].cost, gone[k].cost = math.Inf(1), math.Inf(1)
		if m := &wanted[k]; begins(m) {
			on[k].cost = m.differs(struck[0].down(up))
		}
	}
	nextOn, nextGone := make([]route, len(wanted)), make([]route, len(wanted))
	for i := 1; i < len(struck); i++ {
		classes := struck[i].down(up)
		best := 0
		for k := range on {
			if on[k].cost < on[best].cost {
				best = k
			}
		}
		paused := j.halts(struck, i, wanted, best)
		for k := range wanted {
			nextOn[k], nextGone[k] = onward(on, k), onward(gone, k)
			if leap := leapCosts(&wanted[k], paused) + on[best].cost; leap < nextGone[k].cost {
				nextGone[k] = route{cost: leap, left: best, to: k, onset: i}
			}
			differs := wanted[k].differs(classes)
			nextOn[k].cost += differs
			if paused {
				nextOn[k].cost += leapInTime
			}
			nextGone[k].cost += differs
		}
		on, nextOn, gone, nextGone = nextOn, on, nextGone, gone
	}
	stays := math.Inf(1)
	r.cost = math.Inf(1)
	for k := range wanted {
		stays = min(stays, on[k].cost)
		if gone[k].cost < r.cost && wanted[k].place >= b.To {
			r = gone[k]
		}
	}

	if r.onset == 0 {
		return r, false
	}
	back := wanted[r.to].place <= wanted[r.left].place
	inTime := back && !j.halts(struck, r.onset, wanted, r.left)
	if weight*(stays-r.cost) < least(b, clean, back, inTime) || inTime && !clean || !agrees(b, back) {
		return r, false
	}
	r.before = struck[r.onset-1].when
	r.pause = struck[r.onset].when - r.before
	return r, true
}

// routeStep is what it costs to go on by so many moments: those who leap strike nothing
// again, and leave nothing out, so often as a leap would be without one.
var routeStep = [...]float64{onwardAgain, 0, onwardAgain, 2 * onwardAgain}

// agrees reports that a leap by what was struck goes the way on which the follower was led.
func agrees(b *flow.Break, back bool) bool {
	if back {
		return !b.Skips()
	}
	return b.Kind != finding.WentBack
}

// least is by how much a new place must fit better than the old one. Who goes back mostly
// stops first.
func least(b *flow.Break, clean, back, inTime bool) float64 {
	moved := b.Kind == finding.WentBack || b.Beats < 0 || b.Skips()
	switch {
	case !clean && b.Kind != finding.WentBack, inTime:
		return aheadEvidence
	case !clean:
		return leapEvidence
	case moved && !back:
		return cleanAhead
	case moved:
		return cleanEvidence
	}
	return stopEvidence
}

// beforeLeap is what was struck from some bars before a leap on: from a bar that was sure,
// at which it begins in the score then, or else from wherever the player may have been.
func (j *Judge) beforeLeap(b *flow.Break) (struck []moment, begins func(*moment) bool) {
	l, bar := j.led, j.ledBar()
	for i := max(1, l.anchored-mostAnchored+1); i <= l.anchored; i++ {
		a := l.anchors[i%mostAnchored]
		if a.at < b.Left-(barsBefore+1)*bar || a.at > b.Left-bar {
			continue
		}
		if struck = j.moments(a.at-keyboard.Together, j.led.open.at); len(struck) < mostAligned {
			return struck, func(m *moment) bool { return m.place == j.Score.Bars[a.bar].At }
		}
	}
	reach := 2 * barsBefore * j.Score.Meter.Bar()
	return j.moments(max(0, b.Left-barsBefore*bar), j.led.open.at), func(m *moment) bool {
		return m.place <= b.At && m.place >= b.At-reach
	}
}

// onward goes on to moment k of the score without a leap.
func onward(ways []route, k int) route {
	best := route{cost: math.Inf(1)}
	for back, cost := range routeStep {
		if k >= back && ways[k-back].cost+cost < best.cost {
			best = ways[k-back]
			best.cost += cost
		}
	}
	return best
}

// leapCosts is what it costs to leap to a moment of the score, after a pause or in time.
func leapCosts(to *moment, paused bool) (nats float64) {
	if !to.opens {
		nats += leapWithin
	}
	if !paused {
		nats += leapInTime
	}
	return nats
}

// halts reports that an onset comes later than the next moment after one is due.
func (j *Judge) halts(struck []moment, onset int, wanted []moment, from int) bool {
	gap := struck[onset].when - struck[onset-1].when
	return gap >= j.lasts(wanted, from)+time.Duration(leapPause*float64(j.heard.Leader().Beat()))
}

// lasts is how long it is from a moment of the score to the next.
func (j *Judge) lasts(wanted []moment, k int) time.Duration {
	end := j.Score.Length
	if k+1 < len(wanted) {
		end = wanted[k+1].place
	}
	return time.Duration(float64(end-wanted[k].place) / float64(j.Score.Meter.Beat()) * float64(j.heard.Leader().Beat()))
}
