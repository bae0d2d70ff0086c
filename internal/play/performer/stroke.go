package performer

import (
	"sort"
	"time"

	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

// stroke is what one hand means to strike at one place.
type stroke struct {
	want     int // -1 for none
	hand     pattern.Hand
	pos, dur meter.Ticks
	keys     []pitch.Num // low to high
	gain     int         // added to the velocity
	top      int         // added to that of the highest key besides: the tune's
	roll     bool
	silent   bool          // left out
	hold     float64       // share of dur held, in place of the habit's; 0 for none
	shift    time.Duration // off the beat, in place of jitter; 0 for none
}

func (st *stroke) end() meter.Ticks { return st.pos + st.dur }

// set takes keys that may be in any order.
func (st *stroke) set(keys []pitch.Num) {
	st.keys = append([]pitch.Num(nil), keys...)
	sort.Slice(st.keys, func(i, j int) bool { return st.keys[i] < st.keys[j] })
}

// fromWants makes the demonstrated strokes.
func (t *take) fromWants() []stroke {
	strokes := make([]stroke, len(t.s.Wants))
	for i := range t.s.Wants {
		w := &t.s.Wants[i]
		st := stroke{want: i, hand: w.Hand, pos: w.At, dur: w.Dur, keys: w.Keys(), roll: w.Roll}
		if w.Accent {
			st.gain += orElse(t.h.AccentGain, 20)
		}
		if w.Role == score.Bass {
			st.gain += t.h.BassGain
		}
		if w.Role == score.Melody {
			st.top = orElse(t.h.TuneGain, 12)
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

// clear reports whether a hand can take keys at the place of want i: on the
// piano, not across the other hand at that moment, and on no key that the other
// hand holds.
func (t *take) clear(strokes []stroke, i int, keys []pitch.Num) bool {
	if len(keys) == 0 || lowest(keys) < pitch.PianoLow || highest(keys) > pitch.PianoHigh {
		return false
	}
	st := &strokes[i]
	for _, j := range t.around(strokes, i) {
		o := &strokes[j]
		if o.hand == st.hand {
			continue
		}
		if o.pos == st.pos && crosses(st.hand, keys, o.keys) || share(keys, o.keys) {
			return false
		}
	}
	return true
}

// around lists the strokes of wants near i that overlap it in time, itself left out.
func (t *take) around(strokes []stroke, i int) []int {
	st := &strokes[i]
	var all []int
	longest := 2 * t.s.Meter.Bar()
	for j := i - 1; j >= 0 && strokes[j].pos > st.pos-longest; j-- {
		if strokes[j].end() > st.pos {
			all = append(all, j)
		}
	}
	for j := i + 1; j < len(t.s.Wants) && strokes[j].pos < st.end(); j++ {
		all = append(all, j)
	}
	return all
}

func crosses(h pattern.Hand, keys, other []pitch.Num) bool {
	if h == pattern.Left {
		return highest(keys) >= lowest(other)
	}
	return lowest(keys) <= highest(other)
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

func lowest(keys []pitch.Num) pitch.Num {
	low := keys[0]
	for _, k := range keys {
		low = min(low, k)
	}
	return low
}

func highest(keys []pitch.Num) pitch.Num {
	high := keys[0]
	for _, k := range keys {
		high = max(high, k)
	}
	return high
}
