package cause

import (
	"sort"
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/judge/flow"
)

// away is a leap that is looked for, from where anything spoke for one until it is found
// or has been looked for in vain.
type away struct {
	on     bool
	likely bool          // when it was looked for last, more spoke for it than against it
	since  time.Duration // the player may have leapt from then on
	known  time.Duration // when anything spoke for it
	next   time.Duration // when it is looked for next
	pass   int           // in which it began
}

// leaping reports a leap that is not sure yet.
func (j *Judge) leaping() bool { return j.led != nil && j.led.away.on && j.led.away.likely }

// mayLeap begins to look for a leap since a time, or goes on with it.
func (j *Judge) mayLeap(since, now time.Duration, likely bool) {
	l := &j.led.away
	if !l.on {
		*l = away{on: true, since: since, next: now + j.ledBar(), pass: j.heard.Leader().Estimate().Pass + j.reading.pass}
	}
	l.known, l.likely = now, l.likely || likely
	l.since = max(l.since, now-longestLeap*j.ledBar(), j.led.leapt)
}

// broke takes the breaks in the order of what is played.
func (j *Judge) broke(all []flow.Break) {
	for i := range all {
		if b := &all[i]; j.goesElsewhere(b) {
			j.mayLeap(b.Left, b.Known, true)
		}
	}
}

// goesElsewhere reports a break after which the player may be elsewhere: any but a way back
// from the end.
func (j *Judge) goesElsewhere(b *flow.Break) bool {
	return b.Kind != finding.WentBack || b.At < j.Score.Wants[len(j.Score.Wants)-1].At
}

// halted looks whether the onset that has just begun comes after a pause.
func (j *Judge) halted() {
	l := j.led
	if l.n > 1 && l.beat > 0 && l.open.at-l.before.at > l.due+time.Duration(leapPause*float64(l.beat)) {
		j.mayLeap(l.before.at, l.open.at, true)
	}
}

// waits takes how long it is until the next moment is due.
func (j *Judge) waits() {
	l, f := j.led, j.heard.Leader()
	est := f.Estimate()
	if est.Event < 0 || est.Lost || est.Extra {
		return
	}
	l.beat = f.Beat()
	next, all := j.Score.Length, j.asked()
	if i := sort.Search(len(all), func(i int) bool { return all[i].place > est.At }); i < len(all) {
		next = all[i].place
	}
	l.due = time.Duration(float64(next-est.At) / float64(j.Score.Meter.Beat()) * float64(l.beat))
}

// wentAway tells of a leap that is sure, in place of the mistakes that it explains: those of
// the place that was left.
func (j *Judge) wentAway(over bool) {
	l := &j.led.away
	now := j.led.before.at
	switch {
	case !l.on:
		return
	case over:
		now = j.led.open.at
	case now > l.known+longestLeap*j.ledBar():
		l.on = false
		return
	case now < l.next:
		return
	}
	l.next = now + j.ledBar()
	r, ok := j.route(now)
	l.likely = ok && r.saved > likelyLeap
	if !ok || !j.playsThere(&r, over) {
		return
	}
	if r.back && int(r.left) == len(j.asked())-1 { // the end
		*l = away{}
		j.led.leapt = r.after
		return
	}
	j.tellLeap(&r)
	j.goOn(&r)
}

// playsThere reports that a leap fits so much better than to stay that it is told, and that
// the player plays on well there.
func (j *Judge) playsThere(r *leap, over bool) bool {
	asked := stopEvidence
	switch {
	case r.back && !r.paused:
		asked = backEvidence
	case !r.back:
		asked = aheadEvidence
	}
	if !j.asked()[r.to].opens {
		asked += intoEvidence
	}
	bars := int32(barsThere)
	if j.options.Patient && !over {
		bars++
	}
	if over {
		bars = 1
	}
	return r.saved >= asked && r.bars >= bars && r.harmonies >= min(bars, barsThere) && wrongThere*r.wrongBars <= r.bars &&
		wrongThere*(r.wrongBars+r.wrongBefore) <= r.bars+r.barsBefore
}

// tellLeap tells what a way was.
func (j *Judge) tellLeap(r *leap) {
	left, to := &j.asked()[r.left], &j.asked()[r.to]
	c := finding.Cause{
		Kind: finding.Restarted, Bar: j.printed(left.bar), ToBar: j.printed(to.bar), Pass: j.led.away.pass,
		At: j.led.open.at, Hand: finding.BothHands, Pause: r.after - r.before,
	}
	if to.place > left.place {
		if to.bar < left.bar+2 {
			return
		}
		c.Kind, c.Bar, c.ToBar, c.Pause = finding.Skipped, j.printed(left.bar+1), j.printed(to.bar-1), 0
	}
	j.causes, j.all = append(j.causes, c), append(j.all, c)
}

func (j *Judge) printed(bar int) int { return j.Score.Bars[bar].Number }
