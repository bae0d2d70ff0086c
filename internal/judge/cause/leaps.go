package cause

import (
	"time"

	"undersong/internal/judge/finding"
)

// leap is where a reading begins with a strike, after the one before.
func (j *Judge) leap(ev *evidence, from int) change {
	since := j.doubt.since
	if from == ev.doubted && !j.told {
		return change{leave: since, enter: since}
	}
	c := change{leave: since, enter: ev.struck[from].at - j.close(), leaps: true}
	if from > ev.doubted {
		c.leave = max(since, ev.struck[from-1].at+j.close())
	}
	return c
}

// paused is the strike before which the player stopped: from there on a reading explains
// all as well as the present one, up to a strike from which on it explains more.
func (j *Judge) paused(r *reading, ev *evidence, from int) int {
	longest := max(ev.silence(from), j.Click.Beat())
	at := from
	for i := from - 1; i > 0 && (j.explains(r, &ev.struck[i]) || !ev.struck[i].known); i-- {
		if gap := ev.silence(i); gap > longest {
			at, longest = i, gap
		}
	}
	return at
}

// seam is the strike before which the player leapt. Who leaves bars out goes on in time, so
// that where the music repeats it may be at several bar lines; it is the middle one, which is
// near to all, unless there was a stop.
func (j *Judge) seam(r *reading, ev *evidence, from int) int {
	at := j.paused(r, ev, from)
	if r.late >= ev.present.late {
		return at
	}
	first, last := from, from
	for first > 1 && (j.explains(r, &ev.struck[first-1]) || !ev.struck[first-1].known) {
		first--
	}
	for last+1 < len(ev.struck) && (ev.struck[last].known || !j.explains(r, &ev.struck[last])) {
		last++
	}
	var lines []int
	usual := time.Duration(0)
	for i := max(first, 1); i <= last; i++ {
		if !ev.struck[i].opens {
			continue
		}
		if i != at {
			usual = max(usual, ev.silence(i))
		}
		if j.opensBar(j.spotAt(r, ev.struck[i].at)) && j.opensBar(j.spotAt(&ev.present, ev.struck[i-1].at).next(j.places)) {
			lines = append(lines, i)
		}
	}
	if len(lines) == 0 || ev.silence(at) > usual+j.Click.Beat() {
		return at
	}
	return lines[len(lines)/2]
}

// opensBar reports the first spot of a bar.
func (j *Judge) opensBar(s spot) bool {
	return s.place == 0 || j.bar(spot{s.pass, s.place - 1}) != j.bar(s)
}

// leapt finds out whether the player went back or left bars out before a strike from
// which on a reading holds, and says where.
func (j *Judge) leapt(r *reading, ev *evidence, from int) (c finding.Cause, ok bool) {
	at := ev.struck[from].at
	there := j.spotAt(r, at)
	here := spot{place: -1}
	switch {
	case from > 0:
		here = j.spotAt(&ev.present, ev.struck[from-1].at)
	case j.told:
		here = j.spotAt(&ev.present, j.doubt.since)
	case at < j.Click.Start-j.reach():
		return c, false // nobody leaves out a beginning before it is due
	}
	if from > 0 && !here.before(there) {
		c = finding.Cause{Kind: finding.Restarted, Hand: finding.BothHands, Pause: at - ev.struck[from-1].at}
		c.Bar, c.ToBar = j.number(here), j.number(there)
		return c, true
	}
	next := here.next(j.places)
	if there.pass != next.pass || j.places[there.place].far-j.places[next.place].far < j.barLasts()-j.close() {
		return c, false
	}
	first, last := j.bar(next), j.bar(there)-1
	if next.place > 0 && j.Score.BarAt(j.places[next.place-1].at) == first {
		first++
	}
	first = min(first, last)
	c = finding.Cause{Kind: finding.Skipped, Hand: finding.BothHands, Bar: j.Score.Bars[first].Number, ToBar: j.Score.Bars[last].Number}
	return c, true
}

// spot is a place in one of the passes through the score.
type spot struct{ pass, place int }

// spotAt is the spot that sounds at a time under a reading.
func (j *Judge) spotAt(r *reading, t time.Duration) spot {
	s := spot{pass: r.pass}
	far := j.inScore(r, t)
	for length := j.Click.Pass(); j.options.Loop && far >= length-j.close(); far -= length {
		s.pass++
	}
	first, last := around(j.places, far-j.barLasts(), far+j.barLasts())
	s.place = min(first, len(j.places)-1)
	for i := first; i < last; i++ {
		if off, least := j.places[i].far-far, j.places[s.place].far-far; max(off, -off) < max(least, -least) {
			s.place = i
		}
	}
	return s
}

func (s spot) before(t spot) bool {
	return s.pass < t.pass || s.pass == t.pass && s.place < t.place
}

// next is the spot after one, in a loop too.
func (s spot) next(places []place) spot {
	if s.place+1 < len(places) {
		return spot{s.pass, s.place + 1}
	}
	return spot{s.pass + 1, 0}
}

// bar is the index of the bar in which a spot lies.
func (j *Judge) bar(s spot) int { return j.Score.BarAt(j.places[s.place].at) }

// number is that bar's number as printed.
func (j *Judge) number(s spot) int { return j.Score.Bars[j.bar(s)].Number }
