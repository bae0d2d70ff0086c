package cause

import (
	"time"

	"undersong/internal/judge/finding"
)

// often is how often things have gone wrong of late, a little at a time: each stretch by
// itself was soon over, and yet all may have one cause.
type often struct {
	since [mostOften]time.Duration // when the latest mistakes sound, in a ring
	n     int                      // of all mistakes
	look  int                      // mistakes at which causes are looked for next
	pause int                      // and how many more until the look after that
}

// add takes a mistake.
func (o *often) add(at time.Duration) {
	o.since[o.n%mostOften] = at
	o.n++
}

// from is when the first of some mistakes in a row sounds that are the latest.
func (o *often) from(n int) time.Duration { return o.since[(o.n-n)%mostOften] }

// looks reports that causes are to be looked for, and puts off the next time.
func (o *often) looks() bool {
	if o.n < o.look {
		return false
	}
	o.pause = max(everyWrong, longer(o.pause))
	o.look = o.n + o.pause
	return true
}

// again looks for a cause of mistakes that come again and again between right strokes. All
// that was found has been told.
func (j *Judge) again(f *finding.Finding) {
	o, d := &j.often, &j.doubt
	if j.led != nil || j.found {
		return
	}
	if mistaken(f.Kind) && !alone(f, j.Score) {
		o.add(j.since(f))
	}
	if d.on && !d.vain || o.n < mostOften || !o.looks() {
		return
	}
	since := o.from(mostOften)
	if f.At-since > oftenBars*j.barLasts() {
		return
	}
	was := *d
	d.since, d.began, d.tell, d.held = since, f.At, f.At, nil
	if !j.consider(f.At, false) {
		*d = was
	}
}
