package cause

import (
	"time"

	"undersong/internal/judge/engine"
	"undersong/internal/judge/finding"
	"undersong/internal/listen/follow"
	"undersong/internal/midi/event"
	"undersong/internal/sheet/score"
)

// weight is how well a reading describes what was played.
type weight struct {
	nats         float64 // of its mistakes
	notes        int     // that no right stroke explains
	right, wrong int     // strokes
	far          int     // octaves that right strokes lie from where they are written
	chords       map[chordOf]bool
}

// chordOf is a chord in a bar: who strikes another one there has made one mistake,
// however many strokes it has.
type chordOf struct{ pass, bar, harmony int }

// fits reports that most strokes are right.
func (w *weight) fits() bool {
	return w.right >= fewestRight && float64(w.right) >= leastRight*float64(w.right+w.wrong)
}

// add counts a finding about a stroke of a score.
func (w *weight) add(f *finding.Finding, s *score.Score) {
	switch {
	case f.Kind == finding.Right:
		w.right++
		w.notes -= f.Heard.Len()
		w.far += octavesOff(f, s)
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
	if f.Kind < finding.WrongNote && f.Kind != finding.Extra {
		return ofMistake
	}
	at := chordOf{f.Pass, f.Bar, s.HarmonyAt(placeIn(s, f))}
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
	if now := j.Click.PositionAt(max(now, j.Click.Start)); d.vain && now.Pass > j.origin().Pass {
		d.since = j.Click.PassStart(now.Pass) - j.reach()
	}
	d.tell = max(d.tell, d.since)
	at := j.stretch(now)
	present, ok := j.weigh(&j.reading, at, now)
	if !ok {
		return false
	}
	var best reading
	least, nearest := -margin, 0.0
	for _, r := range j.propose(at, now) {
		w, ok := j.weigh(&r, at, now)
		if !ok || !w.fits() {
			continue
		}
		saved := j.saves(&r, &present, &w)
		if near := saved - ofOctave*float64(w.far); saved > -margin && (near > nearest || least == -margin) {
			best, least, nearest = r, saved, near
		}
	}
	d.likely = least > -margin
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
		saved += ofNote * float64(present.notes-w.notes)
	}
	switch {
	case r.plain():
		return saved - backAgain
	case !j.told:
		return saved - ofFirst - margin
	}
	return saved - ofCause - margin
}

// stretch is the bars that are weighed: from before the doubt to now.
func (j *Judge) stretch(now time.Duration) stretch {
	from, to := j.origin(), j.Click.PositionAt(max(now, j.Click.Start))
	at := stretch{max(0, from.Pass), max(0, from.Bar-1), len(j.Score.Bars) - 1}
	if to.Pass == from.Pass {
		at.last = min(at.last, to.Bar+1+longestDoubt)
	}
	return at
}

// origin is where the stretch in doubt begins.
func (j *Judge) origin() follow.Position {
	return j.Click.PositionAt(max(j.doubt.since+j.reach(), j.Click.Start))
}

// weigh judges a stretch under a reading.
func (j *Judge) weigh(r *reading, at stretch, now time.Duration) (w weight, ok bool) {
	e, ok := j.judge(r, at, false)
	if !ok {
		return w, false
	}
	w.chords = map[chordOf]bool{}
	count := func(found []finding.Finding) {
		for i := range found {
			if begins(e, &found[i]) >= j.doubt.since {
				w.add(&found[i], e.Score)
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
	j.reading, j.pass = r, j.origin().Pass
	j.heard, _ = j.judge(&r, stretch{j.pass, 0, len(j.Score.Bars) - 1}, j.options.Loop)
	j.doubt.held = j.doubt.held[:0]
	if r.plain() {
		return
	}
	c := r.cause
	c.At = now
	j.all = append(j.all, c)
}

// place lets the cause that was taken begin with a finding.
func (j *Judge) place(f *finding.Finding) {
	if !j.reading.plain() {
		c := &j.all[len(j.all)-1]
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
			f.Pass += j.pass
			f.Up = j.reading.up
			if first && at >= j.doubt.since {
				j.place(&f)
				first = false
			}
			if at >= j.doubt.tell {
				j.tell(&f)
			}
		}
	}
	j.kept.each(j.from(), now, func(ev event.Event) { told(j.heard.Feed(ev)) })
	told(j.heard.Tick(now))
	if !j.reading.plain() {
		j.causes = append(j.causes, j.all[len(j.all)-1])
	}
	j.doubt.end()
}
