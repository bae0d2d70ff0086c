package follow

// take goes on along the steps offered: they become the paths.
func (f *Follower) take(t float64) {
	best := f.bestStep
	limit := best - beam
	if len(f.steps) > mostPaths {
		limit = f.limit(best)
	}
	f.next = f.next[:0]
	bestAt := -1
	for i := range f.steps {
		s := &f.steps[i]
		if s.weight < limit || len(f.next) == cap(f.next) && s.weight < best {
			continue
		}
		if len(f.next) == cap(f.next) {
			f.next = f.next[:cap(f.next)-1]
		}
		f.next = append(f.next, f.follow(s, t))
		p := &f.next[len(f.next)-1]
		p.weight = s.weight - best
		if s.weight == best && bestAt < 0 {
			bestAt = len(f.next) - 1
			f.cost -= s.usual
		}
	}
	f.paths, f.next = f.next, f.paths
	f.bestPath = int32(bestAt)
	f.cost -= best
}

// limit is a weight that about mostPaths steps are above.
func (f *Follower) limit(best float64) float64 {
	const bins = 64
	var count [bins + 1]int
	for i := range f.steps {
		count[min(bins, int((best-f.steps[i].weight)*(bins/beam)))]++
	}
	n := 0
	for b := range count {
		if n += count[b]; n > mostPaths {
			return best - max(1, float64(b))*(beam/bins)
		}
	}
	return best - beam
}

// follow is the path that a step leads on to.
func (f *Follower) follow(s *step, t float64) path {
	if s.from < 0 {
		return path{
			event: s.event, begunAt: t, lastAt: t, struck: s.took, wrong: s.cost, new: true, by: enter, before: -1,
			struckAt: t, retimed: t, perTick: f.written, tempoVariance: firstVariance, bar: f.events[s.event].bar, extraAt: -1,
		}
	}
	p := f.paths[s.from]
	switch s.by {
	case completion:
		p.struck |= s.took
		p.lastAt = t
	case within:
		p.lastAt = t
		p.wrong += s.cost
		p.foreign = p.foreign.With(f.key.Class())
	case belonging:
		p.lacking &^= s.took
	case addition:
		f.standsFor(&p, s, t)
	default:
		f.move(&p, s, t)
	}
	return p
}

// standsFor takes in a note that stands for nothing.
func (f *Follower) standsFor(p *path, s *step, t float64) {
	if !f.oneAddition(p, t) {
		p.extraAt, p.extra = t, 0
		p.retimed, p.sameEvent = t, false
	}
	p.extra += s.cost
	p.new = false
}

// move takes the path to another event, or to its own once more.
func (f *Follower) move(p *path, s *step, t float64) {
	struckAt, retimed, sameEvent := t, t, false
	gap := f.between(p.event, s.event)
	switch s.by {
	case advance:
		if due := p.struckAt + gap*p.perTick; p.slipped(t-due, gap) {
			retimed, sameEvent = due, true // the next stroke may be in time again
		}
		f.learn(p, t-p.struckAt, gap)
	case rebased:
		f.learn(p, t-p.retimed, gap)
	case repeat, jump:
		if s.event == p.event && s.by == repeat {
			struckAt, sameEvent = p.struckAt, true // on in time with the first try, or with this
		}
		p.tempoVariance = min(firstVariance, p.tempoVariance+drift)
	}
	if s.by != repeat && f.loop && p.event > s.event && int(p.event)+reach >= len(f.events) {
		p.pass++
	}
	if s.event != p.event {
		m := &f.strokes[f.events[p.event].stroke]
		p.before, p.beforeAt, p.lacking = p.event, p.lastAt, (m.need[0]|m.need[1])&^p.struck
	}
	bar := f.events[s.event].bar
	if bar != p.bar || s.by == jump {
		p.foreign = 0
	}
	if s.took == 0 {
		p.foreign = p.foreign.With(f.key.Class())
	}
	p.wrongSoFar = p.wrongIn(bar, s.left)
	if s.by == jump {
		p.wrongSoFar, p.leap = 0, f.now
	}
	p.bar, p.wrong = bar, s.cost
	p.event, p.begunAt, p.lastAt, p.struck, p.new, p.by = s.event, t, t, s.took, true, s.by
	p.struckAt, p.retimed, p.sameEvent = struckAt, retimed, sameEvent
	p.resting, p.extraAt, p.extra = s.resting, -1, 0
}

// between is the time from event i on to event j, in elapsed ticks.
func (f *Follower) between(i, j int32) float64 {
	d := f.events[j].elapsed - f.events[i].elapsed
	if j <= i {
		d += f.length
	}
	return d
}

// fadeOut makes places less likely that only a jump leads to from the best one.
func (f *Follower) fadeOut() {
	leap := f.paths[f.bestPath].leap
	for i := range f.paths {
		if p := &f.paths[i]; p.leap != leap {
			p.weight -= fade
		}
	}
}
