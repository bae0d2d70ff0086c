package cause

import (
	"sort"
	"time"

	"undersong/internal/listen/keyboard"
	"undersong/internal/midi/event"
	"undersong/internal/music/chord"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
)

// place is where something is wanted.
type place struct {
	at      meter.Ticks
	far     time.Duration // from the beginning of the score, at its tempo
	wants   []*score.Want
	classes chord.Set // that may be struck
}

// placesOf lists the places of a score, in order.
func placesOf(s *score.Score) []place {
	var all []place
	for i := range s.Wants {
		w := &s.Wants[i]
		if !s.Only.Judges(w.Hand) {
			continue
		}
		if len(all) == 0 || all[len(all)-1].at != w.At {
			all = append(all, place{at: w.At, far: s.Time(w.At)})
		}
		p := &all[len(all)-1]
		p.wants = append(p.wants, w)
		for t := range w.Tones {
			p.classes |= w.Tones[t].Accept
		}
	}
	return all
}

// has reports that a key is one of those that would be struck in a demonstration.
func (p *place) has(key pitch.Num) bool {
	for _, w := range p.wants {
		for t := range w.Tones {
			if w.Tones[t].Key == key {
				return true
			}
		}
	}
	return false
}

// around are the places from one distance to another, both included: from first to
// before last.
func around(places []place, from, to time.Duration) (first, last int) {
	first = sort.Search(len(places), func(i int) bool { return places[i].far >= from })
	last = first
	for last < len(places) && places[last].far <= to {
		last++
	}
	return first, last
}

// strike is a key struck in a stretch.
type strike struct {
	key   pitch.Num
	at    time.Duration
	opens bool // an onset: nothing was struck just before
	known bool // it is wanted then under the present reading
}

// struck is what was struck in the stretch in doubt, and some bars before it: what is in
// doubt begins at an index.
func (j *Judge) struck(now time.Duration) (all []strike, doubted int) {
	if j.places == nil {
		j.places = placesOf(j.Score)
	}
	opened := time.Duration(-1)
	j.kept.each(j.doubt.since-mostBefore*j.barLasts(), now, func(ev event.Event) {
		if !ev.IsNoteOn() {
			return
		}
		s := strike{key: pitch.Num(ev.Data1), at: ev.At}
		if s.opens = opened < 0 || ev.At > opened+keyboard.Together; s.opens {
			opened = ev.At
		}
		s.known = j.explains(&j.reading, &s)
		if all = append(all, s); ev.At < j.doubt.since {
			doubted = len(all)
		}
	})
	return all, doubted
}

// close is how far from its time, at the written tempo, a stroke is taken as in time.
func (j *Judge) close() time.Duration {
	return min(max(time.Duration(inTimeBeats*float64(j.Click.Beat())), leastInTime), mostInTime)
}

// explains reports that something like a key is wanted when it was struck, in some
// octave, under a reading.
func (j *Judge) explains(r *reading, s *strike) bool {
	far := j.inScore(r, s.at)
	if pass := j.Click.Pass(); j.options.Loop && far >= pass-j.close() {
		far = (far+j.close())%pass - j.close()
	}
	first, last := around(j.places, far-j.close(), far+j.close())
	for _, p := range j.places[first:last] {
		if p.classes.Has(pitch.ClassOf(int(s.key) - r.up)) {
			return true
		}
	}
	return false
}

// split finds from which strike in doubt on a reading explains more than the present one,
// and how many strikes both explain together then. Of several it is the one after the
// longest silence; and it is the first where no other is clearly better and nothing was
// right before.
func (j *Judge) split(r *reading, ev *evidence) (from, explained int) {
	sum := 0
	fits := make([]bool, len(ev.struck))
	for i := ev.doubted; i < len(ev.struck); i++ {
		if fits[i] = j.explains(r, &ev.struck[i]); fits[i] {
			sum++
		}
	}
	from, explained = ev.doubted, sum
	silence := ev.silence(from)
	if !j.told {
		explained, silence = explained+fewestKnown-1, time.Hour
	}
	for i := ev.doubted; i < len(ev.struck); i++ {
		if gap := ev.silence(i); ev.struck[i].opens && (sum > explained || sum == explained && gap > silence) {
			from, explained, silence = i, sum, gap
		}
		if ev.struck[i].known {
			sum++
		}
		if fits[i] {
			sum--
		}
	}
	return from, explained
}

// silence is how long nothing was struck before a strike.
func (ev *evidence) silence(i int) time.Duration {
	if i == 0 {
		return 0
	}
	return ev.struck[i].at - ev.struck[i-1].at
}
