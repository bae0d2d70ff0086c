package loop

import (
	"bytes"
	"context"
	"encoding/json"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/judge/rules"
	"undersong/internal/midi/event"
	"undersong/internal/midi/port"
	"undersong/internal/play/performer"
	"undersong/internal/session/practice"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/score"
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
	score  *score.Score
	out    bytes.Buffer
	music  []time.Duration
}

const piano = "Digital Piano"

// The tune is in 4/4 at 120: a beat is 500 ms, a bar two seconds.
const (
	tune = "title: Clementine\nkey: C\nmeter: 4/4\ntempo: 120\n\n| C | F | G7 | C |\n"
	bar  = 2 * time.Second
)

func newRehearsal(t *testing.T, change func(o *practice.Options)) *rehearsal {
	r := &rehearsal{stageHand: &stageHand{t: t}}
	r.script = port.NewScript(r.clock)
	r.script.Plug(piano)
	out, err := r.script.OpenOut(piano)
	require.NoError(t, err)
	r.score, err = score.Build(material.Chart(t, tune), material.Shipped(t, "two-beat"), score.Options{})
	require.NoError(t, err)
	o := practice.Options{
		Score: r.score, Level: rules.Steady, CountIn: 1, Heading: sitting.HeadingOf(r.score, rules.Steady.Name),
		Sound: func(e event.Event) { require.NoError(t, out.Send(e)) },
		Music: func(at time.Duration) { r.music = append(r.music, at) },
	}
	if change != nil {
		change(&o)
	}
	r.loop = New(practice.New(o), r.clock, r.after)
	r.loop.Record = lines.NewJSON(&r.out).Record
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
	var all []map[string]any
	for _, l := range strings.Split(strings.TrimSpace(r.out.String()), "\n") {
		var m map[string]any
		require.NoError(r.t, json.Unmarshal([]byte(l), &m), l)
		all = append(all, m)
	}
	return all
}

func (r *rehearsal) has(text string) func() bool {
	return func() bool { return strings.Contains(r.out.String(), text) }
}

func TestLoopHearsTheKeyboardWithItsOwnTimes(t *testing.T) {
	r := newRehearsal(t, nil)
	s := r.score
	r.play(performer.Play(s, performer.Habits{}, performer.Course{}, 1).Events, bar)
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
	assert.InDelta(t, (gone + time.Second + time.Second + bar).Seconds(), r.music[1].Seconds(), 0.02)
	last := r.lines()[len(r.lines())-1]
	assert.Equal(t, "summary", last["type"])
}

func TestAskingToStopEndsWithTheSummary(t *testing.T) {
	r := newRehearsal(t, func(o *practice.Options) { o.Heading.Loop = true })
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
	for left := range 4 {
		r := newRehearsal(t, nil)
		r.loop.Record = lines.NewJSON(&brokenPipe{left}).Record
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

func TestFacesAreShownWhatChanges(t *testing.T) {
	r := newRehearsal(t, nil)
	var seqs []int
	var phases []sitting.Phase
	r.loop.Show = func(s sitting.State) {
		seqs = append(seqs, s.Seq)
		if n := len(phases); n == 0 || phases[n-1] != s.Where.Phase {
			phases = append(phases, s.Where.Phase)
		}
	}
	r.run(context.Background())
	assert.Equal(t, []sitting.Phase{sitting.CountingIn, sitting.Playing, sitting.Finished}, phases)
	assert.IsNonDecreasing(t, seqs)
	assert.Less(t, len(seqs), int(6*bar/fresh)+3, "no more than thirty a second")
}

func TestKeysOfTheComputerAreCommands(t *testing.T) {
	r := newRehearsal(t, func(o *practice.Options) { o.Wait = true })
	typed := make(chan string, 8)
	r.loop.Typed = typed
	press := func(at time.Duration, key string) {
		r.steps = append(r.steps, step{at: at, do: func() { typed <- key }})
	}
	press(time.Second, "x") // any key begins
	press(4*time.Second, "space")
	press(5*time.Second, "z") // means nothing here
	press(20*time.Second, "space")
	press(24*time.Second, "f")
	press(40*time.Second, "q")
	r.run(context.Background())
	assert.True(t, r.loop.Asked || r.loop.Sitting.Done())
	var tempi []any
	for _, l := range r.lines() {
		if l["type"] == "count-in" {
			tempi = append(tempi, l["tempo"])
		}
	}
	assert.Equal(t, []any{120.0, 120.0, 126.0}, tempi, "begun, gone on, faster")
}
