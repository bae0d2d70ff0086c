package cause

import (
	"time"

	"undersong/internal/judge/engine"
	"undersong/internal/judge/finding"
	"undersong/internal/midi/event"
)

// considerLed is consider for a player who leads.
func (j *Judge) considerLed(now time.Duration) bool {
	d := &j.doubt
	d.since = max(d.since, now-mostWeighed*j.ledBar())
	d.tell = max(d.tell, d.since)
	present, ok := j.weighLed(&j.reading, now)
	if !ok {
		return false
	}
	var best reading
	most := 0.0
	d.likely = false
	for _, r := range j.proposeLed(now, &present) {
		w, ok := j.weighLed(&r, now)
		if !ok || !w.fits() || !w.heard() || len(w.harmonies) < j.fewest(&r) {
			continue
		}
		saved := j.savesLed(&r, &present, &w)
		d.likely = d.likely || saved > -margin
		if saved > most {
			best, most = r, saved
		}
	}
	if most <= 0 {
		return false
	}
	j.takeReading(best, now)
	return true
}

// fewest is in how many harmonies strokes must be right: in one or two all may be wrong for
// a reason of their own.
func (j *Judge) fewest(r *reading) int {
	switch {
	case r.plain():
		return 1
	case !j.told:
		return fewestHarmonies
	}
	return fewestHarmonies + 1
}

// savesLed is saves for a player who leads: notes that no stroke explains count.
func (j *Judge) savesLed(r *reading, present, w *weight) float64 {
	saved := present.nats - w.nats - ofOctave*float64(w.far)
	switch {
	case r.plain():
		return saved - backAgain
	case !j.told:
		return saved - ofFirst - margin
	}
	return saved - ofCause - margin
}

// weighLed judges what was struck in the stretch in doubt under a reading.
func (j *Judge) weighLed(r *reading, now time.Duration) (w weight, ok bool) {
	e, ok := j.follower(r)
	if !ok {
		return w, false
	}
	w.chords, w.harmonies = map[chordOf]bool{}, map[chordOf]bool{}
	since := j.doubt.since
	o := unexplained{bar: j.ledBar()}
	j.replay(e, r, j.warmUp(), now, func(ev event.Event, found []finding.Finding) {
		if ev.At < since {
			return
		}
		begins := ev.IsNoteOn() && o.strike(ev)
		for i := range found {
			o.heed(&found[i])
			w.add(&found[i], r, e.Score)
		}
		w.nats += ofLeap * float64(len(e.Breaks()))
		if begins {
			w.nats += o.next()
		}
		if ev.IsNoteOn() {
			w.notes++
			w.struck++
		}
	})
	w.nats += o.notes(&o.open)
	return w, true
}

// warmUp is from when on what was played before the doubt is played to a reading: from the
// beginning where a hand rested, since nobody could find the place by the other alone.
func (j *Judge) warmUp() time.Duration {
	if j.reading.mute != ([2]bool{}) {
		return 0
	}
	return max(0, j.doubt.since-warmUpBars*j.ledBar())
}

// follower is an engine that follows the player under a reading.
func (j *Judge) follower(r *reading) (*engine.Engine, bool) {
	s, ok := r.of(j.Score)
	if !ok {
		return nil, false
	}
	return engine.New(r.alone(s), j.options.Options), true
}

// replay plays what was played from one time to another to an engine of a reading, and
// hands over what it finds and when. What was played before the doubt is moved to where
// the reading has it, so that the place is known when the stretch in doubt begins.
func (j *Judge) replay(e *engine.Engine, r *reading, from, to time.Duration, tell func(ev event.Event, found []finding.Finding)) {
	j.kept.each(from, to, func(ev event.Event) {
		if ev.At < j.doubt.since && (ev.IsNoteOn() || ev.IsNoteOff()) {
			key := int(ev.Data1) + r.up - j.led.up(ev.At)
			if key < 0 || key > 127 {
				return
			}
			ev.Data1 = uint8(key)
		}
		tell(ev, e.Feed(ev))
	})
	tell(event.Event{At: to}, e.Tick(to))
}

// takeReading judges under another reading from now on.
func (j *Judge) takeReading(r reading, now time.Duration) {
	j.reading, j.fresh = r, [2]bool{}
	j.heard, _ = j.follower(&r)
	j.doubt.held = j.doubt.held[:0]
	j.led.away, j.led.wants, j.led.again = away{}, j.heardWants(), 0
	_, j.led.low, j.led.high = r.alone(j.Score).Alone()
	j.found = true
	if r.plain() {
		return
	}
	c := r.causes[what]
	c.At, j.current[what] = now, len(j.all)
	j.fresh[what] = true
	j.all = append(j.all, c)
}

// judgeAnewLed is judgeAnew for a player who leads.
func (j *Judge) judgeAnewLed(now time.Duration) {
	j.found = false
	d := &j.doubt
	first := true
	j.led.steady.n = 0
	j.replay(j.heard, &j.reading, 0, now, func(ev event.Event, found []finding.Finding) {
		j.timed()
		if ev.At < d.since {
			return
		}
		if first {
			j.reading.pass = j.passes(d.pass)
		}
		for i := range found {
			f := found[i]
			j.asRead(&f)
			if first && (f.Kind == finding.Right || mistaken(f.Kind)) {
				j.placeAt(&f)
				first = false
			}
			if f.At >= d.tell && !j.unheard(&f) {
				j.tell(&f)
			}
		}
		j.broke(j.heard.Breaks())
	})
	j.led.ups = append(j.led.ups, transposition{d.since, j.reading.up})
	if j.fresh[what] {
		j.causes = append(j.causes, j.all[j.current[what]])
	}
	d.end()
}

// passes is how many passes lie before the first of the engine that findings come from,
// where the player is in one now.
func (j *Judge) passes(now int) int { return now - max(0, j.heard.Leader().Estimate().Pass) }
