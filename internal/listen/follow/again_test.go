package follow

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
)

// What was struck once more stood there the time before, too; and where playing begins
// anew with it, that is a jump.
func TestStruckOnceMore(t *testing.T) {
	f := NewFollower(build(t, "two-beat", eightBars), FollowOptions{})
	f.start, f.startBefore, f.before, f.best, f.open = 2, 1.5, 4, 4, true
	f.paths = append(f.paths, path{})
	for _, c := range []struct {
		name   string
		path   path
		before int // event, -1 for none
		jumped bool
	}{
		{"the next event", path{event: 5, begunAt: 2, struckAt: 2, by: advance, before: 4, beforeAt: 1.5}, 4, false},
		{"from the place before that, the last onset stood for nothing", path{event: 5, begunAt: 2, struckAt: 2, by: advance, before: 4, beforeAt: 1}, -1, false},
		{"the rest of the same stroke", path{event: 4, begunAt: 1.5, struckAt: 1.5, by: completion, before: 3, beforeAt: 1}, 4, false},
		{"the same event again", path{event: 4, begunAt: 2, struckAt: 1.5, by: repeat, before: 3, beforeAt: 1}, 4, false},
		{"playing begins anew with it", path{event: 4, begunAt: 2, struckAt: 2, by: jump, before: 3, beforeAt: 1}, 4, true},
		{"it began anew with it before", path{event: 4, begunAt: 1.5, struckAt: 1.5, by: jump, before: 3, beforeAt: 1}, 4, false},
		{"playing begins anew elsewhere", path{event: 16, begunAt: 2, struckAt: 2, by: jump, before: 4, beforeAt: 1.5}, 4, true},
	} {
		f.place = c.path
		f.decide()
		e := f.Estimate()
		want := meter.Ticks(-1)
		if c.before >= 0 {
			want = f.events[c.before].at
		}
		assert.Equal(t, want, e.Before, c.name)
		assert.Equal(t, c.jumped, e.Jumped, c.name)
	}
}

// A note of a chord may come late, less so where the next chord is near.
func TestHowLateANoteOfAChordMayBe(t *testing.T) {
	f := NewFollower(build(t, "driving-eighths", eightBars), FollowOptions{}) // an eighth is a quarter of a second at 120
	for _, c := range []struct {
		name   string
		tempo  float64 // as a share of 120
		after  float64 // seconds
		spread float64 // sd, in seconds
	}{
		{"in time", 1, together - 0.001, 0},
		{"at 60", 0.5, 0.15, belated},
		{"at 120", 1, 0.15, belated},
		{"at 240", 2, 0.12, belatedShare * 0.125},
		{"at the slowest, much later", 0.2, 0.6, 0},
	} {
		p := path{perTick: f.written / c.tempo, lastAt: 1}
		want := 0.0
		switch {
		case c.spread > 0:
			want = c.after * c.after / (2 * c.spread * c.spread)
		case c.after > together:
			want = costBelatedMost
		}
		assert.InDelta(t, want, f.belatedly(&p, 1+c.after), 1e-9, c.name)
	}
}

// A wrong note in a roll is of its stroke, and does not stand for nothing.
func TestAWrongNoteInARoll(t *testing.T) {
	p := newPlayer(build(t, "rolled-open", eightBars), FollowOptions{})
	p.play(0, 4)
	keys := p.keys(4)
	keys[len(keys)-1] -= pitch.Num(1)
	for _, k := range keys {
		p.f.Strike(k, 64, p.now)
		assert.Equal(t, 4, p.f.Estimate().Event)
		assert.False(t, p.f.Estimate().Extra)
		p.now += 60 * time.Millisecond
	}
}
