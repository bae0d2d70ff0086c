package recording

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/midi/event"
	"undersong/internal/music/pitch"
	"undersong/internal/session/sitting"
)

func TestTwoKeysHeldAreARange(t *testing.T) {
	const ms = time.Millisecond
	down := func(at time.Duration, key uint8) event.Event { return event.On(at, key, 60) }
	for name, c := range map[string]struct {
		events    []event.Event
		until     time.Duration
		low, high pitch.Num
		ok        bool
	}{
		"both together":              {[]event.Event{down(0, 57), down(100*ms, 74)}, 800 * ms, 57, 74, true},
		"the higher first":           {[]event.Event{down(0, 74), down(100*ms, 57)}, 800 * ms, 57, 74, true},
		"not long enough":            {[]event.Event{down(0, 57), down(100*ms, 74)}, 799 * ms, 57, 74, false},
		"a slip that was let go":     {[]event.Event{down(0, 57), down(100*ms, 72), event.Off(200*ms, 72), down(300*ms, 74)}, 1000 * ms, 57, 74, true},
		"one key alone":              {[]event.Event{down(0, 57)}, time.Minute, 0, 0, false},
		"two keys that lie too near": {[]event.Event{down(0, 57), down(0, 63)}, time.Minute, 0, 0, false},
		"a fifth":                    {[]event.Event{down(0, 57), down(0, 64)}, time.Minute, 57, 64, true},
		"one after the other":        {[]event.Event{down(0, 57), event.Off(300*ms, 57), down(400*ms, 74)}, time.Minute, 0, 0, false},
	} {
		h := &Held{}
		h.Begin(0)
		for _, e := range c.events {
			h.Event(e)
		}
		h.Tick(c.until)
		low, high, ok := h.Keys()
		assert.Equal(t, c.ok, ok, name)
		assert.Equal(t, c.ok, h.Done(), name)
		if c.ok {
			assert.Equal(t, [2]pitch.Num{c.low, c.high}, [2]pitch.Num{low, high}, name)
		}
	}
}

func TestHeldKeysAreLetGoWithTheCable(t *testing.T) {
	h := &Held{}
	h.Begin(0)
	h.Event(event.On(0, 57, 60))
	h.Event(event.On(0, 74, 60))
	assert.Equal(t, heldFor, h.Until(0, time.Minute))
	h.Lost(time.Millisecond, "Digital Piano")
	assert.Equal(t, time.Minute, h.Until(time.Millisecond, time.Minute))
	h.Tick(time.Minute)
	assert.False(t, h.Done())
	h.Do(time.Minute, sitting.Command{Do: sitting.DoEnd})
	assert.True(t, h.Done())
	_, _, ok := h.Keys()
	assert.False(t, ok, "it ended without two keys")
}
