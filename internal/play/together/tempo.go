package together

import (
	"math"
	"time"
)

// tempo is where the player's beat is and how fast it goes on: a Kalman filter of a
// stroke's time, the time that a beat takes, and how that changes from beat to beat. It
// is quicker to believe a change than the follower's, which also has to tell a place by
// its time.
type tempo struct {
	unit  float64 // ticks a beat
	here  float64 // the last stroke's place
	begun bool

	state [3]float64 // nanoseconds: when the beat was here, how long one is, and how much longer the next
	cov   matrix
}

// newTempo expects a beat of so many ticks to last so long.
func newTempo(beat time.Duration, ticks float64) tempo {
	t := tempo{unit: ticks}
	t.state[1] = float64(beat)
	return t
}

// hear takes a stroke at a place and a time.
func (t *tempo) hear(here float64, since time.Duration) {
	beats := (here - t.here) / t.unit
	t.here = here
	if !t.begun || beats <= 0 {
		t.begin(since)
		return
	}
	t.goOn(beats)
	noise := sq(float64(unevenness))
	off, sum := float64(since)-t.state[0], t.cov[0][0]+noise
	if off*off > surprise*sum { // a pause, or a slip
		t.begin(since)
		return
	}
	var gain [3]float64
	for i := range gain {
		gain[i] = t.cov[i][0] / sum
		t.state[i] += gain[i] * off
	}
	row := t.cov[0]
	for i := range gain {
		for k := range row {
			t.cov[i][k] -= gain[i] * row[k]
		}
	}
}

// begin takes a stroke for the first.
func (t *tempo) begin(since time.Duration) {
	t.begun = true
	t.state[0], t.state[2] = float64(since), 0
	t.cov = matrix{{sq(float64(unevenness))}, {1: sq(t.state[1]) * tempoUnknown}, {2: sq(t.state[1]) * trendUnknown}}
}

// goOn lets so many beats pass.
func (t *tempo) goOn(beats float64) {
	step := matrix{{1, beats, beats * beats / 2}, {0, 1, beats}, {0, 0, math.Pow(trendKept, beats)}}
	t.cov = step.times(t.cov).times(step.transposed())
	walk := sq(t.state[1]) * tempoWalk
	t.cov[0][0] += walk * beats * beats * beats / 3
	t.cov[0][1] += walk * beats * beats / 2
	t.cov[1][0] += walk * beats * beats / 2
	t.cov[1][1] += walk * beats
	t.cov[2][2] += sq(t.state[1]) * trendWalk * beats
	t.state = step.of(t.state)
	t.state[1] = max(t.state[1], float64(fastest))
}

// forget takes the next stroke for the first, as after a break.
func (t *tempo) forget() { t.begun = false }

// lasts is how long so many ticks last from the last stroke on.
func (t *tempo) lasts(ticks float64) time.Duration {
	beats := ticks / t.unit
	return time.Duration(t.state[1]*beats + t.state[2]*beats*beats/2)
}

// matrix has three rows and columns.
type matrix [3][3]float64

func (m matrix) times(o matrix) (all matrix) {
	for i := range m {
		for k := range m {
			for n := range m {
				all[i][k] += m[i][n] * o[n][k]
			}
		}
	}
	return all
}

func (m matrix) transposed() (all matrix) {
	for i := range m {
		for k := range m {
			all[k][i] = m[i][k]
		}
	}
	return all
}

// of is the product with a column.
func (m matrix) of(column [3]float64) (all [3]float64) {
	for i := range m {
		for k := range m {
			all[i] += m[i][k] * column[k]
		}
	}
	return all
}

func sq(x float64) float64 { return x * x }
