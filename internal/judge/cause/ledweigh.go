package cause

import (
	"time"

	"undersong/internal/judge/engine"
	"undersong/internal/judge/finding"
	"undersong/internal/listen/follow"
	"undersong/internal/listen/keyboard"
	"undersong/internal/midi/event"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
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
	most, keys := 0.0, rivals{}
	d.likely = false
	for _, r := range j.proposeLed(now, &present) {
		w, ok := j.weighLed(&r, now)
		if !ok || !w.fits() || !w.heard() || r.is(finding.Silent) && !w.hushed() {
			continue
		}
		saved := present.nats - w.nats - j.costsLed(&r) - ofOctave*float64(w.far)
		d.likely = d.likely || saved > -margin
		keys.add(&r, saved)
		if _, ok := r.of(j.Score); !ok { // elsewhere than in the stretch it leaves the piano
			continue
		}
		if saved > most && len(w.harmonies) >= j.fewest(&r) && w.convinces(&present, &r) {
			best, most = r, saved
		}
	}
	if most <= 0 || best.is(finding.OtherKey) && !keys.clear(&best, most) {
		return false
	}
	j.takeReading(best, now)
	return true
}

// rivals is what the other keys save, by their pitch classes; 0 where nothing is saved.
type rivals [12]float64

// add takes what a reading saves.
func (k *rivals) add(r *reading, saved float64) {
	if r.is(finding.OtherKey) {
		up := pitch.ClassOf(r.up)
		k[up] = max(k[up], saved+margin)
	}
}

// clear reports that a key saves more than any other does: keys share most of their chords.
func (k *rivals) clear(r *reading, saved float64) bool {
	for up := range k {
		if pitch.Class(up) != pitch.ClassOf(r.up) && saved+margin < k[up]+rivalKeys {
			return false
		}
	}
	return true
}

// hushed reports that next to nothing is struck that may be of a hand that is silent.
func (w *weight) hushed() bool {
	return float64(w.notes) <= mostLoud*float64(w.struck) && w.beyond <= mostBeyond
}

// convinces reports a reading that is no matter of chance: another key explains nearly all,
// of which as written next to nothing is, or many harmonies; and hands that lie elsewhere
// explain notes.
func (w *weight) convinces(present *weight, r *reading) bool {
	switch {
	case r.is(finding.OtherKey):
		strange := float64(present.notes) >= leastStrange*float64(present.struck)
		pure := purity*w.wrong <= w.right && float64(w.notes) <= mostForeignInKey*float64(w.struck)
		return strange && pure || len(w.harmonies) >= harmoniesInKey
	case r.is(finding.OctaveOff):
		return present.notes-w.notes >= notesInReach
	}
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

// costsLed is what it costs to name a reading.
func (j *Judge) costsLed(r *reading) float64 {
	if r.plain() {
		return backAgain
	}
	return j.naming() + margin
}

// weighLed judges what was struck in the stretch in doubt under a reading.
func (j *Judge) weighLed(r *reading, now time.Duration) (w weight, ok bool) {
	from := j.start()
	e, ok := j.follower(r, from.bar)
	if !ok {
		return w, false
	}
	w.chords, w.harmonies = map[chordOf]bool{}, map[chordOf]bool{}
	since := j.doubt.since
	low, high := j.reachOf(r)
	o := unexplained{bar: j.ledBar()}
	p := passed{score: e.Score, seen: map[int]bool{}}
	j.replay(e, r, max(0, from.at-keyboard.Together), now, func(ev event.Event, found []finding.Finding) {
		if ev.At < since {
			return
		}
		begins := ev.IsNoteOn() && o.strike(ev)
		for i := range found {
			o.heed(&found[i])
			w.add(&found[i], r, e.Score)
			w.nats += p.take(&found[i])
		}
		w.nats += ofLeap * float64(len(e.Breaks()))
		if begins {
			w.nats += o.next()
		}
		if ev.IsNoteOn() {
			w.notes++
			w.struck++
			if key := pitch.Num(ev.Data1); key < low || key > high {
				w.nats += ofMistake // of the hand that is silent
				w.beyond++
			}
		}
	})
	w.nats += o.notes(&o.open)
	for h := range w.missing {
		w.missing[h] += p.of[h]
	}
	return w, true
}

// anchor is a bar that the player was sure to begin.
type anchor struct {
	bar  int
	at   time.Duration
	beat time.Duration // how long one lasted
}

// anchor takes a place that is sure, where it begins a bar.
func (l *led) anchor(est follow.Estimate, at, beat time.Duration, s *score.Score) {
	if est.At != s.Bars[est.Bar].At {
		return
	}
	if last := &l.anchors[l.anchored%mostAnchored]; l.anchored == 0 || last.bar != est.Bar || at > last.at+keyboard.Together {
		l.anchored++
		l.anchors[l.anchored%mostAnchored] = anchor{est.Bar, at, beat}
	}
}

// start is where a reading is weighed from: some bars before the doubt, so that it knows
// the place; from the beginning of all where no bar before it is sure.
func (j *Judge) start() anchor {
	l := j.led
	for i := l.anchored; i > max(0, l.anchored-mostAnchored); i-- {
		a := l.anchors[i%mostAnchored]
		if a.at <= j.doubt.since-warmUpBars*j.ledBar() && !j.options.Loop {
			return a
		}
	}
	return anchor{}
}

// follower is an engine that follows the player under a reading, from a bar on.
func (j *Judge) follower(r *reading, bar int) (*engine.Engine, bool) {
	s := j.Score
	if bar > 0 {
		s = s.Part(bar, len(s.Bars)-1)
	}
	s, ok := r.of(s)
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
			key := j.led.key(int(ev.Data1), j.led.transposed(ev.At), transposition{up: r.up, lift: r.lift})
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
	j.heard, _ = j.follower(&r, 0)
	j.led.leftAt = j.led.rests
	j.led.anchored, j.led.rests = 0, [2]rest{}
	j.led.away, j.led.wants, j.led.again = away{}, j.heardWants(), 0
	j.led.leapt, j.led.alone = 0, nil
	j.led.low, j.led.high = j.reachOf(&r)
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
				j.placeRest(&f)
				first = false
			}
			if f.At >= d.tell && !j.unheard(&f) {
				j.tell(&f)
			}
		}
		j.broke(j.heard.Breaks())
	})
	j.led.ups = append(j.led.ups, transposition{d.since, j.reading.up, j.reading.lift})
	if j.fresh[what] {
		j.causes = append(j.causes, j.all[j.current[what]])
	}
	d.end()
}

// passes is how many passes lie before the first of the engine that findings come from,
// where the player is in one now.
func (j *Judge) passes(now int) int { return now - max(0, j.heard.Leader().Estimate().Pass) }
