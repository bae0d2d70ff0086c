package cause

import (
	"time"

	"undersong/internal/judge/engine"
	"undersong/internal/judge/finding"
	"undersong/internal/listen/keyboard"
	"undersong/internal/midi/event"
)

// goOn judges anew what was played since a leap, and on from there: a follower that was
// not told of it may still be looking for the place. What was told stays told.
func (j *Judge) goOn(r *leap) {
	j.keepUntil(r.before)
	l, pass := j.led, j.led.away.pass
	j.heard = j.sinceLeap(r)
	j.reading.pass = pass
	l.away, l.leapt = away{}, r.after
	l.anchored, l.rests, l.steady.n = 0, [2]rest{}, 0
	told := j.toldAt
	begins := r.after - keyboard.Together
	j.kept.each(0, l.open.at, func(ev event.Event) {
		if ev.At < r.after && ev.IsNoteOn() {
			return
		}
		found := j.heard.Feed(ev)
		if ev.At < begins {
			return
		}
		j.timed()
		for i := range found {
			f := found[i]
			if j.asRead(&f); f.At > told && !j.unheard(&f) {
				j.tell(&f)
			}
		}
	})
}

// keepUntil tells what was kept back up to a time, and forgets the rest.
func (j *Judge) keepUntil(at time.Duration) {
	d := &j.doubt
	for i := range d.held {
		if f := &d.held[i]; f.At <= at || f.Kind != finding.Right && !mistaken(f.Kind) && f.Kind != finding.Lost {
			j.tell(f)
		}
	}
	d.end()
}

// sinceLeap is an engine of the present reading for a player who has leapt.
func (j *Judge) sinceLeap(r *leap) *engine.Engine {
	s, _ := j.reading.of(j.Score)
	o := j.options.Options
	o.From = j.asked()[r.to].place
	return engine.New(j.reading.alone(s), o)
}
