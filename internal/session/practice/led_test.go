package practice

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/midi/event"
	"undersong/internal/play/mistakes"
	"undersong/internal/session/sitting"
)

func led(o *Options) { o.Heading.Follow = true }

// slower plays at two thirds of the tempo.
func slower(events []event.Event) []event.Event {
	out := append([]event.Event(nil), events...)
	for i := range out {
		out[i].At = out[i].At * 3 / 2
	}
	return out
}

func TestThePlayerLeads(t *testing.T) {
	b := newBench(t, tune, led)
	b.pass(7 * time.Second)
	assert.Equal(t, "you lead: play when you like", b.s.view().Notice)
	b.do(sitting.DoBegin)
	assert.Equal(t, sitting.Waiting, b.s.view().Phase, "only the piano begins")

	const start = 8 * time.Second
	b.playFrom(start, slower(wrongBass(b, 3)), start+3*bar*3/2+100*time.Millisecond)
	v := b.s.view()
	assert.Equal(t, sitting.Playing, v.Phase)
	assert.Equal(t, 3, v.Current, "bar 4")
	assert.InDelta(t, 80, float64(v.Tempo), 4, "the player's own tempo")

	b.playFrom(start, since(slower(exact(t, b.score, mistakes.Plan{})), b.now-start), time.Hour)
	assert.Empty(t, b.sent, "no click")
	assert.Equal(t, true, b.lines()[0]["follow"])
	assert.Equal(t, []string{"not now: begin"}, b.notices())
	assert.Equal(t, "finding", b.lines()[2]["type"], "no count-in; the first key is judged")
	b.pass(b.now + afterEnd - time.Second)
	assert.False(t, b.s.Done(), "the last chord may be held")
	b.pass(b.now + 3*time.Second)
	require.True(t, b.s.Done())
	assert.Equal(t, 1, b.count("wrong-bass"))
	assert.Equal(t, 15, b.count("right"))
	assert.Equal(t, 0, b.count("late"))
}

// since are the events from a time on.
func since(events []event.Event, at time.Duration) []event.Event {
	for i := range events {
		if events[i].At >= at {
			return events[i:]
		}
	}
	return nil
}

func TestALedLoopGoesRound(t *testing.T) {
	b := newBench(t, tune, func(o *Options) { led(o); o.Heading.Loop = true })
	one := exact(t, b.score, mistakes.Plan{})
	b.playFrom(0, rounds(one, one, one), 11*bar)
	assert.Equal(t, 3, b.s.view().Pass)
	b.pass(b.now + time.Hour)
	assert.False(t, b.s.Done(), "it waits for the player")
	b.stop()
	assert.Equal(t, float64(0), b.summary()["wrong"])
}

// otherMusic turns what comes after a time into keys and times of no chart.
func otherMusic(events []event.Event, after time.Duration) []event.Event {
	var out []event.Event
	for i, e := range events {
		switch {
		case e.At < after:
			out = append(out, e)
		case e.IsNoteOn():
			at, key := e.At+time.Duration(i*i*37%311)*time.Millisecond, uint8(49+i*i*7%31)
			out = append(out, event.On(at, key, 70), event.Off(at+90*time.Millisecond, key))
		}
	}
	slices.SortStableFunc(out, func(a, b event.Event) int { return int(a.At - b.At) })
	return out
}

func TestALostPlaceIsShownUntilItIsFound(t *testing.T) {
	b := newBench(t, tune, led)
	b.playFrom(0, otherMusic(exact(t, b.score, mistakes.Plan{}), bar), time.Hour)
	b.pass(b.now + 20*time.Second)
	v := b.s.view()
	require.Equal(t, sitting.PlaceLost, v.Phase)
	assert.Contains(t, v.Correction, "begin again at the start of a bar")
	assert.False(t, b.s.Done(), "a player who is lost has not come to the end")
	b.playFrom(b.now, exact(t, b.score, mistakes.Plan{}), b.now+2*bar+300*time.Millisecond)
	assert.Equal(t, sitting.Playing, b.s.view().Phase)
}

func TestAPlayerWhoLeadsGoesOnWhenTheKeyboardIsBack(t *testing.T) {
	b := newBench(t, tune, led)
	one := exact(t, b.score, mistakes.Plan{})
	b.playFrom(0, one, bar+300*time.Millisecond)
	b.s.Lost(b.now, "Digital Piano")
	b.s.Found(b.now+time.Second, "Digital Piano")
	b.pass(b.now + 10*time.Second)
	assert.Equal(t, sitting.Waiting, b.s.view().Phase)
	b.playFrom(b.now, one, time.Hour).pass(time.Hour)
	assert.Equal(t, float64(0), b.summary()["wrong"])
}
