package rules

import (
	"math/bits"

	"undersong/internal/judge/finding"
	"undersong/internal/listen/handsep"
	"undersong/internal/sheet/score"
)

// Foreign is what a stroke is that has notes which belong to nothing wanted; served
// is which of its tones were struck, foreign how many notes are none of them. whole
// reports that all it needs is there, and what is foreign came on top.
func Foreign(w *score.Want, served uint32, foreign int) (k finding.Kind, whole bool) {
	replaced := replaced(w, served, foreign)
	if handsep.Lacking(w, served) == 0 && !replaced {
		return finding.Extra, true
	}
	switch w.Role {
	case score.Bass:
		return finding.WrongBass, false
	case score.Figure:
		return finding.WrongNote, false
	}
	if replaced || w.Role == score.Melody && len(w.Tones) == 1 {
		return finding.WrongNote, false
	}
	return finding.WrongChord, false
}

// replaced reports a chord in which one note stands for another, one that may
// be left out included.
func replaced(w *score.Want, served uint32, foreign int) bool {
	absent := len(w.Tones) - bits.OnesCount32(served)
	return len(w.Tones) > 1 && foreign == 1 && served != 0 && handsep.Lacking(w, served) <= 1 && absent > 0
}
