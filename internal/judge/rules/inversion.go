package rules

import (
	"undersong/internal/listen/handsep"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

// Turned reports a whole chord in another inversion than is asked for, by its
// lowest note. The nearest inversion is one whose fingers travel no further than the
// shortest way from where the hand may have come from: where it really was, where it
// should have been, where it is shown; or it is the one that is shown, which a
// register may keep from being the nearest. Where from is nil the way there is not
// known, and any inversion is a fair new beginning. served is which of the chord's
// tones were struck.
func Turned(w *score.Want, heard, shown *pitch.Nums, served uint32, from []pitch.Nums) bool {
	if !w.Whole || w.Inversion == pattern.AnyInversion {
		return false
	}
	if w.Inversion != pattern.NearestInversion {
		return heard.At(0).Class() != w.Bottom
	}
	if from == nil || *heard == *shown {
		return false
	}
	for i := range from {
		if near(&from[i], heard, w, served) {
			return false
		}
	}
	return true
}

// near reports keys that the fingers reach from others about as soon as the
// nearest voicing of a chord.
func near(from, heard *pitch.Nums, w *score.Want, served uint32) bool {
	return from.Len() > 0 && handsep.Motion(from, heard) <= handsep.Shortest(from, w, served)+nearEnough
}
