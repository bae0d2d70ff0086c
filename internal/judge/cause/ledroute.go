package cause

import (
	"math"
	"math/bits"
	"time"

	"undersong/internal/listen/keyboard"
	"undersong/internal/music/pitch"
)

// route is a way through the moments of the score for what was struck, with one leap at
// most: what it costs, and how well the player plays on after the leap.
type route struct {
	cost     float64 // nats
	when     float64 // seconds: when its moment was struck first
	left, to int32   // the last moment of the score before the leap, and the first after it
	onset    int32   // of what was struck: the first after it; 0 where there is none

	bar, harmony, wrongBar, wrongHarmony int32 // the latest, from 1
	bars, harmonies, wrongBars           int32 // how many there were since the leap, or the beginning
	barsBefore, wrongBefore              int32 // and before it
}

// routes compares the ways of a player who stays with those of one who leaps.
type routes struct {
	struck, wanted []moment
	far            []float64 // seconds: from the beginning to each moment, at the player's tempo
	length         float64   // of the score, the same
	loop           bool      // it begins again
	beat           float64   // seconds
	up             int       // semitones: how much higher all is played

	on, gone         []route // by moments: without a leap, and after one
	nextOn, nextGone []route
}

// leap is where a player left the score and went on.
type leap struct {
	route
	saved         float64 // nats: by which that is better than to stay
	before, after time.Duration
	back, paused  bool
}

// route finds the leap with which what was struck up to a time fits the score best: where
// it stops to fit the old place and begins to fit the new one, rather after a pause and to
// the beginning of a bar. ok is false where nothing speaks for one.
func (j *Judge) route(until time.Duration) (l leap, ok bool) {
	from, begins := j.beforeLeap()
	struck := j.latest(from.at-keyboard.Together, until, mostRouted)
	wanted := j.asked()
	if len(struck) < fewestOnsets {
		return l, false
	}
	w := j.routes(struck, wanted, from.beat)
	for k := range wanted {
		w.on[k] = route{cost: math.Inf(1)}
		w.gone[k] = w.on[k]
		if cost := begins(k); cost < math.Inf(1) {
			w.on[k] = route{when: struck[0].when.Seconds(), cost: cost}
			w.on[k].take(&struck[0], &wanted[k], w.up)
		}
	}
	for i := 1; i < len(struck); i++ {
		w.step(i)
	}
	stays, goes := w.on[least(w.on)].cost, w.gone[least(w.gone)]
	if goes.onset == 0 || math.IsInf(goes.cost, 1) {
		return l, false
	}
	l = leap{route: goes, saved: stays - goes.cost, before: struck[goes.onset-1].when, after: struck[goes.onset].when}
	l.back = wanted[l.to].place <= wanted[l.left].place
	l.paused = w.halts((l.after - l.before).Seconds(), int(l.left))
	return l, true
}

func (j *Judge) routes(struck, wanted []moment, beat time.Duration) *routes {
	n := len(wanted)
	room := make([]route, 4*n)
	w := &routes{struck: struck, wanted: wanted, loop: j.options.Loop, beat: beat.Seconds(), up: int(pitch.ClassOf(j.reading.up)),
		on: room[:n], gone: room[n : 2*n], nextOn: room[2*n : 3*n], nextGone: room[3*n:]}
	perTick := w.beat / float64(j.Score.Meter.Beat())
	for k := range wanted {
		w.far = append(w.far, j.Score.Elapsed(wanted[k].place)*perTick)
	}
	w.length = j.Score.Elapsed(j.Score.Length) * perTick
	return w
}

// least is the cheapest of some ways.
func least(ways []route) (best int) {
	for k := range ways {
		if ways[k].cost < ways[best].cost {
			best = k
		}
	}
	return best
}

// step goes on by an onset.
func (w *routes) step(i int) {
	s := &w.struck[i]
	from := least(w.on)
	most := w.on[from].cost + mostDearer
	at, before := s.when.Seconds(), w.struck[i-1].when.Seconds()
	paused := w.halts(at-before, from)
	for k := range w.wanted {
		w.nextOn[k] = w.onward(w.on, k, at, most, paused)
		if w.nextOn[k].cost <= most {
			w.nextOn[k].take(s, &w.wanted[k], w.up)
		}
		w.nextGone[k] = w.onward(w.gone, k, at, most, paused)
		if cost := w.on[from].cost + w.leaps(from, k, at-w.on[from].when, paused); cost < w.nextGone[k].cost {
			w.nextGone[k] = route{cost: cost, when: at, left: int32(from), to: int32(k), onset: int32(i), barsBefore: w.on[from].bars, wrongBefore: w.on[from].wrongBars}
		}
		if w.nextGone[k].cost <= most {
			w.nextGone[k].take(s, &w.wanted[k], w.up)
		}
	}
	w.on, w.nextOn, w.gone, w.nextGone = w.nextOn, w.on, w.nextGone, w.gone
}

// onwardCost is what it costs to leave out moments on the way, by their number.
var onwardCost = [...]float64{0, onwardSkip, 2 * onwardSkip}

// onward goes on to moment k without a leap.
func (w *routes) onward(ways []route, k int, at, most float64, paused bool) route {
	best := ways[k]
	if best.cost < most {
		switch {
		case at-best.when <= longestRoll*w.beat:
			best.cost += onwardRoll
		case paused:
			best.cost += onwardAgain + latest
		default:
			best.cost += onwardAgain
		}
	}
	for skipped, cost := range onwardCost {
		from, passed := k-1-skipped, w.far[k]
		if from < 0 && w.loop {
			from, passed = from+len(ways), passed+w.length
		}
		if from < 0 {
			break
		}
		if way := &ways[from]; way.cost+cost < best.cost && way.cost < most {
			if cost += way.cost + outOfTime(at-way.when, passed-w.far[from]); cost < best.cost {
				best = *way
				best.cost, best.when = cost, at
				if skipped > 0 {
					best.wrong(&w.wanted[k])
				}
			}
		}
	}
	return best
}

// outOfTime is what it costs to come so many seconds after a moment, where it is due after
// so many: anybody may wait, and nobody comes much too early.
func outOfTime(gap, due float64) float64 {
	off := gap/due - 1
	most := latest
	if gap < due {
		off, most = due/gap-1, earliest
	}
	if math.Abs(gap-due) < inTimeSeconds {
		return 0
	}
	return min(most, off*off*perSquare)
}

// leaps is what it costs to leap from a moment to another, so many seconds after the first.
func (w *routes) leaps(from, to int, gap float64, paused bool) (nats float64) {
	m, back := &w.wanted[to], w.wanted[to].place <= w.wanted[from].place
	far := m.bar - w.wanted[from].bar
	if !back {
		far--
	}
	if nats = leapAnywhere; back && paused {
		nats = leapBack
	}
	nats += min(leapFar, leapBar*math.Abs(float64(far)))
	if !m.opens {
		nats += leapWithin
	}
	switch {
	case paused && !back:
		nats += leapOnPaused
	case paused:
	case back:
		nats += leapInTime
	default:
		nats += outOfTime(gap, w.lasts(from))
	}
	return nats
}

// take adds a moment struck for one that is wanted. Who strikes another harmony has made
// one mistake, however many strokes it has.
func (r *route) take(s, m *moment, up int) {
	classes := s.down(up)
	cost := m.differs(classes)
	harmony, bar := int32(m.harmony)+1, int32(m.bar)+1
	if bits.OnesCount16(classes&^m.classes) == 0 {
		if r.bar != bar {
			r.bar = bar
			r.bars++
		}
		if r.harmony != harmony {
			r.harmony = harmony
			r.harmonies++
		}
	} else {
		if r.wrongHarmony == harmony {
			cost *= sameHarmony
		}
		r.wrongHarmony = harmony
		r.wrong(m)
	}
	r.cost += cost
}

// wrong counts a bar in which something is wrong.
func (r *route) wrong(m *moment) {
	if bar := int32(m.bar) + 1; r.wrongBar != bar {
		r.wrongBar = bar
		r.wrongBars++
	}
}

// halts reports that an onset comes so much later than the next moment after one is due.
func (w *routes) halts(gap float64, from int) bool {
	return gap >= w.lasts(from)+leapPause*w.beat
}

// lasts is how long it is from a moment of the score to the next, in seconds.
func (w *routes) lasts(k int) float64 {
	if k+1 < len(w.far) {
		return w.far[k+1] - w.far[k]
	}
	return w.length - w.far[k]
}

// beforeLeap is from when on a leap is looked for: a bar that was sure, some bars before it
// may have been, or else wherever the player was then. It tells what it costs to begin with
// each moment.
func (j *Judge) beforeLeap() (from anchor, begins func(k int) float64) {
	l, bar, wanted := j.led, j.ledBar(), j.asked()
	n := 0
	for i := l.anchored; i > max(0, l.anchored-mostAnchored); i-- {
		a := &l.anchors[i%mostAnchored]
		if n > 0 && (a.at < l.leapt || l.anchors[n%mostAnchored].at <= l.away.since-barsSure*bar || a.at < l.away.since-barsBefore*bar) {
			break
		}
		n = i
	}
	if n == 0 {
		from = anchor{at: max(0, l.away.since-barsBefore*bar), beat: j.heard.Leader().Beat()}
		return from, func(k int) float64 {
			if wanted[k].opens || from.at == 0 {
				return 0
			}
			return leapWithin
		}
	}
	from = l.anchors[n%mostAnchored]
	other := elsewhere
	if first := j.chained(n); first < n || from.bar == 0 {
		other = farElsewhere
		if a := &l.anchors[first%mostAnchored]; first < n {
			way := j.Score.Elapsed(j.Score.Bars[from.bar].At) - j.Score.Elapsed(j.Score.Bars[a.bar].At)
			from.beat = time.Duration(float64(from.at-a.at) / way * float64(j.Score.Meter.Beat()))
		}
	}
	return from, func(k int) float64 {
		switch m := &wanted[k]; {
		case !m.opens:
			return math.Inf(1)
		case m.bar == from.bar:
			return 0
		}
		return other
	}
}

// chained is the first of some bars in a row that were sure, up to one.
func (j *Judge) chained(n int) (first int) {
	l := j.led
	for first = n; first > max(1, l.anchored-mostAnchored+1, n-barsChained); first-- {
		a, b := &l.anchors[(first-1)%mostAnchored], &l.anchors[first%mostAnchored]
		if a.bar+1 != b.bar || a.at < l.leapt {
			break
		}
	}
	return first
}
