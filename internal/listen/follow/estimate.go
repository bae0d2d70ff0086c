package follow

import (
	"math"
	"sort"
	"time"

	"undersong/internal/music/meter"
)

// Estimate is where the last stroke was, as far as can be known.
type Estimate struct {
	Event      int         // counted over the times at which the score wants anything; -1 before the first stroke
	At         meter.Ticks // its place
	Bar        int         // index into the score's bars
	Pass       int         // from 0
	Tempo      meter.Tempo // the player's
	Confidence float64     // 0 to 1: how likely what comes next is what comes next there
	Extra      bool        // the last onset stands for nothing in the score
	Lost       bool        // the place is not known; what is told is the best guess
	Before     meter.Ticks // the place of the onset before, seen from here; -1 where it stood for nothing new
	Jumped     bool        // the place is not that of the onset before, or shortly after it
}

// Estimate tells the place of the last stroke.
func (f *Follower) Estimate() Estimate {
	if !f.open {
		return Estimate{Event: -1, Before: -1, Tempo: f.score.Tempo}
	}
	p := &f.place
	m := &f.events[p.event]
	return Estimate{
		Event: int(p.event), At: m.at, Bar: int(m.bar), Pass: int(p.pass),
		Tempo:      f.tempo(p),
		Confidence: f.confidence(), Extra: p.lastAt < f.start, Lost: f.lost, Jumped: f.jumped,
		Before: f.placeBefore(),
	}
}

// placeBefore is the place of the onset before on the path to the best place.
func (f *Follower) placeBefore() meter.Ticks {
	p := &f.place
	during := func(at float64) bool { return at >= f.startBefore && at < f.start }
	switch {
	case f.before < 0:
	case during(p.begunAt), f.again(p):
		return f.events[p.event].at
	case p.before >= 0 && during(p.beforeAt):
		return f.events[p.before].at
	}
	return -1
}

// again reports that the open onset strikes the event of the one before once more.
func (f *Follower) again(p *path) bool {
	return p.begunAt >= f.start && (p.struckAt < f.start || p.by == jump && p.event == f.before)
}

func (f *Follower) tempo(w *path) meter.Tempo {
	return meter.Tempo(60 / (w.perTick * float64(f.score.Meter.Beat())))
}

// confidence is the share of likelihood of the places at which the same comes
// next as at the best.
func (f *Follower) confidence() float64 {
	if f.weighed {
		return f.sure
	}
	ahead := f.events[f.place.event].ahead
	all, same := 0.0, 0.0
	for i := range f.paths {
		p := &f.paths[i]
		if p.weight < -faint {
			continue
		}
		share := math.Exp(sharp * p.weight)
		all += share
		if f.events[p.event].ahead == ahead {
			same += share
		}
	}
	f.sure, f.weighed = same/all, true
	return f.sure
}

// judgeSurely says whether the place is lost: several places fit as well, or
// none has fitted for some time.
func (f *Follower) judgeSurely() {
	mean := f.mean + memory*(f.cost-f.mean)
	limit := lostAt
	if f.lost {
		limit = foundAt
	}
	f.lost = mean > limit || f.confidence() < leastWeight
}

// leapt reports that playing began anew with the stroke of a path, in the open
// onset or where the place before was another.
func (f *Follower) leapt(p *path) bool {
	return p.begunAt >= f.start && (p.by == enter || p.by == jump) || p.event < f.best || !f.close(f.best, p.event)
}

// note keeps when the best place was struck, and where playing began anew.
func (f *Follower) note(p *path) {
	j := p.event
	time := p.struckAt
	if f.leapt(p) {
		f.restart = j
	} else {
		time = max(time, f.heard[f.best])
		f.fill(f.best, j, time)
	}
	f.heard[j] = time
}

// fill gives the events that were left out between i and j their times; j was
// struck at a time.
func (f *Follower) fill(i, j int32, time float64) {
	from, to := f.events[i].elapsed, f.events[j].elapsed
	for k := i + 1; k < j; k++ {
		part := (f.events[k].elapsed - from) / (to - from)
		f.heard[k] = f.heard[i] + part*(time-f.heard[i])
	}
}

// TimeOf is when a place of the score sounds in a pass: past places as they
// were played, places to come by the tempo, as if the player did not wait. What
// was played before the last jump is counted back from there.
func (f *Follower) TimeOf(pass int, at meter.Ticks) time.Duration {
	if !f.open {
		return duration((f.score.Elapsed(at) + float64(pass)*f.length) * f.written)
	}
	w := &f.place
	here := f.events[f.place.event].elapsed
	d := f.score.Elapsed(at) - here + float64(pass-int(w.pass))*f.length
	if d >= 0 || pass != int(w.pass) || f.leapt(w) {
		return duration(f.since(w) + d*w.perTick)
	}
	return duration(f.played(at, w))
}

// since is when the event of a path was struck: not before the event that was the
// likeliest then, where the music went on from there.
func (f *Follower) since(p *path) float64 {
	if f.before < 0 || f.leapt(p) {
		return p.struckAt
	}
	return max(p.struckAt, f.heard[f.best])
}

// played is when a place before the current one was played, since playing last
// began anew.
func (f *Follower) played(at meter.Ticks, w *path) float64 {
	here, before := int(f.place.event), int(f.best)
	if at >= f.events[before].at {
		return f.partly(at, before, here, f.heard[before], f.since(w))
	}
	if run := int(f.restart); at <= f.events[run].at {
		return f.heard[run] - (f.events[run].elapsed-f.score.Elapsed(at))*w.perTick
	}
	j := sort.Search(before, func(i int) bool { return f.events[i].at > at }) // the first event after at
	return f.partly(at, j-1, j, f.heard[j-1], f.heard[j])
}

// partly is the time of a place between events i and j, given theirs.
func (f *Follower) partly(at meter.Ticks, i, j int, from, to float64) float64 {
	a, b := f.events[i].elapsed, f.events[j].elapsed
	if a == b {
		return to
	}
	return from + (f.score.Elapsed(at)-a)/(b-a)*(to-from)
}

// Beat is how long one felt beat of the player lasts, where the score does not
// slow down.
func (f *Follower) Beat() time.Duration {
	perTick := f.written
	if f.open {
		w := &f.place
		perTick = w.perTick
	}
	return duration(perTick * float64(f.score.Meter.Beat()))
}

// PositionAt is the place at a time not before the last stroke. Between strokes
// it goes on by the tempo, and waits at the next event for the player.
func (f *Follower) PositionAt(now time.Duration) Position {
	if !f.open {
		return Position{Pass: -1, Beat: 1}
	}
	w := &f.place
	m := &f.events[f.place.event]
	gone := meter.Ticks(f.score.Ahead(m.at, max(0, (seconds(now)-w.struckAt)/w.perTick)) + placeRounding)
	p := Position{Pass: int(w.pass), At: m.at + min(gone, f.untilNext())}
	if p.At >= f.score.Length {
		if !f.loop {
			return Position{Pass: p.Pass, At: f.score.Length, Bar: len(f.score.Bars) - 1, Beat: 1, Ended: true}
		}
		p.At -= f.score.Length
		p.Pass++
	}
	p.Bar = f.score.BarAt(p.At)
	p.Beat = f.score.Meter.BeatAt(p.At - f.score.Bars[p.Bar].At)
	return p
}

// untilNext is the distance from the place to the next event, or to the end.
func (f *Follower) untilNext() meter.Ticks {
	i := int(f.place.event)
	if i+1 == len(f.events) && !f.loop {
		return f.score.Length - f.events[i].at
	}
	next := f.events[f.after(i)].at
	if next <= f.events[i].at {
		next += f.score.Length
	}
	return next - f.events[i].at
}
