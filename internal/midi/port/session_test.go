package port

import (
	"fmt"
	"runtime"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"undersong/internal/midi/event"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// handClock is a clock that a test turns.
type handClock struct{ now atomic.Int64 }

func (c *handClock) read() time.Duration  { return time.Duration(c.now.Load()) }
func (c *handClock) set(at time.Duration) { c.now.Store(int64(at)) }

// diary writes down what a session calls.
type diary struct {
	mu    sync.Mutex
	lines []string
}

func (d *diary) write(format string, args ...any) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.lines = append(d.lines, fmt.Sprintf(format, args...))
}

func (d *diary) read() []string {
	d.mu.Lock()
	defer d.mu.Unlock()
	return append([]string(nil), d.lines...)
}

func (d *diary) handlers() Handlers {
	return Handlers{
		Event: func(e event.Event) { d.write("%v: %X %d %d", e.At, e.Status, e.Data1, e.Data2) },
		Lost:  func(port string) { d.write("lost %s", port) },
		Found: func(port string) { d.write("found %s", port) },

		Stopped: func(err error) { d.write("%v", err) },
	}
}

// TestSessionThroughThickAndThin turns the clock and looks by hand, so that
// nothing depends on how fast the machine is.
func TestSessionThroughThickAndThin(t *testing.T) {
	var clock handClock
	var log diary
	s := NewScript(clock.read)
	s.Plug("Midi Through:Midi Through Port-0 14:0")
	s.Plug("Piano:Piano MIDI 1 20:0")
	// The watcher's own looks are put off for good; the test does the looking.
	session, err := NewSession(s, "Piano:Piano MIDI 1 20:0", clock.read, log.handlers(), SessionOptions{Poll: 1000 * time.Hour})
	require.NoError(t, err)

	clock.set(1 * time.Second)
	s.Play("Piano:Piano MIDI 1 20:0", 0x90, 60, 64, 64, 64) // running status
	session.look()
	s.Play("Piano:Piano MIDI 1 20:0", 0x90, 67) // the cable is pulled inside a message
	s.Unplug("Piano:Piano MIDI 1 20:0")
	session.look()
	session.look()
	assert.Equal(t, "Piano:Piano MIDI 1 20:0", session.Port())

	s.Plug("Pads:Pads MIDI 1 20:0") // another instrument takes the numbers
	session.look()
	s.Plug("Piano:Piano MIDI 1 24:0")
	clock.set(5 * time.Second)
	session.look()
	s.Play("Piano:Piano MIDI 1 24:0", 64, 0x90, 62, 64) // the rest of the old message is nothing
	assert.Equal(t, "Piano:Piano MIDI 1 24:0", session.Port())
	require.NoError(t, session.Close())
	s.Play("Piano:Piano MIDI 1 24:0", 0x80, 62, 64)
	assert.Equal(t, []string{
		"1s: 90 60 64", "1s: 90 64 64",
		"lost Piano:Piano MIDI 1 20:0",
		"found Piano:Piano MIDI 1 24:0",
		"5s: 90 62 64",
	}, log.read())
	assert.NoError(t, session.Close(), "closing twice")
}

// The names that are listed are the same before and after.
func TestSessionNoticesAReturnBetweenTwoLooks(t *testing.T) {
	var clock handClock
	var log diary
	s := NewScript(clock.read)
	s.Plug("Piano")
	session, err := NewSession(s, "Piano", clock.read, log.handlers(), SessionOptions{Poll: 1000 * time.Hour})
	require.NoError(t, err)
	defer session.Close()
	s.Play("Piano", 0x90, 60, 64)
	session.look()
	s.Unplug("Piano")
	s.Plug("Piano")
	s.Play("Piano", 0x80, 60, 64) // nobody is there to hear it
	session.look()
	s.Play("Piano", 0x90, 62, 64)
	session.look()
	assert.Equal(t, []string{"0s: 90 60 64", "lost Piano", "found Piano", "0s: 90 62 64"}, log.read())
}

// fallen is a system that ends when it is told to.
type fallen struct {
	*Script
	down atomic.Bool
}

func (f *fallen) Inputs() ([]string, error) {
	if f.down.Load() {
		return nil, fmt.Errorf("the server %w", ErrStopped)
	}
	return f.Script.Inputs()
}

func TestSessionTellsThatTheSystemHasStopped(t *testing.T) {
	var clock handClock
	var log diary
	s := &fallen{Script: NewScript(clock.read)}
	s.Plug("Piano")
	session, err := NewSession(s, "Piano", clock.read, log.handlers(), SessionOptions{Poll: time.Millisecond})
	require.NoError(t, err)
	s.down.Store(true)
	require.Eventually(t, func() bool { return len(log.read()) > 0 }, patience, time.Millisecond)
	s.Play("Piano", 0x90, 60, 64)
	require.NoError(t, session.Close())
	assert.Equal(t, []string{"the server has stopped: start it, then begin again"}, log.read(), "once, and nothing after it")
}

func TestSessionKnowsADeadCable(t *testing.T) {
	var clock handClock
	var log diary
	s := NewScript(clock.read)
	s.Plug("Piano")
	session, err := NewSession(s, "Piano", clock.read, log.handlers(), SessionOptions{Poll: 1000 * time.Hour})
	require.NoError(t, err)
	defer session.Close()
	at := func(ms int, do func()) { clock.set(time.Duration(ms) * time.Millisecond); do(); session.look() }
	play := func(b ...byte) func() { return func() { s.Play("Piano", b...) } }
	wait := func() {}

	at(0, play(0x90, 60, 64))
	at(60_000, wait) // silence before any active sensing says nothing
	at(60_100, play(0xFE))
	at(60_430, wait)
	at(60_431, wait)
	at(61_000, wait) // told once
	at(62_000, play(0xFE))
	at(62_200, play(0x80, 60, 64))
	at(62_400, wait)
	at(63_000, wait)
	at(63_100, func() { s.Unplug("Piano") }) // already lost
	at(63_200, func() { s.Plug("Piano") })
	assert.Equal(t, []string{
		"0s: 90 60 64",
		"lost Piano", "found Piano", "1m2.2s: 80 60 64",
		"lost Piano", "found Piano",
	}, log.read())
}

// stubborn refuses to open a port a number of times.
type stubborn struct {
	*Script
	refuse int
}

func (s *stubborn) OpenIn(name string, sink Sink) (In, error) {
	if s.refuse > 0 {
		s.refuse--
		return nil, ErrBusy
	}
	return s.Script.OpenIn(name, sink)
}

func (s *stubborn) Inputs() ([]string, error) {
	if s.refuse == 1 {
		return nil, ErrNoMIDI
	}
	return s.Script.Inputs()
}

func TestSessionTriesAgain(t *testing.T) {
	var clock handClock
	var log diary
	s := &stubborn{Script: NewScript(clock.read)}
	s.Plug("Piano")
	session, err := NewSession(s, "Piano", clock.read, log.handlers(), SessionOptions{Poll: 1000 * time.Hour})
	require.NoError(t, err)
	defer session.Close()
	s.Unplug("Piano")
	session.look()
	s.Plug("Piano")
	s.refuse = 3
	session.look() // refused, twice
	session.look()
	assert.Equal(t, []string{"lost Piano"}, log.read())
	session.look() // the system does not answer
	s.refuse = 0
	session.look()
	assert.Equal(t, []string{"lost Piano", "found Piano"}, log.read())

	_, err = NewSession(s, "spinet", clock.read, Handlers{}, SessionOptions{})
	assert.ErrorIs(t, err, ErrGone)
}

// The real watcher, at a quick poll, with a player on another thread.
func TestSessionWatchesByItself(t *testing.T) {
	before := runtime.NumGoroutine()
	var log diary
	var events atomic.Int64
	on := log.handlers()
	on.Event = func(event.Event) { events.Add(1) }
	clock := Monotonic()
	s := NewScript(clock)
	s.Plug("Piano")
	session, err := NewSession(s, "Piano", clock, on, SessionOptions{Poll: time.Millisecond})
	require.NoError(t, err)

	stop := make(chan struct{})
	var player sync.WaitGroup
	player.Go(func() {
		for {
			select {
			case <-stop:
				return
			default:
				s.Play("Piano", 0x90, 60, 64)
				runtime.Gosched()
			}
		}
	})
	for i := range 20 {
		s.Unplug("Piano")
		require.Eventually(t, func() bool { return len(log.read()) == 2*i+1 }, patience, time.Millisecond)
		s.Plug("Piano")
		require.Eventually(t, func() bool { return len(log.read()) == 2*i+2 }, patience, time.Millisecond)
		heard := events.Load()
		require.Eventually(t, func() bool { return events.Load() > heard }, patience, time.Millisecond)
	}
	require.NoError(t, session.Close())
	heard := events.Load()
	s.Play("Piano", 0x90, 60, 64)
	assert.Equal(t, heard, events.Load(), "an event after Close")
	close(stop)
	player.Wait()
	// Not with Eventually, which has goroutines of its own.
	for deadline := time.Now().Add(patience); runtime.NumGoroutine() > before; runtime.Gosched() {
		require.True(t, time.Now().Before(deadline), "a goroutine is left")
	}
}
