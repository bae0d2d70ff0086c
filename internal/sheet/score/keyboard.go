package score

import (
	"slices"

	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
)

// Moved is what a keyboard with fewer keys asked for: a hand's strokes in a bar, or a
// hand's whole part where it has the tune, lie some octaves elsewhere.
type Moved struct {
	Hand    pattern.Hand
	Bars    []int // indices into Score.Bars, rising
	Octaves int   // up; negative where down
	Meets   bool  // the hands meet there
}

// fit moves what lies beyond a keyboard's ends by octaves, a hand's bar at a time, so
// that a figure keeps its shape; a hand that has the tune moves as a whole.
func (s *Score) fit(k pitch.Keyboard) {
	if k.Low() <= pitch.PianoLow && k.High() >= pitch.PianoHigh {
		return
	}
	for _, h := range []pattern.Hand{pattern.Left, pattern.Right} {
		if s.hasTune(h) {
			s.fitStrokes(k, h, s.strokes(h, -1))
			continue
		}
		for bar := range s.Bars {
			s.fitStrokes(k, h, s.strokes(h, bar))
		}
	}
}

func (s *Score) hasTune(h pattern.Hand) bool {
	return slices.ContainsFunc(s.Wants, func(w Want) bool { return w.Hand == h && w.Role == Melody })
}

// strokes are the indices of a hand's strokes in a bar, or in all.
func (s *Score) strokes(h pattern.Hand, bar int) []int {
	var all []int
	for i := range s.Wants {
		if w := &s.Wants[i]; w.Hand == h && (bar < 0 || w.Bar == bar) {
			all = append(all, i)
		}
	}
	return all
}

// fitStrokes moves strokes together, as far as all of them then lie on the keyboard;
// strokes that span more than it has move each for itself.
func (s *Score) fitStrokes(k pitch.Keyboard, h pattern.Hand, strokes []int) {
	if len(strokes) == 0 {
		return
	}
	low, high := pitch.PianoHigh, pitch.PianoLow
	for _, i := range strokes {
		keys := s.Wants[i].Tones
		low, high = min(low, keys[0].Key), max(high, keys[len(keys)-1].Key)
	}
	up := octavesInto(k, low, high)
	switch {
	case up != 0:
		s.moveStrokes(h, strokes, up)
	case !k.Has(low) || !k.Has(high):
		for _, i := range strokes {
			if len(strokes) > 1 {
				s.fitStrokes(k, h, []int{i})
			}
		}
	}
}

// octavesInto is how many octaves bring keys onto a keyboard; 0 where they lie on it
// or nothing does.
func octavesInto(k pitch.Keyboard, low, high pitch.Num) int {
	for up := range 8 {
		for _, by := range []int{up, -up} {
			if k.Has(low+pitch.Num(12*by)) && k.Has(high+pitch.Num(12*by)) {
				return by
			}
		}
	}
	return 0
}

// moveStrokes moves them, and notes it.
func (s *Score) moveStrokes(h pattern.Hand, strokes []int, up int) {
	var bars []int
	meets := false
	for _, i := range strokes {
		w := &s.Wants[i]
		w.Tones = slices.Clone(w.Tones)
		for t := range w.Tones {
			w.Tones[t].Key += pitch.Num(12 * up)
		}
		w.Tune.Octave += up
		meets = meets || s.meets(w)
		if n := len(bars); n == 0 || bars[n-1] != w.Bar {
			bars = append(bars, w.Bar)
		}
	}
	for i := range s.Moved {
		if m := &s.Moved[i]; m.Hand == h && m.Octaves == up && m.Meets == meets {
			m.Bars = slices.Compact(append(m.Bars, bars...))
			return
		}
	}
	s.Moved = append(s.Moved, Moved{h, bars, up, meets})
}

// meets reports a stroke that lies on the wrong side of one of the other hand at its
// time.
func (s *Score) meets(w *Want) bool {
	for i := range s.Wants {
		o := &s.Wants[i]
		if o.Hand == w.Hand || o.At >= w.At+w.Dur || w.At >= o.At+o.Dur {
			continue
		}
		left, right := w, o
		if w.Hand == pattern.Right {
			left, right = o, w
		}
		if left.Tones[len(left.Tones)-1].Key >= right.Tones[0].Key {
			return true
		}
	}
	return false
}
