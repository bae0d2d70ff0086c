package cause

import (
	"math"
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/midi/event"
)

// choice is the best of the readings.
type choice struct {
	reading reading
	saved   float64 // nats
	nearest float64 // nats: the same, with less for octaves
	rival   float64 // nats: the next best that differs
}

func (c *choice) take(r *reading, saved, nearest float64) {
	switch {
	case c.saved == 0 || nearest > c.nearest:
		was := *c
		*c = choice{*r, saved, nearest, was.rival}
		if was.saved != 0 && differs(r, &was.reading) {
			c.rival = was.nearest
		}
	case differs(r, &c.reading):
		c.rival = max(c.rival, nearest)
	}
}

// clear reports that no other comes near: none that is not sure yet, and none that says
// the same of another place or another hand. At last less will do.
func (j *Judge) clear(c, unsure *choice, last bool) bool {
	strays := j.strays(&c.reading)
	if last && !strays {
		return unsure.nearest <= c.nearest+rivalry
	}
	ahead := 0.0
	switch {
	case strays:
		ahead = rivalry
	case c.reading.is(finding.OctaveOff), c.reading.score != nil:
		ahead = ofHand
	}
	return unsure.nearest <= c.nearest-ahead && (last || ahead == 0 || c.rival <= c.nearest-ahead)
}

// differs reports that the music is at two places under two readings, or lies in two
// ways.
func differs(a, b *reading) bool {
	return a.pace == b.pace && max(a.late-b.late, b.late-a.late) > leastShift || a.lift != b.lift || a.score != b.score
}

// consider looks for a reading that describes the stretch in doubt clearly better than
// the present one, and takes it. Where another would be still better and is not sure, it
// waits, except at last.
func (j *Judge) consider(now time.Duration, last bool) bool {
	if j.led != nil {
		return j.considerLed(now)
	}
	j.narrow(now)
	present := j.reading
	present.change = change{leave: j.doubt.since, enter: j.doubt.since}
	was, found, ok := j.weigh(&present, now)
	if !ok {
		return false
	}
	var sure, unsure choice
	j.doubt.likely, j.doubt.near, j.doubt.looked = false, false, now
	ev := j.evidence(now)
	for _, r := range j.propose(&ev) {
		w, anew, ok := j.fitting(&r, &ev, &was, found, now)
		if !ok {
			continue
		}
		sums := w
		sums.before(found, &present, r.change.leave, was.score)
		saved := j.saves(&r, &was, &sums)
		j.doubt.likely = j.doubt.likely || saved > -margin
		best := &sure
		if !j.measured(&r, &w, now) || j.strays(&r) && !(j.certain(&r, &w, anew, found) && w.asExact(&was)) {
			best = &unsure
		}
		if saved > 0 && j.onThePiano(&r) {
			best.take(&r, saved, saved-ofOctave*float64(w.far)+ofExact*float64(w.exact))
		}
	}
	if sure.saved <= 0 || !j.clear(&sure, &unsure, last) {
		j.doubt.near = max(sure.saved, unsure.saved) > 0
		return false
	}
	j.found = true
	j.switchTo(sure.reading, now)
	return true
}

// fitting weighs a reading; ok is false where most strokes are wrong under it.
func (j *Judge) fitting(r *reading, ev *evidence, was *weight, found []placed, now time.Duration) (w weight, anew []placed, ok bool) {
	if r.is(finding.OtherChart) {
		w, ok = j.foreign(ev, was)
		return w, nil, ok
	}
	if w, anew, ok = j.weigh(r, now); ok {
		j.begin(r, ev, &w, was, anew, found)
	}
	switch {
	case !ok, j.nothing(r, &w, now):
		return w, anew, ok
	case r.offAssignment():
		return w, anew, w.instead(was)
	case r.is(finding.Silent):
		return w, anew, w.fits() && w.heard()
	}
	return w, anew, w.fits()
}

// narrow leaves out what is long over.
func (j *Judge) narrow(now time.Duration) {
	d := &j.doubt
	d.since = max(d.since, now-mostJudged*j.barLasts())
	c := &j.heard.Click
	if here := c.PositionAt(max(now, c.Start)); d.vain && c.PassStart(here.Pass) > d.since+j.reach() {
		d.since = c.PassStart(here.Pass) - j.reach()
	}
	d.tell = max(d.tell, d.since)
}

// delayed measures a delay better with each stroke.
func (j *Judge) delayed(off time.Duration) {
	c := &j.all[j.current[when]]
	j.evenly++
	c.Offset += (j.reading.late + off - c.Offset) / time.Duration(j.evenly)
}

// saves is by how much a reading is better than the present one, the margin taken off.
func (j *Judge) saves(r *reading, present, w *weight) float64 {
	saved := present.nats - w.nats
	if r.moves() || j.reading.moves() || r.is(finding.OtherChart) {
		saved += ofNote*float64(present.notes-w.notes) - ofNumber
	}
	return saved - j.costs(r)
}

// costs is what it costs to name a reading in place of the present one.
func (j *Judge) costs(r *reading) float64 {
	if r.refines(&j.reading) {
		return 0
	}
	named := 0.0
	for n := range r.causes {
		if c := &r.causes[n]; c.Kind != finding.NoCause && *c != j.reading.causes[n] {
			named += j.naming() + j.unusual(r)
		}
	}
	if named == 0 {
		return backAgain
	}
	if j.options.Patient {
		named += moreSure
	}
	return named + margin
}

func (j *Judge) naming() float64 {
	if !j.told {
		return ofFirst
	}
	return ofCause
}

// unusual is what it costs that music is far from where it is due, or off the beat.
func (j *Judge) unusual(r *reading) float64 {
	beats := math.Abs(float64(r.late)) / float64(j.Click.Beat())
	if r.pace != 0 || r.is(finding.Delay) {
		return 0
	}
	if r.is(finding.OtherPattern) {
		return ofPattern
	}
	cost := ofBeats * math.Log(1+beats)
	if math.Abs(beats-math.Round(beats)) > 0.25 {
		cost += ofHalf
	}
	return cost
}

// switchTo judges under another reading from now on. What the present one found before
// that takes its place is told as it found it.
func (j *Judge) switchTo(r reading, now time.Duration) {
	j.retold = r.refines(&j.reading)
	for i := range j.doubt.held {
		if f := &j.doubt.held[i]; j.wantedAt(f) < r.change.leave {
			j.tell(f)
		}
	}
	j.doubt.held = j.doubt.held[:0]
	j.fresh, j.evenly = [2]bool{}, 0
	for n := range r.causes {
		c := r.causes[n]
		if c == j.reading.causes[n] || c.Kind == finding.NoCause || j.retold {
			continue
		}
		c.At, j.current[n], j.fresh[n] = now, len(j.all), true
		j.all = append(j.all, c)
	}
	j.reading, j.astray = r, astray{since: r.change.enter}
	r.score = nil // what is asked for may come again
	j.heard, _ = j.judge(&r, stretch{r.pass, 0, len(j.Score.Bars) - 1}, j.options.Loop)
}

// wantedAt is when the place of a finding sounds under the present reading.
func (j *Judge) wantedAt(f *finding.Finding) time.Duration {
	return j.heard.Click.TimeOf(f.Pass-j.reading.pass, placeIn(j.Score, f))
}

// placeAt lets the causes that were taken begin with a finding.
func (j *Judge) placeAt(f *finding.Finding) {
	for n, fresh := range j.fresh {
		if !fresh {
			continue
		}
		c := &j.all[j.current[n]]
		if c.Pass = f.Pass; !c.Kind.Leaps() {
			c.Bar = j.Score.Bars[f.Bar].Number
		}
	}
}

// judgeAnew judges what was played in the stretch that was in doubt, up to a time, under
// the reading that was taken.
func (j *Judge) judgeAnew(now time.Duration) {
	if j.led != nil {
		j.judgeAnewLed(now)
		return
	}
	j.found = false
	first := true
	told := func(found []finding.Finding) {
		for i := range found {
			f, at := found[i], begins(j.heard, &found[i])
			if at < j.reading.change.enter {
				continue
			}
			j.asRead(&f)
			if first {
				j.placeAt(&f)
				first = false
			}
			if at >= j.doubt.tell && !j.reading.offAssignment() && !j.unheard(&f) {
				j.tell(&f)
			}
		}
	}
	c := &j.reading.change
	j.kept.each(j.from(), now, func(ev event.Event) {
		if !c.leaps || ev.At >= c.enter {
			told(j.heard.Feed(ev))
		}
	})
	told(j.heard.Tick(now))
	for n, fresh := range j.fresh {
		if fresh {
			j.causes = append(j.causes, j.all[j.current[n]])
		}
	}
	j.doubt.end()
	j.often = often{}
}
