package cli

import (
	"fmt"

	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/ui/words"
)

// octave is the span beyond which a hand stretches, and the way beyond which it
// leaps.
const octave = 12

// caution is a word for hands where one of them must stretch or leap; empty where
// none must.
func caution(s *score.Score) string {
	if w := stretch(s); w != nil {
		return fmt.Sprintf("%s, beat %s, %s hand: a wide stretch: let the arm move, the pedal holds; roll it or leave a note out; stop if it hurts, ask your teacher or a doctor.",
			capital(score.BarName(s.Bars[w.Bar].Number)), words.BeatName(w.Beat, s.Meter), w.Hand)
	}
	if w := leap(s); w != nil {
		return fmt.Sprintf("%s, beat %s: the %s hand leaps: let the arm carry it, and begin slowly; stop if it hurts, ask your teacher or a doctor.",
			capital(score.BarName(s.Bars[w.Bar].Number)), words.BeatName(w.Beat, s.Meter), w.Hand)
	}
	return ""
}

// stretch is the first stroke over an octave that one hand strikes at once.
func stretch(s *score.Score) *score.Want {
	for i := range s.Wants {
		w := &s.Wants[i]
		if !w.Roll && s.Only.Judges(w.Hand) && top(w)-w.Tones[0].Key > octave {
			return w
		}
	}
	return nil
}

// leap is the first stroke to which the left hand goes further than an octave
// within a beat, from its lowest note or to it.
func leap(s *score.Score) *score.Want {
	if !s.Only.Judges(pattern.Left) {
		return nil
	}
	var before *score.Want
	for i := range s.Wants {
		w := &s.Wants[i]
		if w.Hand != pattern.Left {
			continue
		}
		if before != nil && w.At-before.At <= s.Meter.Beat() && (w.Tones[0].Key-before.Tones[0].Key > octave || before.Tones[0].Key-w.Tones[0].Key > octave) {
			return w
		}
		before = w
	}
	return nil
}

func top(w *score.Want) pitch.Num { return w.Tones[len(w.Tones)-1].Key }
