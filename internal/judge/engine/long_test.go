package engine

import (
	"runtime"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/judge/finding"
	"undersong/internal/judge/rules"
	"undersong/internal/midi/event"
	"undersong/internal/test/sounding"
)

// allocated is how many bytes the program has asked for so far.
func allocated() uint64 {
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return m.TotalAlloc
}

// TestEightHours plays a loop for eight hours of musical time, by the click and
// led by the player: the place stays right and memory flat.
func TestEightHours(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", busyTune, "two-beat")
	evs := sounding.Exact(s).Events()
	for _, led := range []bool{false, true} {
		e := New(s, Options{Level: rules.Steady, Loop: true, Led: led})
		pass := e.Click.Pass()
		passes := int(8 * time.Hour / pass)
		if testing.Short() {
			passes /= 20
		}
		var before uint64
		right, wrong, misplaced := 0, 0, 0
		for i := range passes {
			if i == 4 {
				before = allocated()
			}
			for _, ev := range evs {
				ev.At += time.Duration(i) * pass
				for _, f := range e.Feed(ev) {
					if f.Kind == finding.Right {
						right++
						if f.Pass != i {
							misplaced++
						}
					} else {
						wrong++
					}
				}
			}
		}
		assert.Less(t, allocated()-before, uint64(1<<20), "memory stays flat")
		assert.Zero(t, wrong)
		assert.Zero(t, misplaced)
		assert.InDelta(t, passes*len(s.Wants), right, 1)
		p := e.Position(time.Duration(passes) * pass)
		assert.InDelta(t, passes, p.Pass, 1)
	}
}

// TestAMinuteAtTheCablesLimit feeds a thousand messages a second, about what a
// MIDI cable carries (31,250 baud, 960 microseconds a note-on: MIDI 1.0 Detailed
// Specification), and loses none.
func TestAMinuteAtTheCablesLimit(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", busyTune, "driving-eighths")
	e := New(s, Options{Level: rules.Steady, Loop: true})
	struck := 0
	var at time.Duration
	for i := range 60_000 {
		at = time.Duration(i) * time.Millisecond
		key := uint8(40 + i/2%40)
		if i%2 == 0 {
			e.Feed(event.On(at, key, 60))
			struck++
			require.Equal(t, 1, e.Keys.Down.Len())
		} else {
			e.Feed(event.Off(at, key))
			require.Zero(t, e.Keys.Down.Len())
		}
	}
	e.Finish(at)
	assert.Equal(t, 30_000, struck)
	sum := e.Summary()
	assert.Positive(t, sum.Wrong())
}
