package follow

import "math"

// begin works out, for an onset at t, the best step to each moment.
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

// touch takes moment j among those that the open onset may stand for.
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
		f.offer(int(j), step{weight: -costElsewhere - min(toBar, f.entry[b]), from: -1})
	}
	skipped := 0.0
	for j := range min(1+missed, len(f.moments)) {
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

// to is the best jump to a moment that costs so much to be chosen.
func (s *source) to(m *moment, cost float64) step {
	if m.opens && s.timed > s.free {
		return step{weight: s.timed - cost, from: s.inTime, kind: jump}
	}
	return step{weight: s.free - cost, from: s.from, kind: jump}
}

// jumpAnywhere offers jumps. A jump to the start of a bar may be in time: the
// bar that is left is played to its end. Any other moment may be begun at only
// after a silence.
func (f *Follower) jumpAnywhere(t float64) {
	silent := t-f.ways[f.best].anchor > f.longWait(&f.ways[f.best])
	from := f.leaving(t, silent)
	here := int(f.moments[f.best].bar)
	for b, j := range f.first {
		f.offer(int(j), from.to(&f.moments[j], f.toBar(here, b)))
	}
	f.offer(int(f.run), step{weight: from.free - toRestart, from: from.from, kind: jump})
	if silent {
		for j := range f.move {
			f.offer(j, step{weight: from.free - toAny, from: from.from, kind: jump})
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
		m, v := &f.moments[i], &f.ways[i]
		if c := f.weight[i] - costJump - v.timing(t-v.anchor, m.left); c > s.timed {
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

// longWait is how long after its anchor a way has surely paused.
func (f *Follower) longWait(w *way) float64 {
	next := f.moments[f.after(int(f.best))].gap
	return waitLeast + waitDue*next*w.perTick
}

func (f *Follower) offer(j int, s step) {
	if s.weight > f.move[j].weight && s.weight > -beam-costWrong {
		f.move[j] = s
		f.touch(j)
	}
}

// after is the moment after i; the last one's is the first.
func (f *Follower) after(i int) int {
	if i+1 == len(f.moments) {
		return 0
	}
	return i + 1
}

// stepFrom goes on from moment i.
func (f *Follower) stepFrom(i int, t float64) {
	w, base := &f.ways[i], f.weight[i]
	f.pause(i, t)
	f.strikeAgain(i, t)
	gap, skipped := 0.0, 0.0
	for j, k := i, 0; k < reach; k++ {
		if j = f.after(j); j == 0 && !f.loop {
			break
		}
		m := &f.moments[j]
		gap += m.gap
		s := step{weight: base - skipped - w.timing(t-w.anchor, gap), from: int32(i), kind: goOn, spent: w.spentIn(m.bar)}
		f.offer(j, s)
		if base-skipped < -beam {
			break
		}
		if w.other != w.anchor {
			s.weight, s.kind = base-skipped-w.rebase()-w.timing(t-w.other, gap), rebased
			f.offer(j, s)
		}
		skipped += m.skip
		if k > 0 {
			skipped += costSkipMore
		}
	}
}

// rebase is the cost of counting time from an onset after the moment's own.
func (w *way) rebase() float64 {
	if w.aside {
		return costAside
	}
	return costRebase
}

// pause stays at moment i, or goes one back. Once the next moment is long
// overdue that takes a silence besides.
func (f *Follower) pause(i int, t float64) {
	w, base := &f.ways[i], f.weight[i]
	due := f.moments[f.after(i)].gap + (stumble-1)*float64(f.score.Meter.Beat())
	if t-w.anchor > due*w.perTick {
		base -= costAgainLate
	}
	f.stay[i] = base
	f.touch(i)
	if i > 0 {
		f.offer(i-1, step{weight: base - costBack, from: int32(i), kind: again})
	}
}

// strikeAgain strikes moment i once more: the hand that was late, or a stumble.
func (f *Follower) strikeAgain(i int, t float64) {
	w := &f.ways[i]
	cost := costAgain
	if t-w.anchor > stumble*float64(f.score.Meter.Beat())*w.perTick {
		cost += costAgainLate
	}
	s := step{weight: f.weight[i] - cost, from: int32(i), kind: again, spent: w.spentIn(f.moments[i].bar)}
	next := f.moments[f.after(i)].gap * w.perTick
	if t-w.anchor < min(belated, next/2) {
		s.weight, s.kind = f.weight[i]-costBelated, late
	}
	f.offer(i, s)
}

// timing is the cost of an interval of dt seconds over a number of ticks. Near
// the expected time it is that of a normal distribution; far from it the player
// paused or slipped, and how far does not matter.
func (w *way) timing(dt, ticks float64) float64 {
	expected := ticks * w.perTick
	off := dt - expected
	most := costLate
	if off < 0 {
		most = costEarly
	}
	return min(most, off*off/(2*w.variance(expected)))
}

// variance is that of an interval, in seconds squared.
func (w *way) variance(expected float64) float64 {
	return unevenness*unevenness + (ofInterval*ofInterval+w.doubt)*expected*expected
}

// learn takes an interval into the tempo.
func (f *Follower) learn(w *way, dt, ticks float64) {
	expected := ticks * w.perTick
	off, v := dt-expected, w.variance(expected)
	beats := ticks / float64(f.score.Meter.Beat())
	if off*off > surprise*v {
		w.doubt = max(w.doubt, newDoubt)
		return
	}
	gain := expected * expected * w.doubt / v
	w.perTick *= 1 + gain*off/expected
	w.perTick = max(f.written/mostChange, min(f.written*mostChange, w.perTick))
	w.doubt = min(mostDoubt, w.doubt*(1-gain)+drift*beats)
}

// close ends the open onset: what is lacking counts now, and the ways go on.
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
		f.weight[c.moment] = c.now - best.weight
		f.next[c.moment] = f.follow(c.moment, c.stayed-extra == c.now)
		f.alive = append(f.alive, c.moment)
	}
	f.mean += memory * (-best.weight - f.mean)
	f.note(best)
	f.ways, f.next = f.next, f.ways
	f.best = best.moment
}

// follow is the way to moment j with the open onset taken in.
func (f *Follower) follow(j int32, stays bool) way {
	if stays {
		w := f.ways[j]
		w.other, w.aside = f.start, false
		return w
	}
	s := f.move[j]
	if s.from < 0 {
		return way{anchor: f.start, other: f.start, perTick: f.written, doubt: firstDoubt, bar: f.moments[j].bar, spent: f.struck(j)}
	}
	w := f.ways[s.from]
	anchor, other, aside := f.start, f.start, false
	switch gap := f.between(s.from, j); s.kind {
	case goOn:
		if due := w.anchor + gap*w.perTick; w.slipped(f.start-due, gap) {
			other, aside = due, true // the next stroke may be in time again
		}
		f.learn(&w, f.start-w.anchor, gap)
	case rebased:
		f.learn(&w, f.start-w.other, gap)
	case late:
		return w
	case again, jump:
		if s.kind == again && s.from == j {
			anchor, aside = w.anchor, true // on in time with the first try, or with this
		}
		w.doubt = min(mostDoubt, w.doubt+drift)
	}
	if s.kind != again && f.loop && s.from > j && int(s.from)+reach >= len(f.moments) {
		w.pass++
	}
	w.anchor, w.other, w.aside = anchor, other, aside
	w.bar, w.spent = f.moments[j].bar, s.spent+f.struck(j)
	return w
}

// slipped reports a stroke out of time by off seconds, after an interval of so
// many ticks, that yet is no pause.
func (w *way) slipped(off, ticks float64) bool {
	off = max(off, -off)
	return off > slip && off < slipMost*ticks*w.perTick
}

// spentIn is what wrong notes have cost in a bar so far.
func (w *way) spentIn(bar int32) float64 {
	if w.bar != bar {
		return 0
	}
	return w.spent
}

// between is the time from moment i on to moment j, in elapsed ticks.
func (f *Follower) between(i, j int32) float64 {
	d := f.moments[j].elapsed - f.moments[i].elapsed
	if j <= i {
		d += f.length
	}
	return d
}
