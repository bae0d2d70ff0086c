package cli

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"undersong/internal/midi/event"
	"undersong/internal/midi/port"
	"undersong/internal/music/meter"
	"undersong/internal/play/mistakes"
	"undersong/internal/play/performer"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/score"
)

// world is an App whose clock jumps to what is next whenever the program waits,
// with instruments made of memory.
type world struct {
	App
	t        *testing.T
	now      atomic.Int64
	script   *port.Script
	stopped  atomic.Int64
	steps    []step
	out, err bytes.Buffer
}

// step is something done at a time, before the clock goes on; the clock then
// stands still until it was heard, where that is asked for.
type step struct {
	at    time.Duration
	do    func()
	heard func() bool
}

func newWorld(t *testing.T, instruments ...string) *world {
	w := &world{t: t}
	tell := func() time.Duration { return time.Duration(w.now.Load()) }
	w.script = port.NewScript(tell)
	for _, name := range instruments {
		w.script.Plug(name)
	}
	dir := t.TempDir()
	w.App = App{
		In: strings.NewReader(""), Out: &w.out, Err: &w.err,
		Getenv:     func(string) string { return "" },
		Terminal:   func() bool { return false },
		Columns:    func() int { return 40 },
		ConfigFile: func() string { return filepath.Join(dir, "undersong", "config") },
		CacheDir:   func() string { return filepath.Join(dir, "cache") },
		Clock:      func() clock { return tell },
		Driver:     func(clock) port.Driver { return w.script },
		Stops:      w.stops,
		Hurry:      func() {},
		After:      w.after,
		Poll:       time.Millisecond,
	}
	return w
}

// stops counts how often a command asks to be stopped in order.
func (w *world) stops(ctx context.Context) (context.Context, context.CancelFunc) {
	w.stopped.Add(1)
	return context.WithCancel(ctx)
}

func (w *world) after(d time.Duration) <-chan time.Time {
	until := time.Duration(w.now.Load()) + d
	for len(w.steps) > 0 && w.steps[0].at <= until {
		s := &w.steps[0]
		if s.do != nil {
			w.now.Store(max(int64(s.at), w.now.Load()))
			s.do()
			s.do = nil
		}
		if s.heard != nil && !s.heard() {
			return time.After(time.Millisecond)
		}
		w.steps = w.steps[1:]
	}
	w.now.Store(int64(until))
	fired := make(chan time.Time, 1)
	fired <- time.Time{}
	return fired
}

func (w *world) play(name string, from time.Duration, events []event.Event) {
	for _, e := range events {
		b, err := e.Bytes()
		require.NoError(w.t, err)
		w.steps = append(w.steps, step{at: from + e.At, do: func() { w.script.Play(name, b...) }})
	}
}

const piano = "Digital Piano 20:0"

// The tune has no upbeat, so that the count-in is one bar: two seconds.
const tuneText = `title: Aura Lee
key: F
meter: 4/4
tempo: 120
pattern: two-beat

| F | G7 | C7 | F |
`

func tuneFile(t *testing.T) string {
	path := filepath.Join(t.TempDir(), "aura-lee.chart")
	require.NoError(t, os.WriteFile(path, []byte(tuneText), 0o644))
	return path
}

func performance(t *testing.T, wrong ...mistake) []event.Event {
	t.Helper()
	c, err := chart.Parse([]byte(tuneText), "")
	require.NoError(t, err)
	cat, err := New().catalogue()
	require.NoError(t, err)
	p, err := cat.Find("two-beat")
	require.NoError(t, err)
	s, err := score.Build(c, p, score.Options{Tempo: meter.Tempo(120)})
	require.NoError(t, err)
	plan := mistakes.Plan{}
	for _, m := range wrong {
		at, err := wantAt(s, m)
		require.NoError(t, err)
		plan = plan.Plant(mistakes.Kind(m.kind), at)
	}
	made, err := mistakes.Play(s, performer.Habits{}, plan, 1)
	require.NoError(t, err)
	return made.Events
}
