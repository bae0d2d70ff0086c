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
	m, w := &f.events[f.place.event], f.current()
	return Estimate{
		Event: int(f.place.event), At: m.at, Bar: int(m.bar), Pass: int(w.pass),
		Tempo:      f.tempo(&w),
		Confidence: f.confidence(), Extra: f.place.stay, Lost: f.lost, Jumped: f.jumped,
		Before: f.placeBefore(),
	}
}

// placeBefore is the place of the onset before on the path to the best place.
func (f *Follower) placeBefore() meter.Ticks {
	i := f.place.event
	if !f.place.stay {
		i = f.move[i].from
	}
	if i < 0 || f.paths[i].struckAt != f.startBefore {
		return -1
	}
	return f.events[i].at
}

func (f *Follower) tempo(w *path) meter.Tempo {
	return meter.Tempo(60 / (w.perTick * float64(f.score.Meter.Beat())))
}

// current is the path to the best place.
func (f *Follower) current() path { return f.follow(f.place.event, f.place.stay) }

// confidence is the share of likelihood of the places at which the same comes
// next as at the best.
func (f *Follower) confidence() float64 {
	if f.weighed {
		return f.sure
	}
	ahead := f.events[f.place.event].ahead
	all, same := 0.0, 0.0
	for i := range f.choices {
		c := &f.choices[i]
		d := c.now - f.place.weight
		if d < -faint {
			continue
		}
		p := math.Exp(d)
		all += p
		if f.events[c.event].ahead == ahead {
			same += p
		}
	}
	f.sure, f.weighed = same/all, true
	return f.sure
}

// judgeSurely says whether the place is lost: several places fit as well, or
// none has fitted for some time.
func (f *Follower) judgeSurely() {
	mean := f.mean + memory*(-f.place.weight-f.mean)
	limit := lostAt
	if f.lost {
		limit = foundAt
	}
	f.lost = mean > limit || f.confidence() < leastWeight
}

// leapt reports that playing began anew at the place of the open onset.
func (f *Follower) leapt(g guess) bool {
	k := f.move[g.event].by
	return !g.stay && (k == enter || k == jump) || g.event < f.best || !f.near(f.best, g.event)
}

// note keeps when the best place was struck, and where playing began anew.
func (f *Follower) note(best guess) {
	j := best.event
	time := f.next[j].struckAt
	if f.leapt(best) {
		f.restart = j
	} else {
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
	w := f.current()
	here := f.events[f.place.event].elapsed
	d := f.score.Elapsed(at) - here + float64(pass-int(w.pass))*f.length
	if d >= 0 || pass != int(w.pass) || f.leapt(f.place) {
		return duration(w.struckAt + d*w.perTick)
	}
	return duration(f.played(at, &w))
}

// played is when a place before the current one was played, since playing last
// began anew.
func (f *Follower) played(at meter.Ticks, w *path) float64 {
	here, before := int(f.place.event), int(f.best)
	if at >= f.events[before].at {
		return f.partly(at, before, here, f.heard[before], w.struckAt)
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
		w := f.current()
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
	w := f.current()
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
