package performer

import (
	"slices"
	"sort"
	"time"

	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

// Stroke is what one hand means to strike at one place.
type Stroke struct {
	Want     int // index into Score.Wants; -1 for none
	Hand     pattern.Hand
	Pos, Dur meter.Ticks
	Keys     []pitch.Num // low to high
	Gain     int         // added to the velocity
	Top      int         // added to that of the highest key besides: the tune's
	Roll     bool
	Silent   bool          // left out
	Hold     float64       // share of Dur held, in place of the habit's; 0 for none
	Shift    time.Duration // off the beat, in place of jitter; 0 for none
}

func (st *Stroke) end() meter.Ticks { return st.Pos + st.Dur }

// Set takes keys that may be in any order.
func (st *Stroke) Set(keys []pitch.Num) {
	st.Keys = append([]pitch.Num(nil), keys...)
	sort.Slice(st.Keys, func(i, j int) bool { return st.Keys[i] < st.Keys[j] })
}

// fromWants makes the demonstrated strokes.
func (t *Take) fromWants() []Stroke {
	strokes := make([]Stroke, len(t.s.Wants))
	for i := range t.s.Wants {
		w := &t.s.Wants[i]
		st := Stroke{Want: i, Hand: w.Hand, Pos: w.At, Dur: w.Dur, Keys: w.Keys(), Roll: w.Roll}
		if w.Accent {
			st.Gain += orElse(t.h.AccentGain, 20)
		}
		if w.Role == score.Bass {
			st.Gain += t.h.BassGain
		}
		if w.Role == score.Melody {
			st.Top = orElse(t.h.TuneGain, 12)
		}
		strokes[i] = st
	}
	return strokes
}

func orElse(v, otherwise int) int {
	if v == 0 {
		return otherwise
	}
	return v
}

// Clear reports whether a hand can take keys at the place of want i: on the
// piano, not across the other hand at that moment, and on no key that the other
// hand holds.
func (t *Take) Clear(i int, keys []pitch.Num) bool { return t.clear(t.Strokes, i, keys) }

func (t *Take) clear(strokes []Stroke, i int, keys []pitch.Num) bool {
	if len(keys) == 0 || slices.Min(keys) < pitch.PianoLow || slices.Max(keys) > pitch.PianoHigh {
		return false
	}
	st := &strokes[i]
	for _, j := range t.around(strokes, i) {
		o := &strokes[j]
		if o.Hand == st.Hand {
			continue
		}
		if o.Pos == st.Pos && crosses(st.Hand, keys, o.Keys) || share(keys, o.Keys) {
			return false
		}
	}
	return true
}

// Around lists the strokes of wants near i that overlap it in time, itself left out.
func (t *Take) Around(i int) []int { return t.around(t.Strokes, i) }

func (t *Take) around(strokes []Stroke, i int) []int {
	st := &strokes[i]
	var all []int
	longest := 2 * t.s.Meter.Bar()
	for j := i - 1; j >= 0 && strokes[j].Pos > st.Pos-longest; j-- {
		if strokes[j].end() > st.Pos {
			all = append(all, j)
		}
	}
	for j := i + 1; j < len(t.s.Wants) && strokes[j].Pos < st.end(); j++ {
		all = append(all, j)
	}
	return all
}

func crosses(h pattern.Hand, keys, other []pitch.Num) bool {
	if h == pattern.Left {
		return slices.Max(keys) >= slices.Min(other)
	}
	return slices.Min(keys) <= slices.Max(other)
}

func share(a, b []pitch.Num) bool {
	for _, k := range a {
		for _, l := range b {
			if k == l {
				return true
			}
		}
	}
	return false
}
