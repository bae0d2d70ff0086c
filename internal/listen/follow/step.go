package follow

import "math"

// begin works out, for an onset at t, the best step to each event.
func (f *Follower) begin(t float64) {
	first := !f.open
	f.open, f.start, f.last = true, t, t
	f.classes, f.extra = 0, costExtra
	clear(f.keys)
	f.forget()
	if first {
		f.enterAnywhere()
	} else {
		f.jumpAnywhere(t)
		for _, i := range f.alive {
			f.stepFrom(int(i), t)
		}
	}
	f.choose()
}

// forget makes room for the steps of a new onset.
func (f *Follower) forget() {
	for _, j := range f.touched {
		f.marked[j] = false
		f.move[j].weight, f.stay[j] = math.Inf(-1), math.Inf(-1)
	}
	f.touched = f.touched[:0]
}

// touch takes event j among those that the open onset may stand for.
func (f *Follower) touch(j int) {
	if !f.marked[j] {
		f.marked[j] = true
		f.touched = append(f.touched, int32(j))
	}
}

// enterAnywhere is for the first onset: the beginning, or elsewhere.
func (f *Follower) enterAnywhere() {
	for j := range f.move {
		f.offer(j, step{weight: -costElsewhere - toAny, from: -1})
	}
	for b, j := range f.first {
		f.offer(int(j), step{weight: -costElsewhere - min(toBar, f.entry[b]) - min(costLaterMost, costLater*float64(max(0, b-1))), from: -1})
	}
	skipped := 0.0
	for j := range min(reach, len(f.events)) {
		f.offer(j, step{weight: -skipped, from: -1})
		skipped += costSkip + costSkipMore*float64(min(j, 1))
	}
}

// source is where a jump comes from: the place that explains it best, in time
// and out of it.
type source struct {
	free, timed  float64
	from, inTime int32
}

// to is the best jump to an event that costs so much to be chosen.
func (s *source) to(m *scoreEvent, cost float64) step {
	if m.opens && s.timed > s.free {
		return step{weight: s.timed - cost, from: s.inTime, by: jump}
	}
	return step{weight: s.free - cost, from: s.from, by: jump}
}

// jumpAnywhere offers jumps. A jump to the start of a bar may be in time: the
// bar that is left is played to its end. Any other event may be begun at only
// after a silence.
func (f *Follower) jumpAnywhere(t float64) {
	silent := t-f.paths[f.best].struckAt > f.longWait(&f.paths[f.best])
	from := f.leaving(t, silent)
	here := int(f.events[f.best].bar)
	for b, j := range f.first {
		f.offer(int(j), from.to(&f.events[j], f.toBar(here, b)))
	}
	f.offer(int(f.restart), step{weight: from.free - toRestart, from: from.from, by: jump})
	if silent {
		for j := range f.move {
			f.offer(j, step{weight: from.free - toAny, from: from.from, by: jump})
		}
	}
}

// leaving weighs where a jump at t comes from.
func (f *Follower) leaving(t float64, silent bool) source {
	s := source{free: -costJump - costUntimely, timed: math.Inf(-1), from: f.best}
	if silent {
		s.free = -costJump - costLate
	}
	for _, i := range f.alive {
		m, v := &f.events[i], &f.paths[i]
		if c := f.weight[i] - costJump - v.timing(t-v.struckAt, m.left); c > s.timed {
			s.timed, s.inTime = c, i
		}
	}
	return s
}

// toBar is the cost of choosing a bar to jump to.
func (f *Follower) toBar(here, bar int) float64 {
	d := bar - here
	cost := toBar + toFar*(1-1/float64(1+max(d, -d)))
	switch {
	case d == 0:
		cost = toSame
	case d == -1 || d == 2:
		cost = toNeighbour
	}
	return min(cost, f.entry[bar])
}

// longWait is how long after its stroke a path has surely paused.
func (f *Follower) longWait(w *path) float64 {
	next := f.events[f.after(int(f.best))].gap
	return waitLeast + waitDue*next*w.perTick
}

func (f *Follower) offer(j int, s step) {
	if s.weight > f.move[j].weight && s.weight > -beam-costWrong {
		f.move[j] = s
		f.touch(j)
	}
}

// after is the event after i; the last one's is the first.
func (f *Follower) after(i int) int {
	if i+1 == len(f.events) {
		return 0
	}
	return i + 1
}

// stepFrom goes on from event i.
func (f *Follower) stepFrom(i int, t float64) {
	w, base := &f.paths[i], f.weight[i]
	f.pause(i, t)
	f.strikeAgain(i, t)
	gap, skipped := 0.0, 0.0
	for j, k := i, 0; k < reach; k++ {
		if j = f.after(j); j == 0 && !f.loop {
			break
		}
		m := &f.events[j]
		gap += m.gap
		s := step{weight: base - skipped - w.timing(t-w.struckAt, gap), from: int32(i), by: advance, wrongSoFar: w.wrongIn(m.bar)}
		f.offer(j, s)
		if base-skipped < -beam {
			break
		}
		if w.retimed != w.struckAt {
			s.weight, s.by = base-skipped-w.rebase()-w.timing(t-w.retimed, gap), rebased
			f.offer(j, s)
		}
		skipped += m.skip
		if k > 0 {
			skipped += costSkipMore
		}
	}
}

// rebase is the cost of counting time from an onset after the event's own.
func (w *path) rebase() float64 {
	if w.sameEvent {
		return costRebaseOwn
	}
	return costRebase
}

// pause stays at event i, or goes one back. Once the next event is long
// overdue that takes a silence besides.
func (f *Follower) pause(i int, t float64) {
	w, base := &f.paths[i], f.weight[i]
	due := f.events[f.after(i)].gap + (stumble-1)*float64(f.score.Meter.Beat())
	if t-w.struckAt > due*w.perTick {
		base -= costAgainLate
	}
	f.stay[i] = base
	f.touch(i)
	if i > 0 {
		f.offer(i-1, step{weight: base - costBack, from: int32(i), by: repeat})
	}
}

// strikeAgain strikes event i once more: the hand that was late, or a stumble.
func (f *Follower) strikeAgain(i int, t float64) {
	w := &f.paths[i]
	cost := costAgain
	if t-w.struckAt > stumble*float64(f.score.Meter.Beat())*w.perTick {
		cost += costAgainLate
	}
	s := step{weight: f.weight[i] - cost, from: int32(i), by: repeat, wrongSoFar: w.wrongIn(f.events[i].bar)}
	next := f.events[f.after(i)].gap * w.perTick
	if t-w.struckAt < min(belated, next/2) {
		s.weight, s.by = f.weight[i]-costBelated, completion
	}
	f.offer(i, s)
}

// timing is the cost of an interval of dt seconds over a number of ticks. Near
// the expected time it is that of a normal distribution; far from it the player
// paused or slipped, and how far does not matter.
func (w *path) timing(dt, ticks float64) float64 {
	expected := ticks * w.perTick
	off := dt - expected
	most := costLate
	if off < 0 {
		most = costEarly
	}
	return min(most, off*off/(2*w.variance(expected)))
}

// variance is that of an interval, in seconds squared.
func (w *path) variance(expected float64) float64 {
	return unevenness*unevenness + (ofInterval*ofInterval+w.tempoVariance)*expected*expected
}

// learn takes an interval into the tempo.
func (f *Follower) learn(w *path, dt, ticks float64) {
	expected := ticks * w.perTick
	off, v := dt-expected, w.variance(expected)
	beats := ticks / float64(f.score.Meter.Beat())
	if off*off > surprise*v {
		w.tempoVariance = max(w.tempoVariance, breakVariance)
		return
	}
	gain := expected * expected * w.tempoVariance / v
	w.perTick *= 1 + gain*off/expected
	w.perTick = max(f.fastest, min(f.slowest, w.perTick))
	w.tempoVariance = min(firstVariance, w.tempoVariance*(1-gain)+drift*beats)
}

// close ends the open onset: what is lacking counts now, and the paths go on.
func (f *Follower) close() {
	if !f.open {
		return
	}
	for i := range f.strokes {
		f.keys[i] += f.strokes[i].lacking(f.classes)
	}
	best := f.search()
	extra := min(f.extra, costMost)
	f.alive = f.alive[:0]
	for i := range f.choices {
		c := &f.choices[i]
		if c.now < best.weight-beam {
			continue
		}
		f.weight[c.event] = c.now - best.weight
		f.next[c.event] = f.follow(c.event, c.stayed-extra == c.now)
		f.alive = append(f.alive, c.event)
	}
	f.mean += memory * (-best.weight - f.mean)
	f.note(best)
	f.paths, f.next = f.next, f.paths
	f.best = best.event
}

// follow is the path to event j with the open onset taken in.
func (f *Follower) follow(j int32, stays bool) path {
	if stays {
		w := f.paths[j]
		w.retimed, w.sameEvent = f.start, false
		return w
	}
	s := f.move[j]
	if s.from < 0 {
		return path{struckAt: f.start, retimed: f.start, perTick: f.written, tempoVariance: firstVariance, bar: f.events[j].bar, wrongSoFar: f.struck(j)}
	}
	w := f.paths[s.from]
	struckAt, retimed, sameEvent := f.start, f.start, false
	switch gap := f.between(s.from, j); s.by {
	case advance:
		if due := w.struckAt + gap*w.perTick; w.slipped(f.start-due, gap) {
			retimed, sameEvent = due, true // the next stroke may be in time again
		}
		f.learn(&w, f.start-w.struckAt, gap)
	case rebased:
		f.learn(&w, f.start-w.retimed, gap)
	case completion:
		return w
	case repeat, jump:
		if s.by == repeat && s.from == j {
			struckAt, sameEvent = w.struckAt, true // on in time with the first try, or with this
		}
		w.tempoVariance = min(firstVariance, w.tempoVariance+drift)
	}
	if s.by != repeat && f.loop && s.from > j && int(s.from)+reach >= len(f.events) {
		w.pass++
	}
	w.struckAt, w.retimed, w.sameEvent = struckAt, retimed, sameEvent
	w.bar, w.wrongSoFar = f.events[j].bar, s.wrongSoFar+f.struck(j)
	return w
}

// slipped reports a stroke out of time by off seconds, after an interval of so
// many ticks, that yet is no pause.
func (w *path) slipped(off, ticks float64) bool {
	off = max(off, -off)
	return off > slip && off < slipMost*ticks*w.perTick
}

// wrongIn is what wrong notes have cost in a bar so far.
func (w *path) wrongIn(bar int32) float64 {
	if w.bar != bar {
		return 0
	}
	return w.wrongSoFar
}

// between is the time from event i on to event j, in elapsed ticks.
func (f *Follower) between(i, j int32) float64 {
	d := f.events[j].elapsed - f.events[i].elapsed
	if j <= i {
		d += f.length
	}
	return d
}
