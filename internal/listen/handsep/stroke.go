package handsep

import (
	"time"

	"undersong/internal/music/pitch"
)

// Stroke is one wanted stroke in one pass, and what has come of it.
type Stroke struct {
	Index   int        // which of the hand's strokes, counted through all passes; -1 unused
	Served  uint32     // bits: which of its tones were struck
	Heard   pitch.Nums // what was struck for it, low to high
	Foreign int        // how many of these belong to nothing wanted

	Struck      int           // notes heard until it was told, foreign ones left out
	SumAt       time.Duration // the sum of their times
	FirstAt     time.Duration // the first of them
	LastAt      time.Duration // the last of them
	Onsets      int           // in how many onsets they came
	Velocity    int           // the sum of their velocities
	TopVelocity int           // of a note of the tune: of the highest so far; else 0
	OtherOctave bool          // a figure's note came in another octave
	Sounding    int           // keys of it that still sound

	Judged   bool // it was told of, right or wrong
	Complete bool // all its notes came
	DoneAt   time.Duration

	// What a judge keeps with it.
	Buried  bool          // another note than the tune's was highest
	Ideal   pitch.Nums    // where the hand should have been, after a wrong inversion
	Early   pitch.Nums    // the right notes, struck long before their time
	EarlyAt time.Duration // when
}

// Mean is the mean time of the notes heard until it was told.
func (s *Stroke) Mean() time.Duration { return s.SumAt / time.Duration(s.Struck) }
