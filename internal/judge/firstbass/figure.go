package firstbass

import (
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
)

// Theory knows which basses fit a tune.
type Theory struct {
	s       *score.Score
	primary []Bass
	spots   [][]meter.Ticks // for each bar, where a bass may begin or end to fit; its end last
}

// NewTheory looks at the tune of s with so many basses, 2 or 3.
func NewTheory(s *score.Score, basses int) *Theory {
	t := &Theory{s: s, primary: Primary(s.Key, basses)}
	for i := range s.Bars {
		t.spots = append(t.spots, t.spotsOf(i))
	}
	return t
}

// Primary is the chords that are chosen from.
func (t *Theory) Primary() []Bass { return t.primary }

// Written reports that the chart has the chord on bass i at a place.
func (t *Theory) Written(i int, at meter.Ticks) bool { return t.written(i, at) > at }

// run is a note of the tune, or the same note struck again and again, as heard in
// a stretch.
type run struct {
	first, last int // indices into Score.Melody
	at, end     meter.Ticks
}

func (r run) dur() meter.Ticks { return r.end - r.at }

// runs are the notes of the tune that sound from one place to another.
func (t *Theory) runs(from, to meter.Ticks) []run {
	var all []run
	for i := t.firstAt(from); i < len(t.s.Melody) && t.s.Melody[i].At < to; i++ {
		n := &t.s.Melody[i]
		r := run{i, i, max(n.At, from), min(n.At+n.Dur, to)}
		if r.end <= r.at {
			continue
		}
		if k := len(all) - 1; k >= 0 && t.s.Melody[all[k].last].Key() == n.Key() && !t.strong(r.at) {
			all[k].last, all[k].end = i, r.end
			continue
		}
		all = append(all, r)
	}
	return all
}

// firstAt is the first note that sounds at a place or after it.
func (t *Theory) firstAt(at meter.Ticks) int {
	m := t.s.Melody
	lo, hi := 0, len(m)
	for lo < hi {
		mid := (lo + hi) / 2
		if m[mid].At+m[mid].Dur > at {
			hi = mid
		} else {
			lo = mid + 1
		}
	}
	return lo
}

// strong reports the beginning of a bar or of its second half. 2/4, 3/4 and 9/8
// have one strong beat, 5/4 is heard as three and two (common practice, no source).
func (t *Theory) strong(at meter.Ticks) bool {
	b := &t.s.Bars[t.s.BarAt(at)]
	inBar := at - b.At + t.s.Meter.Bar() - b.Len // an upbeat is the end of a bar
	m := t.s.Meter
	switch m.Strength(inBar) {
	case meter.Downbeat:
		return true
	case meter.MidBar:
		return m.Bar() > meter.Half
	}
	return m.Num == 5 && inBar == 3*m.Beat()
}

// step is 1 or -1 for a step up or down, else 0.
func step(from, to pitch.Num) int {
	switch to - from {
	case 1, 2:
		return 1
	case -1, -2:
		return -1
	}
	return 0
}

// embellishes reports whether a note that is not in b's chord only adorns it, as
// heard from one place to another. The kinds are those of Open Music Theory v1,
// "Embellishing tones", and Music Theory for the 21st-Century Classroom 10. What
// lies outside the stretch may have another chord.
func (t *Theory) embellishes(b *Bass, r run, from, to meter.Ticks) bool {
	if r.dur() > t.s.Meter.Beat() || r.dur() >= to-from {
		return false
	}
	m := t.s.Melody
	next := r.last + 1
	if next >= len(m) {
		return false
	}
	here := m[r.first].Key()
	out := step(here, m[next].Key())
	inside := m[next].At < to
	lands := !inside || b.Has(m[next].Key().Class())
	if t.strong(r.at) {
		// appoggiatura, suspension, accented passing tone: down by step to a note
		// that is no shorter
		return inside && lands && out < 0 && m[next].Dur >= r.dur()
	}
	in := 0
	if r.first > 0 {
		in = step(m[r.first-1].Key(), here)
	}
	if out != 0 { // passing and neighbour tones, also incomplete ones; two passing tones
		return lands || out == in && t.passesOn(b, next, in, to)
	}
	if m[next].Key() == here { // anticipation
		return !inside
	}
	return in != 0 && t.own(b, r.first-1, from) // escape tone
}

// passesOn reports that note i, foreign to the chord, goes on by step the same way
// to a note of it.
func (t *Theory) passesOn(b *Bass, i, way int, to meter.Ticks) bool {
	m := t.s.Melody
	if i+1 >= len(m) || m[i].Dur > t.s.Meter.Beat() || step(m[i].Key(), m[i+1].Key()) != way {
		return false
	}
	return m[i+1].At >= to || b.Has(m[i+1].Key().Class())
}

// own reports a note of the chord, or one before the stretch.
func (t *Theory) own(b *Bass, i int, from meter.Ticks) bool {
	n := &t.s.Melody[i]
	return n.At+n.Dur <= from || b.Has(n.Key().Class())
}
