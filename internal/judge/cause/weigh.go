package cause

import (
	"math"
	"slices"
	"time"

	"undersong/internal/judge/engine"
	"undersong/internal/judge/finding"
	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

// weight is how well a reading describes what was played.
type weight struct {
	nats         float64   // of its mistakes
	notes        int       // that no right stroke explains
	struck       int       // notes
	beyond       int       // keys struck out of the reach of the hand that plays, where the other is silent and the player leads
	right, wrong int       // strokes
	sum, square  float64   // of how far right strokes are from their time, in seconds
	offsets      []float64 // the same, one by one
	far          int       // octaves that right strokes lie from where they are written
	near         int       // notes that belong to the harmony, in the key and the bar that fit best
	off          int       // of the wrong strokes, those that are only early or late
	exact        int       // right strokes as they would be demonstrated
	chords       map[chordOf]bool
	missing      [2]int           // by hand: strokes
	score        *score.Score     // in which the findings have their places
	harmonies    map[chordOf]bool // in which anything was right; nil where that does not matter
}

// chordOf is a chord in a bar: who strikes another one there has made one mistake,
// however many strokes it has. One who is late through a bar has, too: harmony is -1 there.
type chordOf struct{ pass, bar, harmony int }

// fits reports that most strokes are right.
func (w *weight) fits() bool {
	return w.right >= fewestRight && float64(w.right) >= leastRight*float64(w.right+w.wrong)
}

// heard reports that most of what is struck is explained.
func (w *weight) heard() bool { return float64(w.notes) <= mostUnheard*float64(w.struck) }

// instead reports that something else is played than what is asked for, of which was is
// the weight: less is wrong with it, and no more unexplained.
func (w *weight) instead(was *weight) bool {
	return w.fits() && w.heard() && w.notes <= was.notes && fewerWrong*w.wrong <= was.wrong
}

// asExact reports that right strokes are as they would be demonstrated half as often at least
// as under another reading: who plays on elsewhere plays no other voicings there.
func (w *weight) asExact(was *weight) bool {
	return 2*w.exact*was.right >= was.exact*w.right
}

// even reports that strokes come as evenly as those that only a machine delays, in the
// second half as in the first.
func (w *weight) even() bool {
	n := float64(w.right)
	mean := w.sum / n
	if w.right < fewestEven || w.square/n-mean*mean > mostUneven*mostUneven {
		return false
	}
	half := len(w.offsets) / 2
	first, second := 0.0, 0.0
	for i, off := range w.offsets {
		if i < half {
			first += off / float64(half)
		} else {
			second += off / float64(len(w.offsets)-half)
		}
	}
	return math.Abs(second-first) <= mostTurned
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
		switch {
		case beyond(f, s):
			if f.Kind == finding.Right && others(f, s) {
				w.notes -= f.Heard.Len()
			}
		case f.Kind != finding.Missing:
			w.wrong++
			w.nats += ofMistake
		}
	case f.Kind == finding.Right:
		w.right++
		if w.harmonies != nil {
			w.harmonies[chordOf{pass: f.Pass, harmony: s.Wants[f.Want].Harmony}] = true
		}
		w.notes -= f.Heard.Len()
		w.far += octavesOff(f, s)
		if exact(f, s) {
			w.exact++
		}
		w.offsets = append(w.offsets, f.Offset.Seconds())
		w.sum += f.Offset.Seconds()
		w.square += f.Offset.Seconds() * f.Offset.Seconds()
	case mistaken(f.Kind):
		if f.Kind == finding.Early || f.Kind == finding.Late {
			w.off++
		}
		w.wrong++
		w.nats += w.of(f, s)
		if f.Kind == finding.Missing && f.Part <= finding.RightHand {
			w.missing[f.Part]++
		}
	}
}

// beyond reports notes so far from a hand that is thought to be silent, on the side of the
// other, that they are the other's.
func beyond(f *finding.Finding, s *score.Score) bool {
	if f.Want < 0 || f.Heard.Len() == 0 {
		return false
	}
	tones := s.Wants[f.Want].Tones
	if f.Part == finding.RightHand {
		return tones[0].Key-f.Heard.Last() >= beyondHand
	}
	return f.Heard.At(0)-tones[len(tones)-1].Key >= beyondHand
}

// others reports notes that the other hand is asked for just then.
func others(f *finding.Finding, s *score.Score) bool {
	first, _ := slices.BinarySearchFunc(s.Wants, s.Wants[f.Want].At, func(w score.Want, at meter.Ticks) int { return int(w.At - at) })
	for i := first; i < len(s.Wants) && s.Wants[i].At == s.Wants[f.Want].At; i++ {
		w := &s.Wants[i]
		if w.Hand != pattern.Hand(f.Part) && slices.ContainsFunc(w.Tones, func(t score.Tone) bool { return t.Key == f.Heard.At(0) }) {
			return true
		}
	}
	return false
}

// exact reports a stroke as it would be demonstrated.
func exact(f *finding.Finding, s *score.Score) bool {
	tones := s.Wants[f.Want].Tones
	for i := range tones {
		if i >= f.Heard.Len() || f.Heard.At(i) != tones[i].Key {
			return false
		}
	}
	return len(tones) == f.Heard.Len()
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

// placed is a finding with when its place sounds.
type placed struct {
	finding.Finding
	at      time.Duration
	harmony int
}

// weigh judges a stretch under a reading, from where it takes the place of the present
// one on.
func (j *Judge) weigh(r *reading, now time.Duration) (w weight, found []placed, ok bool) {
	e, ok := j.judge(r, j.stretch(r, now), false)
	if !ok {
		return w, nil, false
	}
	w.chords, w.score = map[chordOf]bool{}, e.Score
	take := func(all []finding.Finding) {
		for i := range all {
			if at := begins(e, &all[i]); at >= r.change.enter {
				w.add(&all[i], r, e.Score)
				found = append(found, placed{all[i], at, e.Score.HarmonyAt(placeIn(e.Score, &all[i]))})
			}
		}
	}
	j.kept.each(j.from(), now, func(ev event.Event) {
		if ev.IsNoteOn() && ev.At >= j.doubt.since {
			w.notes++
			w.struck++
		}
		if !r.change.leaps || ev.At >= r.change.enter {
			take(e.Feed(ev))
		}
	})
	take(e.Tick(now))
	return w, found, true
}

// before adds what the present reading makes of what is wanted before another takes its
// place.
func (w *weight) before(found []placed, r *reading, until time.Duration, s *score.Score) {
	old := weight{chords: map[chordOf]bool{}}
	for i := range found {
		if found[i].at < until {
			old.add(&found[i].Finding, r, s)
		}
	}
	w.nats += old.nats
	w.notes += old.notes
}

// from is from when on events are judged anew: a bar before the doubt, so that the hands
// are where they were.
func (j *Judge) from() time.Duration { return j.doubt.since - j.barLasts() }

// begins is when the place of a finding sounds.
func begins(e *engine.Engine, f *finding.Finding) time.Duration {
	return e.Click.TimeOf(f.Pass, placeIn(e.Score, f))
}
