package cause

import (
	"time"

	"undersong/internal/judge/engine"
	"undersong/internal/judge/finding"
	"undersong/internal/midi/event"
	"undersong/internal/sheet/score"
)

// weight is how well a reading describes what was played.
type weight struct {
	nats         float64 // of its mistakes
	notes        int     // that no right stroke explains
	right, wrong int     // strokes
	sum, square  float64 // of how far right strokes are from their time, in seconds
	far          int     // octaves that right strokes lie from where they are written
	chords       map[chordOf]bool
}

// chordOf is a chord in a bar: who strikes another one there has made one mistake,
// however many strokes it has. One who is late through a bar has, too: harmony is -1 there.
type chordOf struct{ pass, bar, harmony int }

// fits reports that most strokes are right.
func (w *weight) fits() bool {
	return w.right >= fewestRight && float64(w.right) >= leastRight*float64(w.right+w.wrong)
}

// even reports that strokes come as evenly as those that only a machine delays.
func (w *weight) even() bool {
	n := float64(w.right)
	mean := w.sum / n
	return w.right >= fewestEven && w.square/n-mean*mean <= mostUneven*mostUneven
}

// mean is how far from their time right strokes are.
func (w *weight) mean() time.Duration {
	return time.Duration(w.sum / float64(w.right) * float64(time.Second))
}

// steady reports enough right strokes for a time of their own: in a few, early and late
// ones fit many.
func (w *weight) steady() bool {
	return w.right >= fewestSteady && float64(w.right) >= leastSteady*float64(w.right+w.wrong)
}

// add counts a finding about a stroke of a score.
func (w *weight) add(f *finding.Finding, r *reading, s *score.Score) {
	switch {
	case r.mutes(f):
		if f.Kind != finding.Missing {
			w.wrong++
			w.nats += ofMistake
		}
	case f.Kind == finding.Right:
		w.right++
		w.notes -= f.Heard.Len()
		w.far += octavesOff(f, s)
		w.sum += f.Offset.Seconds()
		w.square += f.Offset.Seconds() * f.Offset.Seconds()
	case mistaken(f.Kind):
		w.wrong++
		w.nats += w.of(f, s)
	}
}

// octavesOff is how many octaves a stroke lies from where it is written, up or down.
func octavesOff(f *finding.Finding, s *score.Score) int {
	want := &s.Wants[f.Want]
	low, high := f.Heard.At(0)-want.Tones[0].Key, f.Heard.Last()-want.Tones[len(want.Tones)-1].Key
	off := int(low+high) / 2
	return (max(off, -off) + 3) / 12
}

func (w *weight) of(f *finding.Finding, s *score.Score) float64 {
	at := chordOf{f.Pass, f.Bar, s.HarmonyAt(placeIn(s, f))}
	switch f.Kind {
	case finding.Missing:
		return ofMistake
	case finding.Early, finding.Late:
		at.harmony = -1
	}
	if w.chords[at] {
		return ofMore
	}
	w.chords[at] = true
	return ofMistake
}

// consider looks for a reading that describes the stretch in doubt clearly better than
// the present one, and takes it.
func (j *Judge) consider(now time.Duration) bool {
	d := &j.doubt
	d.since = max(d.since, now-mostWeighed*j.barLasts())
	c := &j.heard.Click
	if here := c.PositionAt(max(now, c.Start)); d.vain && c.PassStart(here.Pass) > d.since+j.reach() {
		d.since = c.PassStart(here.Pass) - j.reach()
	}
	d.tell = max(d.tell, d.since)
	present, ok := j.weigh(&j.reading, now)
	if !ok {
		return false
	}
	var best reading
	least, nearest := 0.0, 0.0
	d.likely = false
	for _, r := range j.propose(now) {
		w, ok := j.weigh(&r, now)
		if !ok || !w.fits() && !j.nothing(&r, &w, now) {
			continue
		}
		saved := j.saves(&r, &present, &w)
		d.likely = d.likely || saved > -margin
		if r.moves() && !w.steady() || r.cause.Kind == finding.Delay && !w.even() {
			continue
		}
		if r.cause.Kind == finding.Delay {
			r.late += w.mean()
			r.cause.Offset = r.late
			if max(r.late, -r.late) < leastShift {
				continue
			}
		}
		if near := saved - ofOctave*float64(w.far); saved > 0 && (near > nearest || least == 0) {
			best, least, nearest = r, saved, near
		}
	}
	if least <= 0 {
		return false
	}
	j.found = true
	j.switchTo(best, now)
	return true
}

// saves is by how much a reading is better than the present one, the margin taken off.
func (j *Judge) saves(r *reading, present, w *weight) float64 {
	saved := present.nats - w.nats
	if r.moves() || j.reading.moves() {
		saved += ofNote*float64(present.notes-w.notes) - ofTime
	}
	switch {
	case r.plain(), r.refines(&j.reading):
		return saved - backAgain
	case !j.told:
		return saved - ofFirst - margin
	}
	return saved - ofCause - margin
}

// stretch is the bars that are weighed under a reading: from before the doubt to now.
func (j *Judge) stretch(r *reading, now time.Duration) stretch {
	c := j.click(r)
	from, to := c.PositionAt(max(j.doubt.since+j.reach(), c.Start)), c.PositionAt(max(now, c.Start))
	at := stretch{from.Pass + r.pass, max(0, from.Bar-1), len(j.Score.Bars) - 1}
	if to.Pass == from.Pass {
		at.last = min(at.last, to.Bar+1+longestDoubt)
	}
	return at
}

// weigh judges a stretch under a reading.
func (j *Judge) weigh(r *reading, now time.Duration) (w weight, ok bool) {
	e, ok := j.judge(r, j.stretch(r, now), false)
	if !ok {
		return w, false
	}
	w.chords = map[chordOf]bool{}
	count := func(found []finding.Finding) {
		for i := range found {
			if begins(e, &found[i]) >= j.doubt.since {
				w.add(&found[i], r, e.Score)
			}
		}
	}
	j.kept.each(j.from(), now, func(ev event.Event) {
		if ev.IsNoteOn() && ev.At >= j.doubt.since {
			w.notes++
		}
		count(e.Feed(ev))
	})
	count(e.Tick(now))
	return w, true
}

// from is from when on events are judged anew: a bar before the doubt, so that the hands
// are where they were.
func (j *Judge) from() time.Duration { return j.doubt.since - j.barLasts() }

// begins is when the place of a finding sounds.
func begins(e *engine.Engine, f *finding.Finding) time.Duration {
	return e.Click.TimeOf(f.Pass, placeIn(e.Score, f))
}

// switchTo judges under another reading from now on.
func (j *Judge) switchTo(r reading, now time.Duration) {
	same := r.refines(&j.reading)
	j.reading = r
	j.heard, _ = j.judge(&r, stretch{r.pass, 0, len(j.Score.Bars) - 1}, j.options.Loop)
	j.doubt.held = j.doubt.held[:0]
	j.retold = same
	if r.plain() || same {
		return
	}
	c := r.cause
	c.At, j.current = now, len(j.all)
	j.all = append(j.all, c)
}

// place lets the cause that was taken begin with a finding.
func (j *Judge) place(f *finding.Finding) {
	if !j.reading.plain() && !j.retold {
		c := &j.all[j.current]
		c.Bar, c.Pass = j.Score.Bars[f.Bar].Number, f.Pass
	}
}

// judgeAnew judges what was played in the stretch that was in doubt, up to a time, under
// the reading that was taken.
func (j *Judge) judgeAnew(now time.Duration) {
	j.found = false
	first := true
	told := func(found []finding.Finding) {
		for i := range found {
			f, at := found[i], begins(j.heard, &found[i])
			f.Pass += j.reading.pass
			f.Up = j.reading.up
			if first && at >= j.doubt.since {
				j.place(&f)
				first = false
			}
			if at >= j.doubt.tell && !j.unheard(&f) {
				j.tell(&f)
			}
		}
	}
	j.kept.each(j.from(), now, func(ev event.Event) { told(j.heard.Feed(ev)) })
	told(j.heard.Tick(now))
	if !j.reading.plain() && !j.retold {
		j.causes = append(j.causes, j.all[j.current])
	}
	j.doubt.end()
}
