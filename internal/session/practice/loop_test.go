package practice

import (
	"bytes"
	"context"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/judge/rules"
	"undersong/internal/listen/live"
	"undersong/internal/midi/event"
	"undersong/internal/midi/port"
	"undersong/internal/play/mistakes"
	"undersong/internal/session/sitting"
	"undersong/internal/test/material"
	"undersong/internal/ui/lines"
)

// stageHand is a clock that moves only while the loop waits: it jumps to what is
// next, so that a session lasts no longer than its work. On the way it plays
// what is due on a scripted keyboard.
type stageHand struct {
	t     *testing.T
	now   atomic.Int64
	steps []step
}

// step is something done at a time on the clock. The clock then stands still
// until the loop has heard of it.
type step struct {
	at    time.Duration
	do    func()
	heard func() bool // nil: at once
}

func (h *stageHand) clock() time.Duration { return time.Duration(h.now.Load()) }

func (h *stageHand) after(d time.Duration) <-chan time.Time {
	until := h.clock() + d
	for len(h.steps) > 0 && h.steps[0].at <= until {
		s := h.steps[0]
		if s.do != nil {
			h.now.Store(int64(max(s.at, h.clock())))
			s.do()
			h.steps[0].do = nil
		}
		if s.heard != nil && !s.heard() {
			return time.After(time.Millisecond) // for the threads that look after the ports
		}
		h.steps = h.steps[1:]
	}
	h.now.Store(int64(until))
	fired := make(chan time.Time, 1)
	fired <- time.Time{}
	return fired
}

// rehearsal is a loop on a scripted keyboard.
type rehearsal struct {
	*stageHand
	script *port.Script
	loop   *Loop
	out    bytes.Buffer
	music  []time.Duration
}

const piano = "Digital Piano"

func newRehearsal(t *testing.T, change func(o *Options)) *rehearsal {
	r := &rehearsal{stageHand: &stageHand{t: t}}
	r.script = port.NewScript(r.clock)
	r.script.Plug(piano)
	out, err := r.script.OpenOut(piano)
	require.NoError(t, err)
	c := material.Chart(t, tune)
	s := scoreFor(t, c, "two-beat")
	o := Options{Score: s, Chart: c, Level: rules.Steady, CountIn: 1, All: true, Heading: sitting.HeadingOf(s, rules.Steady),
		Writer: lines.NewJSON(&r.out),
		Sound:  func(e event.Event) { require.NoError(t, out.Send(e)) },
		Music: func(at time.Duration) {
			r.music = append(r.music, at)
		}}
	if change != nil {
		change(&o)
	}
	r.loop = NewLoop(New(o), r.clock, r.after)
	return r
}

func (r *rehearsal) play(events []event.Event, from time.Duration) {
	for _, e := range events {
		b, err := e.Bytes()
		require.NoError(r.t, err)
		r.steps = append(r.steps, step{at: from + e.At, do: func() { r.script.Play(piano, b...) }})
	}
}

func (r *rehearsal) run(ctx context.Context) {
	session, err := port.NewSession(r.script, piano, r.clock, r.loop.Handlers(), port.SessionOptions{Poll: time.Millisecond})
	require.NoError(r.t, err)
	defer session.Close()
	require.NoError(r.t, r.loop.Run(ctx))
}

func (r *rehearsal) lines() []map[string]any {
	b := &bench{t: r.t}
	b.out.Write(r.out.Bytes())
	return b.lines()
}

func (r *rehearsal) has(text string) func() bool {
	return func() bool { return strings.Contains(r.out.String(), text) }
}

func TestLoopHearsTheKeyboardWithItsOwnTimes(t *testing.T) {
	r := newRehearsal(t, nil)
	s := r.loop.Lesson.(*Session).o.Score
	r.play(exact(t, s, mistakes.Plan{}), bar)
	r.run(context.Background())
	right := 0
	for _, l := range r.lines() {
		if l["type"] == "finding" {
			require.Equal(t, "right", l["kind"], l)
			require.Equal(t, float64(0), l["offset_ms"], "stamped when it was struck, not when the loop woke")
			right++
		}
	}
	assert.Equal(t, len(s.Wants), right)
	hits := 0
	for _, e := range r.script.Sent(piano) {
		assert.Equal(t, uint8(9), e.Channel())
		if e.IsNoteOn() {
			hits++
		}
	}
	assert.Equal(t, 5*4, hits, "the click was sent to the instrument")
}

func TestLoopTellsOfTheCableAndGoesOn(t *testing.T) {
	r := newRehearsal(t, nil)
	gone := 2*bar + 100*time.Millisecond
	r.steps = []step{
		{at: gone, do: func() { r.script.Unplug(piano) }, heard: r.has("keyboard unplugged")},
		{at: gone + time.Second, do: func() { r.script.Plug(piano) }, heard: r.has("keyboard is back")},
	}
	r.run(context.Background())
	require.Len(t, r.music, 2, "counted in twice")
	assert.Equal(t, r.music[0], bar)
	assert.InDelta(t, (gone + time.Second + comeBack + bar).Seconds(), r.music[1].Seconds(), 0.02)
	last := r.lines()[len(r.lines())-1]
	assert.Equal(t, "summary", last["type"])
}

func TestAskingToStopEndsWithTheSummary(t *testing.T) {
	r := newRehearsal(t, func(o *Options) { o.Loop = true })
	ctx, cancel := context.WithCancel(context.Background())
	r.steps = []step{{at: 100 * bar, do: cancel}}
	r.run(ctx)
	all := r.lines()
	assert.Equal(t, "summary", all[len(all)-1]["type"])
	assert.InDelta(t, float64(100*bar/time.Millisecond), all[len(all)-1]["length_ms"], 20)
}

// brokenPipe fails after some writes.
type brokenPipe struct{ left int }

func (b *brokenPipe) Write(p []byte) (int, error) {
	if b.left--; b.left < 0 {
		return 0, assert.AnError
	}
	return len(p), nil
}

func TestAWriterThatFailsEndsTheLoop(t *testing.T) {
	for left := range 6 {
		r := newRehearsal(t, func(o *Options) { o.Writer = lines.NewJSON(&brokenPipe{left}) })
		assert.ErrorIs(t, r.loop.Run(context.Background()), assert.AnError, "after %d lines", left)
	}
}

func TestHandlersNeverHangOnceTheLoopIsOver(t *testing.T) {
	r := newRehearsal(t, nil)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	require.NoError(t, r.loop.Run(ctx))
	h := r.loop.Handlers()
	for range 2 * waiting {
		h.Event(event.On(0, 60, 1))
	}
}

func TestListenerForgetsAnUnpluggedKeyboard(t *testing.T) {
	var over []live.Change
	var notes []string
	l := &Listener{
		Changed: func(c live.Change) error { over = append(over, c); return nil },
		Notice:  func(s string) error { notes = append(notes, s); return nil },
	}
	require.NoError(t, l.Begin(time.Second))
	require.NoError(t, l.Event(event.On(time.Second, 60, 70)))
	require.NoError(t, l.Tick(2*time.Second))
	require.NoError(t, l.Lost(3*time.Second, piano))
	require.NoError(t, l.Found(4*time.Second, piano))
	require.NoError(t, l.Stop(5*time.Second))
	require.Len(t, over, 3)
	assert.True(t, over[1].Over && over[2].Silent())
	assert.Equal(t, []time.Duration{0, 2 * time.Second}, []time.Duration{over[1].Start, over[1].End}, "since it began")
	assert.True(t, over[1].Chord.IsNone(), "one note is a note")
	assert.Equal(t, []string{"keyboard unplugged: waiting for Digital Piano", "keyboard is back: Digital Piano"}, notes)
}
