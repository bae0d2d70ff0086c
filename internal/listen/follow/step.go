package follow

import "math"

// step is a transition that the note just struck may be, at what weight.
type step struct {
	weight  float64
	begunAt float64 // when the stroke began that the note is taken for
	cost    float64 // of the note, where it does not belong
	left    float64 // what was left out of the stroke before has cost
	usual   float64 // of the weight, what a stroke in time costs
	event   int32
	from    int32 // index into Follower.paths; -1 for the first note
	next    int32 // index of another step to the same event, plus 1
	took    tones // the note of the stroke that it is
	resting uint8
	by      transition
}

// offer takes a step among those that may be taken. Of two to one event, in one
// stroke, the better is kept.
func (f *Follower) offer(s *step) {
	if s.weight < f.bestStep-beam {
		return
	}
	f.bestStep = max(f.bestStep, s.weight)
	if f.stamp[s.event] != f.now {
		f.stamp[s.event], f.head[s.event] = f.now, 0
	}
	for n := f.head[s.event]; n > 0; n = f.steps[n-1].next {
		old := &f.steps[n-1]
		if math.Abs(old.begunAt-s.begunAt) < together && (old.by == addition) == (s.by == addition) {
			if s.weight > old.weight {
				s.next = old.next
				*old = *s
			}
			return
		}
	}
	s.next = f.head[s.event]
	f.steps = append(f.steps, *s)
	f.head[s.event] = int32(len(f.steps))
}

// fitOf is how the note just struck fits an event.
func (f *Follower) fitOf(event int32) *fit { return &f.row[f.events[event].stroke] }

// enterAnywhere is for the first note: where playing most likely begins, or elsewhere.
func (f *Follower) enterAnywhere(t float64) {
	enterAt := func(j int, cost float64) {
		fit := f.fitOf(int32(j))
		took, c := fit.of(^tones(0))
		if took == 0 {
			c = min(f.tune[f.key], costForeign)
		}
		f.offer(&step{weight: -cost - c, begunAt: t, event: int32(j), from: -1, took: took, by: enter, cost: c})
	}
	skipped := 0.0
	for j := range min(reach, len(f.events)-f.from) {
		enterAt(f.from+j, skipped)
		skipped += costSkip + costSkipMore*float64(min(j, 1))
	}
	for b, j := range f.first {
		enterAt(int(j), costElsewhere+min(toBar, f.entry[b])+min(costLaterMost, costLater*float64(max(0, b-1))))
	}
	for j := range f.events {
		enterAt(j, costElsewhere+toAny)
	}
}

// goOn offers all that the note may be after a path, but for a jump.
func (f *Follower) goOn(from int32, t float64) {
	p := &f.paths[from]
	fit := f.fitOf(p.event)
	f.stay(p, from, t, fit)
	f.advance(p, from, t)
	if f.one(p, t) {
		return
	}
	if took, c := fit.of(^tones(0)); took != 0 {
		cost := costAgain + c + max(0, f.usual(p)-spared)
		if t-p.struckAt > stumble*f.beat*p.perTick {
			cost += costAgainLate
		}
		f.offer(&step{weight: p.weight - cost, begunAt: t, event: p.event, from: from, took: took, by: repeat, cost: c, resting: p.resting})
	}
	if p.event > 0 {
		if took, c := f.fitOf(p.event - 1).of(^tones(0)); took != 0 {
			f.offer(&step{weight: p.weight - costBack - c, begunAt: t, event: p.event - 1, from: from, took: took, by: repeat, cost: c, resting: p.resting})
		}
	}
}

// usual is what time costs a stroke of the next event that comes when it is due.
func (f *Follower) usual(p *path) float64 {
	return 0.5 * logOf(p.variance(f.events[f.after(int(p.event))].gap*p.perTick)/(unevenness*unevenness))
}

// stay offers that the note leads nowhere.
func (f *Follower) stay(p *path, from int32, t float64, fit *fit) {
	s := step{begunAt: p.begunAt, event: p.event, from: from, resting: p.resting}
	took, c := fit.of(^p.struck)
	if took != 0 {
		s.took, s.by = took, completion
		s.weight = p.weight - c - f.belatedly(p, t)
		f.offer(&s)
		s.took = 0
	}
	if f.one(p, t) {
		if took != 0 {
			return
		}
		s.by, s.cost = within, f.beside(p, fit)
		s.weight = p.weight - s.cost
		f.offer(&s)
		return
	}
	if p.lacking != 0 && t-p.beforeAt < tardy {
		if took, c := f.fitOf(p.before).of(p.lacking); took != 0 {
			s.took, s.by = took, belonging
			s.weight = p.weight - c - costTardy
			f.offer(&s)
			s.took = 0
		}
	}
	s.by, s.cost = addition, f.added(p, t)
	s.weight = p.weight - s.cost - f.overdue(p, t)
	f.offer(&s)
}

// one reports that the note sounds with the stroke of the event.
func (f *Follower) one(p *path, t float64) bool {
	return p.new && (t-p.begunAt <= together || f.rolls(p.event, t) && t-p.begunAt <= longestRoll)
}

// oneAddition reports that the note sounds with the last that stood for nothing.
func (f *Follower) oneAddition(p *path, t float64) bool {
	return t-p.extraAt <= together || p.extraAt >= 0 && f.rolls(p.event, t) && t-p.extraAt <= longestRoll
}

// rolls reports a note that may belong to a rolled chord.
func (f *Follower) rolls(event int32, t float64) bool {
	return (f.events[event].roll || f.events[f.after(int(event))].roll) && t-f.last <= rollGap
}

// belatedly is the cost of a note of a chord that comes after the one before.
func (f *Follower) belatedly(p *path, t float64) float64 {
	dt := t - p.lastAt
	if dt <= together {
		return 0
	}
	sd := min(belated, belatedShare*f.events[f.after(int(p.event))].gap*p.perTick)
	return min(costBelatedMost, dt*dt/(2*sd*sd))
}

// beside is the cost of a note that does not belong to the stroke it sounds with.
func (f *Follower) beside(p *path, fit *fit) float64 {
	c := min(fit.cost, f.tune[f.key], costForeign)
	return max(0, min(c, p.mostOf(p.bar, p.wrongSoFar, f.key)-p.wrong))
}

// added is the cost of a note that stands for nothing.
func (f *Follower) added(p *path, t float64) float64 {
	c := min(f.tune[f.key], f.ornament)
	if f.oneAddition(p, t) {
		return max(0, min(c, costMost-p.extra))
	}
	if c < costExtraKey {
		return c // it is known by its time
	}
	return c + f.untimed(p)
}

// untimed is the cost of a note that may come at any time before the next event,
// beside one that comes in time.
func (f *Follower) untimed(p *path) float64 {
	wait := f.events[f.after(int(p.event))].gap * p.perTick
	return logOf(max(1, wait/(unevenness*math.Sqrt(2*math.Pi))))
}

// overdue is the cost of a silence after which nothing comes that goes on.
func (f *Follower) overdue(p *path, t float64) float64 {
	due := f.events[f.after(int(p.event))].gap + (stumble-1)*f.beat
	if t-p.struckAt > due*p.perTick {
		return costAgainLate
	}
	return 0
}

// ornamental is the cost of the note as one of an ornament: a step from a note
// just before, and of a trill where it was struck before that; or as none.
func (f *Follower) ornamental(t float64) float64 {
	same, step := trill, ornament
	for i, k := range f.recent {
		d, ago := f.key-k, t-f.recentAt[i]
		switch {
		case d == 0 && ago > together:
			same = min(same, ago)
		case d != 0 && d >= -aStep && d <= aStep:
			step = min(step, ago)
		}
	}
	switch {
	case same < trill && math.Abs(2*step-same) < 0.5*same: // the other note came halfway between
		return costTrill
	case step < ornament:
		return costOrnament
	}
	return costExtraKey
}

// advance offers the next events.
func (f *Follower) advance(p *path, from int32, t float64) {
	left, resting := f.leave(p)
	base := p.weight - left
	gap, skipped := 0.0, 0.0
	j := int(p.event)
	for k := 0; k < reach; {
		if base-skipped < f.bestStep-beam {
			return
		}
		if j = f.after(j); j == 0 && !f.loop {
			return
		}
		m := &f.events[j]
		gap += m.gap
		fit := &f.row[m.stroke]
		took, c := fit.of(^tones(0))
		if took == 0 && j == f.after(int(p.event)) {
			c = min(fit.cost, f.tune[f.key], costForeign, p.mostOf(m.bar, p.wrongIn(m.bar, left), f.key))
			f.advanceTo(p, step{weight: base - c, cost: c, begunAt: t, event: int32(j), from: from, by: advance, resting: resting, left: left}, t, gap)
		} else if took != 0 {
			f.advanceTo(p, step{weight: base - skipped - c, cost: c, took: took, begunAt: t, event: int32(j), from: from, by: advance, resting: resting, left: left}, t, gap)
		}
		cost, now := f.skip(m, resting)
		if k > 0 && cost > costRest {
			cost += costSkipMore
		}
		if cost > costRest {
			k++
		}
		skipped += cost
		resting = now
		if gap*p.perTick > t-p.struckAt+farAhead && k > 1 {
			return
		}
	}
}

// advanceTo offers an event in time with the last one, or with what came after.
func (f *Follower) advanceTo(p *path, s step, t, gap float64) {
	base := s.weight
	if base < f.bestStep-beam {
		return
	}
	cost, usual := p.timing(t-p.struckAt, gap)
	s.weight, s.usual = base-cost, usual
	f.offer(&s)
	if p.retimed != p.struckAt {
		cost, s.usual = p.timing(t-p.retimed, gap)
		s.weight, s.by = base-p.rebase()-cost, rebased
		f.offer(&s)
	}
}

// leave is what it costs that notes of the event were left out, and which hands
// rest.
func (f *Follower) leave(p *path) (cost float64, resting uint8) {
	s := &f.strokes[f.events[p.event].stroke]
	resting = p.resting
	for h, need := range s.need {
		if need == 0 {
			continue
		}
		bit := uint8(1) << h
		switch missing := need &^ p.struck; {
		case missing != need:
			resting &^= bit
			cost += costLacking * float64(missing.count())
		case resting&bit == 0:
			resting |= bit
			cost += costSilent
		default:
			cost += costRest
		}
	}
	if p.wrong > 0 {
		cost *= insteadOf
	}
	return min(cost, max(0, p.most()-p.wrong)), resting
}

// skip is what it costs to leave out an event.
func (f *Follower) skip(m *scoreEvent, resting uint8) (float64, uint8) {
	var hands uint8
	for h, need := range f.strokes[m.stroke].need {
		if need != 0 {
			hands |= 1 << h
		}
	}
	if hands != 0 && hands&^resting == 0 && resting != 3 {
		return costRest, resting
	}
	return costSkip, resting | hands
}

// after is the event after i; the last one's is the first.
func (f *Follower) after(i int) int {
	if i+1 == len(f.events) {
		return 0
	}
	return i + 1
}
