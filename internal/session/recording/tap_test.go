package recording

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/midi/event"
	"undersong/internal/session/sitting"
	"undersong/internal/ui/words"
)

// tapped lets time pass over a whole measurement, with taps some milliseconds
// from the clicks; 999 is none.
func tapped(t *testing.T, off ...int) (*Tap, []event.Event) {
	t.Helper()
	var sent []event.Event
	tap := &Tap{Sound: func(e event.Event) { sent = append(sent, e) }}
	tap.Begin(0)
	for now := time.Duration(0); !tap.Done(); now += time.Millisecond {
		require.Less(t, now, time.Minute)
		for n, ms := range off {
			if ms != 999 && now == tap.click(n)+time.Duration(ms)*time.Millisecond {
				tap.Event(event.On(now, 60, 70))
				tap.Event(event.On(now, 64, 70)) // two fingers are one tap
				tap.Event(event.Off(now, 60))
			}
		}
		tap.Tick(now)
	}
	return tap, sent
}

func TestTapsTellTheDelay(t *testing.T) {
	steady := func(ms int) []int {
		all := make([]int, tapClicks)
		for i := range all {
			all[i] = ms + 10*(i%2*2-1) // ten to either side
		}
		return all
	}
	for _, c := range []struct {
		name   string
		off    []int
		lines  []string
		steady bool
	}{
		{"late", steady(30), []string{"10 taps, 30 ms behind the click, give or take 10 ms",
			"Your keys arrive late, or the click does. Where it is set, practice counts it as in time."}, true},
		{"ahead", steady(-45), []string{"10 taps, 45 ms ahead of the click, give or take 10 ms",
			"Most people tap a little ahead of a click without knowing. Where it is set, practice counts it as in time."}, true},
		{"on it", steady(0), []string{"10 taps, on the click, give or take 10 ms", "That is as good as none: there is nothing to set."}, true},
		{"too far", steady(-120), []string{"10 taps, 120 ms ahead of the click, give or take 10 ms",
			"More than 80 ms is no piano's delay: sound over a wireless link may be late, or the taps fell between the clicks. Use a cable, and try again."}, false},
		{"uneven", []int{0, 0, -90, 90, -80, 80, -70, 90, 0, 40, -60, 0}, []string{"10 taps, on the click, give or take 69 ms",
			"That is too uneven to tell a delay from. Listen to some clicks first, then tap with one finger."}, false},
		{"few", []int{5, 5, 5, 999, 5, 5, 5, 5}, []string{"5 of 10 clicks were tapped with: too few to tell. Tap once with each click, any key."}, false},
		{"none", nil, []string{"0 of 10 clicks were tapped with: too few to tell. Tap once with each click, any key."}, false},
	} {
		tap, _ := tapped(t, c.off...)
		assert.Equal(t, c.lines, words.TapLines(tap.Result()), c.name)
		assert.Equal(t, c.steady, tap.Result().Steady(), c.name)
		st := tap.State()
		assert.Equal(t, tap.Result(), st.Result.Taps, c.name)
	}
}

func TestTwelveClicksAtAHundred(t *testing.T) {
	_, sent := tapped(t)
	require.Len(t, sent, 24, "each is released")
	for i, e := range sent {
		if i%2 == 0 {
			require.True(t, e.IsNoteOn())
			assert.Equal(t, time.Second+time.Duration(i/2)*600*time.Millisecond, e.At)
		} else {
			require.Equal(t, sent[i-1].Data1, e.Data1)
		}
	}
}

func TestTapBeatsAreSeen(t *testing.T) {
	tap := &Tap{}
	tap.Begin(0)
	assert.Equal(t, sitting.Waiting, tap.State().Where.Phase)
	assert.Equal(t, 10*time.Millisecond, tap.Until(0, 10*time.Millisecond))
	assert.Equal(t, 4*time.Millisecond, tap.Until(time.Second-4*time.Millisecond, 10*time.Millisecond))
	tap.Tick(tap.click(5))
	assert.Equal(t, sitting.CountingIn, tap.State().Where.Phase)
	assert.Equal(t, 7, tap.State().Where.Left)
	assert.Equal(t, 2.0, tap.State().Where.Beat)
	tap.Event(event.On(tap.click(5), 60, 70))
	tap.Lost(tap.click(6), "Digital Piano")
	assert.True(t, tap.Done())
	assert.Zero(t, tap.Result().Taps)
}
