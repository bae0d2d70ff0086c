package score

import (
	"sort"

	"undersong/internal/music/chord"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
)

// beneath is what lies under a note of the tune, low to high.
func (w *weaver) beneath(want *Want, u pattern.Under, key pitch.Num) []Tone {
	switch u {
	case pattern.Octaves:
		return []Tone{{Key: key - 12, Accept: chord.Set(0).With(key.Class())}}
	case pattern.Thirds:
		return w.below(want, key, 3, 4)
	case pattern.Sixths:
		return w.below(want, key, 8, 9)
	}
	if u == pattern.Alone || want.Chord.IsNone() {
		return nil
	}
	classes, others := w.hold(want.Chord, key)
	if u == pattern.UnderTone {
		return w.one(want, classes, key)
	}
	tones := make([]Tone, len(classes))
	for i, c := range classes {
		tones[i] = Tone{Key: key - pitch.Num(key.Class().Above(c)), Accept: chord.Set(0).With(c), AnyOctave: true}
		if c == want.Chord.Root.Class() || w.isFifth(want.Chord, c) {
			tones[i].Accept |= others // the root may stand for the fifth, and the fifth for the root
		}
	}
	sort.Slice(tones, func(i, j int) bool { return tones[i].Key < tones[j].Key })
	return tones
}

// below is the key's note at one of two distances, in semitones; where the key
// has neither, the chord's, else the smaller. Of the two, all that belong to key
// or chord are right.
func (w *weaver) below(want *Want, key pitch.Num, near, far int) []Tone {
	t := Tone{AnyOctave: true}
	for _, d := range []int{far, near} {
		if k := key - pitch.Num(d); want.Chord.Set().Has(k.Class()) {
			t.Key, t.Accept = k, t.Accept.With(k.Class())
		}
	}
	for _, d := range []int{far, near} {
		if k := key - pitch.Num(d); chord.Scale(w.s.Key).Has(k.Class()) {
			t.Key, t.Accept = k, t.Accept.With(k.Class())
		}
	}
	if t.Accept == 0 {
		t.Key = key - pitch.Num(near)
		t.Accept = chord.Set(0).With(t.Key.Class())
	}
	return []Tone{t}
}

// clash is how near under the tune a note of the chord grates, in semitones.
const clash = 3

// mostUnder is how many notes one hand strikes under the tune.
const mostUnder = 2

// hold chooses the notes of a chord that lie under a note of the tune: those
// that do not clash with it; of more than a hand has room for, the root goes
// first where the left hand has it, then the fifth, so that third and seventh
// stay (common practice, no source). others are the root and fifth that went.
func (w *weaver) hold(c chord.Chord, key pitch.Num) (classes []pitch.Class, others chord.Set) {
	for _, cl := range c.HandTones(4) {
		if key.Class().Above(cl) >= clash {
			classes = append(classes, cl)
		}
	}
	spare := []pitch.Class{c.Root.Class().Up(c.Degree(5).Semitones), c.Root.Class()}
	if w.p.Rows[pattern.Left] != nil {
		spare[0], spare[1] = spare[1], spare[0]
	}
	for _, cl := range spare {
		if len(classes) > mostUnder {
			if kept := outOf(classes, cl); len(kept) < len(classes) {
				classes, others = kept, others.With(cl)
			}
		}
	}
	return classes[:min(len(classes), mostUnder)], others
}

func (w *weaver) isFifth(c chord.Chord, cl pitch.Class) bool {
	return cl == c.Root.Class().Up(c.Degree(5).Semitones)
}

// one is any note of the chord under the tune; shown is the highest of those
// that were chosen.
func (w *weaver) one(want *Want, classes []pitch.Class, key pitch.Num) []Tone {
	if len(classes) == 0 {
		return nil
	}
	t := Tone{AnyOctave: true, Accept: want.Chord.Set() &^ chord.Set(0).With(key.Class())}
	for _, cl := range classes {
		t.Key = max(t.Key, key-pitch.Num(key.Class().Above(cl)))
	}
	return []Tone{t}
}

// clear leaves out what would lie in the left hand's way.
func (w *weaver) clear(want *Want, under []Tone) []Tone {
	top := w.leftTop(want.At, want.At+want.Dur)
	var free []Tone
	for _, t := range under {
		if t.Key > top {
			free = append(free, t)
		}
	}
	return free
}

// leftTop is the highest key that the left hand has between two places; 0 where
// it has none.
func (w *weaver) leftTop(from, to meter.Ticks) pitch.Num {
	wants := w.s.Wants
	longest := 2 * w.s.Meter.Bar()
	top := pitch.Num(0)
	for i := sort.Search(len(wants), func(i int) bool { return wants[i].At > from-longest }); i < len(wants) && wants[i].At < to; i++ {
		if l := &wants[i]; l.Hand == pattern.Left && l.At+l.Dur > from {
			top = max(top, l.Tones[len(l.Tones)-1].Key)
		}
	}
	return top
}
