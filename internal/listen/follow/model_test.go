package follow

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/music/meter"
)

// The table of logarithms is right to a hundredth, over what variances and waits come to.
func TestLogarithms(t *testing.T) {
	for x := 1e-6; x < 1e6; x *= 1.003 {
		assert.InDelta(t, math.Log(x), logOf(x), 0.01, "%g", x)
	}
}

// A stroke is out of time from slip on; off by slipMost of its interval it is a pause
// or another event.
func TestStrokesOutOfTime(t *testing.T) {
	p := path{perTick: 0.5 / float64(meter.Quarter)}
	for _, c := range []struct {
		off     float64 // seconds, of half a second
		slipped bool
	}{
		{0, false}, {slip, false}, {slip + 0.001, true}, {-slip, false}, {-slip - 0.001, true},
		{0.5*slipMost - 0.001, true}, {0.5 * slipMost, false}, {-0.5*slipMost + 0.001, true}, {-0.5 * slipMost, false},
	} {
		assert.Equal(t, c.slipped, p.slipped(c.off, float64(meter.Quarter)), "%g s", c.off)
	}
}

// After a stroke out of time the next may be in time with it, or with when it was due.
func TestAfterAStrokeOutOfTime(t *testing.T) {
	f := NewFollower(build(t, "two-beat", eightBars), FollowOptions{})
	beat := beatLength.Seconds()
	for _, c := range []struct {
		name          string
		at            float64
		struck, other float64 // what the next is counted from
	}{
		{"in time", 1 + beat, 1 + beat, 1 + beat},
		{"late", 1 + beat + 0.1, 1 + beat + 0.1, 1 + beat},
		{"early", 1 + beat - 0.1, 1 + beat - 0.1, 1 + beat},
		{"after a pause", 1 + 3*beat, 1 + 3*beat, 1 + 3*beat},
	} {
		p := path{struckAt: 1, perTick: f.written, tempoVariance: 0.01}
		f.move(&p, &step{event: 1, by: advance}, c.at)
		assert.InDelta(t, c.struck, p.struckAt, 1e-9, c.name)
		assert.InDelta(t, c.other, p.retimed, 1e-9, c.name)
		assert.Equal(t, c.struck != c.other, p.sameEvent, c.name)
	}
}

// What is struck again may go on in time with the first try, or with the second.
func TestAfterAStrokeStruckAgain(t *testing.T) {
	f := NewFollower(build(t, "two-beat", eightBars), FollowOptions{})
	for _, c := range []struct {
		name   string
		event  int32
		struck float64
	}{
		{"the same event", 3, 1}, {"the one before", 2, 1.4},
	} {
		p := path{event: 3, struckAt: 1, retimed: 1, perTick: f.written, tempoVariance: 0.01}
		f.move(&p, &step{event: c.event, by: repeat}, 1.4)
		assert.EqualValues(t, c.struck, p.struckAt, c.name)
		assert.EqualValues(t, 1.4, p.retimed, c.name)
		assert.InDelta(t, 0.01+drift, p.tempoVariance, 1e-9, "%s: the tempo is known less well", c.name)
	}
}

// Playing may begin anywhere after a wait of waitLeast and waitDue of what was due.
func TestALongWait(t *testing.T) {
	f := NewFollower(build(t, "two-beat", eightBars), FollowOptions{})
	assert.InDelta(t, waitLeast+waitDue*beatLength.Seconds(), f.longWait(&path{perTick: f.written}), 1e-9)
	assert.InDelta(t, waitLeast+2*waitDue*beatLength.Seconds(), f.longWait(&path{perTick: 2 * f.written}), 1e-9)
}

// Two intervals in a row that the tempo does not explain, and that agree, are another
// tempo; one is not, nor are two that differ.
func TestAnotherTempo(t *testing.T) {
	f := NewFollower(build(t, "two-beat", eightBars), FollowOptions{})
	for _, c := range []struct {
		name      string
		intervals []float64 // in beats of the tempo before
		tempo     float64   // as a share of it, seconds a beat
	}{
		{"once", []float64{3}, 1}, {"twice the same", []float64{3, 3}, 3}, {"twice almost", []float64{3, 3.3}, math.Sqrt(3 * 3.3)},
		{"two that differ", []float64{3, 2}, 1}, {"one in time between them", []float64{3, 1, 3}, 1},
	} {
		p := path{perTick: f.written, tempoVariance: 0.005}
		for _, x := range c.intervals {
			f.learn(&p, x*beatLength.Seconds(), float64(meter.Quarter))
		}
		assert.InDelta(t, c.tempo, p.perTick/f.written, 1e-6, c.name)
	}
}

// Of more steps than paths are followed, the best are, and none that is far behind.
func TestTheBestPathsAreFollowed(t *testing.T) {
	f := NewFollower(build(t, "driving-eighths", eightBars), FollowOptions{})
	f.bestStep = -1
	for i := range 2 * mostPaths {
		f.steps = append(f.steps, step{event: int32(i), from: -1, weight: -1 - float64(i)*beam/mostPaths})
	}
	f.take(0)
	assert.LessOrEqual(t, len(f.paths), mostPaths)
	assert.Greater(t, len(f.paths), mostPaths/2)
	assert.EqualValues(t, 0, f.paths[f.bestPath].event)
	for i := range f.paths {
		assert.EqualValues(t, i, f.paths[i].event, "the best first, and none left out among them")
		assert.InDelta(t, -float64(i)*beam/mostPaths, f.paths[i].weight, 1e-9)
	}
}
