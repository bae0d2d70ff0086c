package firstbass

import "undersong/internal/music/meter"

// Fits reports whether the bass of primary chord i fits the tune from one place to
// another: its chord has the notes of the strong beats and most of the others, and
// what is foreign to it adorns it or is a small part of it all. Silence fits
// everything.
//
// "Measures that use mainly do, mi, and sol should be harmonized with tonic (I).
// Measures using mainly sol, ti, re, and fa should be harmonized with dominant
// (V)": Piano Basics (Baylor University), "Harmonization with Chord Roots".
func (t *Theory) Fits(i int, from, to meter.Ticks) bool {
	b := &t.primary[i]
	var own, stray, all meter.Ticks
	begins := false // with a note of the chord
	for k, r := range t.runs(from, to) {
		all += r.dur()
		switch {
		case b.Has(t.s.Melody[r.first].Key().Class()):
			own += r.dur()
			begins = begins || k == 0
		case t.embellishes(b, r, from, to):
		case t.strong(r.at):
			return false
		default:
			stray += r.dur()
		}
	}
	return stray*smallPart <= all && (2*own > all || 2*own == all && (begins || all == 0))
}

// spotsOf lists the places in a bar where the tune may want another bass: its
// strong beats, and beats where another note begins; and its end.
func (t *Theory) spotsOf(bar int) []meter.Ticks {
	b := &t.s.Bars[bar]
	all := []meter.Ticks{b.At}
	beat := t.s.Meter.Beat()
	before := t.s.Meter.Bar() - b.Len
	for at := (before/beat + 1) * beat; at < before+b.Len; at += beat {
		if place := b.At + at - before; t.strong(place) || t.moves(place) {
			all = append(all, place)
		}
	}
	return append(all, b.At+b.Len)
}

// moves reports that another note begins at a place.
func (t *Theory) moves(at meter.Ticks) bool {
	i := t.firstAt(at)
	m := t.s.Melody
	return i < len(m) && m[i].At == at && (i == 0 || m[i-1].Key() != m[i].Key())
}

// Reach is how far into its bar a bass fits that is struck at a place; the place
// itself where it does not. It is heard as the bass of its bar or half bar so far
// where it fits that.
func (t *Theory) Reach(i int, at meter.Ticks) meter.Ticks {
	bar := t.s.BarAt(at)
	reach := at
	for _, end := range t.spots[bar] {
		if end > at && t.fitsUpTo(i, at, end) {
			reach = end
		}
	}
	return max(reach, t.written(i, at))
}

// fitsUpTo reports that bass i, struck at a place, fits up to an end: from there,
// or from a strong beat before it in the bar.
func (t *Theory) fitsUpTo(i int, at, end meter.Ticks) bool {
	bar := t.s.BarAt(at)
	for _, start := range t.spots[bar] {
		if start < at && (t.strong(start) || start == t.s.Bars[bar].At) && t.Fits(i, start, end) {
			return true
		}
	}
	return t.Fits(i, at, end)
}

// written is how far into its bar the chart's own chord has bass i as its root: a
// chart's solution is always right.
func (t *Theory) written(i int, at meter.Ticks) meter.Ticks {
	bar := &t.s.Bars[t.s.BarAt(at)]
	for h := t.s.HarmonyAt(at); h < len(t.s.Harmonies); h++ {
		c := &t.s.Harmonies[h]
		if c.At >= bar.At+bar.Len || c.Chord.IsNone() || c.Chord.Root.Class() != t.primary[i].Root.Class() {
			return max(at, min(c.At, bar.At+bar.Len))
		}
	}
	return bar.At + bar.Len
}

// Stays is how far into its bar a bass may stay that is struck at a place: as far
// as it fits, and over what none of them fits.
func (t *Theory) Stays(i int, at meter.Ticks) meter.Ticks {
	bar := &t.s.Bars[t.s.BarAt(at)]
	for at < bar.At+bar.Len {
		next := t.Reach(i, at)
		if next == at && len(t.Choices(at)) == 0 {
			next = t.nextSpot(at)
		}
		if next == at {
			break
		}
		at = next
	}
	return at
}

// nextSpot is the spot after a place in its bar, or the bar's end.
func (t *Theory) nextSpot(at meter.Ticks) meter.Ticks {
	spots := t.spots[t.s.BarAt(at)]
	for _, s := range spots {
		if s > at {
			return s
		}
	}
	return spots[len(spots)-1]
}

// Choices lists the basses that fit from a place on, those that fit longest
// first; of those that fit as long in the order of the primary chords.
func (t *Theory) Choices(at meter.Ticks) []int {
	var all []int
	var ends []meter.Ticks
	for i := range t.primary {
		end := t.Reach(i, at)
		if end <= at {
			continue
		}
		k := len(all)
		for k > 0 && ends[k-1] < end {
			k--
		}
		all = append(all[:k], append([]int{i}, all[k:]...)...)
		ends = append(ends[:k], append([]meter.Ticks{end}, ends[k:]...)...)
	}
	return all
}

// Stretch is a bar, or a part of one, that one bass may stand under.
type Stretch struct {
	Bar      int // index into Score.Bars
	From, To meter.Ticks
	Fits     []int // indices into the primary chords; empty where none fits, and any will do
	Shown    int   // one good solution among them; -1 where there is none
}

// Stretches divides the bars: whole bars where one bass fits all of it, else at
// their spots, as few as will do.
func (t *Theory) Stretches() []Stretch {
	var all []Stretch
	for bar := range t.s.Bars {
		end := t.s.Bars[bar].At + t.s.Bars[bar].Len
		for at := t.s.Bars[bar].At; at < end; {
			s := t.stretch(bar, at)
			all = append(all, s)
			at = s.To
		}
	}
	t.solve(all)
	return all
}

// stretch is the longest under one bass from a place on.
func (t *Theory) stretch(bar int, at meter.Ticks) Stretch {
	s := Stretch{Bar: bar, From: at, To: at}
	for i := range t.primary {
		to := t.Stays(i, at)
		if to > s.To {
			s.To, s.Fits = to, nil
		}
		if to == s.To && to > at {
			s.Fits = append(s.Fits, i)
		}
	}
	for _, spot := range t.spots[bar] {
		if spot >= at && spot < s.To && len(t.Choices(spot)) > 0 {
			return s
		}
	}
	s.Fits = nil
	return s
}

// solve marks one good solution: the chart's own chords where they are primary,
// the tonic at the end with the dominant before it (Open Music Theory v1,
// "Classical cadence types"), else the bass that was there before, else the first
// that is known.
func (t *Theory) solve(all []Stretch) {
	before := -1
	for k := range all {
		s := &all[k]
		s.Shown = -1
		best := -1
		for _, i := range s.Fits {
			if v := t.taste(all, k, i, before); v > best {
				best, s.Shown = v, i
			}
		}
		before = s.Shown
	}
}

// What makes a solution good, each more than those before it together.
const (
	asBefore = 1 << iota
	dominantBeforeLast
	asWritten
	tonicLast
)

func (t *Theory) taste(all []Stretch, k, i, before int) int {
	v, last := 0, len(all)-1
	if t.Written(i, all[k].From) {
		v += asWritten
	}
	if k == last && t.primary[i].Degree == Tonic {
		v += tonicLast
	}
	if k == last-1 && t.primary[i].Degree == Dominant {
		v += dominantBeforeLast
	}
	if i == before {
		v += asBefore
	}
	return v
}
