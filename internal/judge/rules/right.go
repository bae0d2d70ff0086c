package rules

import (
	"time"

	"undersong/internal/judge/finding"
)

// Whole is a stroke that has all its notes.
type Whole struct {
	Misplaced   bool          // a bass far off where the hand lies
	Turned      bool          // another note lowest than is asked for
	Buried      bool          // another note on top than the tune's
	OtherOctave bool          // a note in another octave than its figure or its tune
	Spread      bool          // its notes came one after another
	Offset      time.Duration // from its time, early negative
	Usual       time.Duration // the player's habit
	Tolerance   time.Duration // how far from its time is in time
}

// Kind is what such a stroke is: where several things are wrong with it, the one
// that the hand must mend first; else right.
func (w *Whole) Kind() finding.Kind {
	switch {
	case w.Misplaced:
		return finding.WrongBass
	case w.Turned, w.Buried:
		return finding.WrongInversion
	case w.OtherOctave:
		return finding.WrongNote
	case w.Spread:
		return finding.Spread
	}
	return OffBeat(w.Offset, w.Usual, w.Tolerance)
}
