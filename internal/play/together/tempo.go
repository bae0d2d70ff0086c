package together

import (
	"math"
	"time"
)

// tempo is how fast the player goes on: a Kalman filter of the logarithm of the time
// that a beat takes. It is quicker to believe a change than the follower's, which also
// has to tell a place by its time.
type tempo struct {
	unit     float64 // ticks a beat
	log      float64 // of the nanoseconds of a beat
	variance float64
	begun    bool
	here     float64 // the last stroke's place, and its time
	since    time.Duration
}

// newTempo expects a beat of so many ticks to last so long.
func newTempo(beat time.Duration, ticks float64) tempo {
	return tempo{log: math.Log(float64(beat)), unit: ticks, variance: tempoUnknown}
}

// hear takes a stroke at a place and a time.
func (t *tempo) hear(here float64, since time.Duration) {
	beats, took := (here-t.here)/t.unit, float64(since-t.since)
	known := t.begun
	t.begun, t.here, t.since = true, here, since
	if !known || beats <= 0 || took <= 0 {
		return
	}
	t.variance += tempoWalk * beats
	noise := float64(unevenness) / took
	off, sum := math.Log(took/beats)-t.log, t.variance+noise*noise
	if off*off > surprise*sum { // a pause, or a slip
		t.variance = max(t.variance, tempoUnknown)
		return
	}
	part := t.variance / sum
	t.log += part * off
	t.variance *= 1 - part
}

// forget takes the tempo for a guess, and the next stroke for the first, as after a
// break.
func (t *tempo) forget() { t.begun, t.variance = false, tempoUnknown }

// lasts is how long so many ticks last.
func (t *tempo) lasts(ticks float64) time.Duration {
	return time.Duration(ticks / t.unit * math.Exp(t.log))
}
