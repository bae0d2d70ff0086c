package rules

import (
	"math"
	"slices"
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
)

// Never is a time that does not come.
const Never = time.Duration(math.MaxInt64)

// Held reports a stroke whose length is told: a beat at least, and not the player's
// own.
func Held(w *score.Want, m meter.Meter) bool { return !w.Free && w.Dur >= m.Beat() }

// Short is the share of its written length that a stroke sounded, and whether that
// is too little.
func (l *Level) Short(sounded, written time.Duration) (share float64, short bool) {
	share = float64(sounded) / float64(written)
	return share, share < l.Held
}

// Shorts holds strokes that were let go too early for a moment, in case the same
// key is struck again: that is a repetition, not a short note. Releases come in the
// order of time, so that they need no sorting. The zero value is empty.
type Shorts struct{ list []finding.Finding }

// Push takes a stroke when it was let go.
func (q *Shorts) Push(f finding.Finding) {
	f.At += repetition
	q.list = append(q.list, f)
}

// Due is when the first of them is to be told.
func (q *Shorts) Due() time.Duration {
	if len(q.list) == 0 {
		return Never
	}
	return q.list[0].At
}

// Pop takes the first out, which must be there.
func (q *Shorts) Pop() finding.Finding {
	f := q.list[0]
	q.list = slices.Delete(q.list, 0, 1)
	return f
}

// Restruck drops the strokes that a key was part of.
func (q *Shorts) Restruck(key pitch.Num) {
	q.list = slices.DeleteFunc(q.list, func(f finding.Finding) bool { return f.Heard.Has(key) })
}
