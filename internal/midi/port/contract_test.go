package port

import (
	"bytes"
	"slices"
	"sync"
	"testing"
	"time"

	"undersong/internal/midi/event"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// instrument is the other end of a driver: a piano called "piano" that a test
// plugs in and plays.
type instrument interface {
	plug(t *testing.T)
	unplug(t *testing.T)
	play(t *testing.T, midi ...byte)
	received() []event.Event // all that was ever sent to it, stamped 0
}

// patience is how long a test waits for what must come. It is not a
// measurement: a slow machine only waits longer.
const patience = 10 * time.Second

// closeAtEnd closes a driver when the test and what it started later have
// ended.
func closeAtEnd(t *testing.T, d Driver) {
	t.Cleanup(func() { assert.NoError(t, d.Close()) })
}

// testContract checks the rules of Driver, by their numbers. start makes a
// driver that is closed at the end of the test, and an unplugged piano.
func testContract(t *testing.T, start func(t *testing.T) (Driver, instrument)) {
	for _, rule := range []struct {
		name  string
		check func(*testing.T, Driver, instrument)
	}{
		{"lists what is plugged in, and no port of ours (2)", checkLists},
		{"delivers what is played, in order, stamped (4)", checkDelivery},
		{"refuses what is not there or taken (3)", checkRefusals},
		{"is silent after In.Close and opens again (6)", checkReopen},
		{"a port that went away stays deaf (7)", checkDeparture},
		{"a port that left and came back unseen is known to be another (7)", checkQuickReturn},
		{"an output sends, and ends in silence (8)", checkOutput},
		{"closes everything at the end (9)", checkClose},
	} {
		t.Run(rule.name, func(t *testing.T) {
			d, piano := start(t)
			piano.plug(t)
			rule.check(t, d, piano)
		})
	}
}

// find waits until a list holds the piano.
func find(t *testing.T, list func() ([]string, error)) string {
	t.Helper()
	var name string
	require.Eventually(t, func() bool {
		names, err := list()
		require.NoError(t, err)
		name, err = Choose(names, "piano")
		return err == nil
	}, patience, 20*time.Millisecond, "the piano is not listed")
	return name
}

func waitGone(t *testing.T, list func() ([]string, error), name string) {
	t.Helper()
	require.Eventually(t, func() bool {
		names, err := list()
		require.NoError(t, err)
		return !slices.Contains(names, name)
	}, patience, 20*time.Millisecond, "%s is still listed", name)
}

// recorder is a sink that remembers.
type recorder struct {
	mu    sync.Mutex
	midi  []byte
	times []time.Duration
}

func (r *recorder) sink(at time.Duration, midi []byte) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.midi = append(r.midi, midi...)
	r.times = append(r.times, at)
}

func (r *recorder) bytes() []byte {
	r.mu.Lock()
	defer r.mu.Unlock()
	return slices.Clone(r.midi)
}

// expect waits for as many bytes as are wanted and compares.
func (r *recorder) expect(t *testing.T, want ...byte) {
	t.Helper()
	assert.Eventually(t, func() bool { return len(r.bytes()) >= len(want) }, patience, 5*time.Millisecond)
	require.Equal(t, want, r.bytes())
}

func checkLists(t *testing.T, d Driver, piano instrument) {
	in, out := find(t, d.Inputs), find(t, d.Outputs)
	openIn, err := d.OpenIn(in, func(time.Duration, []byte) {})
	require.NoError(t, err)
	openOut, err := d.OpenOut(out)
	require.NoError(t, err)
	assert.Equal(t, in, openIn.Name())
	assert.Equal(t, out, openOut.Name())
	for _, list := range []func() ([]string, error){d.Inputs, d.Outputs} {
		names, err := list()
		require.NoError(t, err)
		for _, n := range names {
			assert.NotContains(t, n, "undersong")
		}
	}
	piano.unplug(t)
	waitGone(t, d.Inputs, in)
	waitGone(t, d.Outputs, out)
}

func checkDelivery(t *testing.T, d Driver, piano instrument) {
	var r recorder
	_, err := d.OpenIn(find(t, d.Inputs), r.sink)
	require.NoError(t, err)
	var want []byte
	for key := byte(21); key <= 108; key++ {
		piano.play(t, 0x90, key, 64)
		want = append(want, 0x90, key, 64)
	}
	for _, m := range [][]byte{{0xFE}, {0xB0, 64, 127}, {0xC1, 5}, {0xE0, 0, 64}, {0xDF, 127}} {
		piano.play(t, m...)
		want = append(want, m...)
	}
	r.expect(t, want...)
	r.mu.Lock()
	defer r.mu.Unlock()
	assert.True(t, slices.IsSorted(r.times), "times run backwards: %v", r.times)
}

func checkRefusals(t *testing.T, d Driver, piano instrument) {
	name := find(t, d.Inputs)
	_, err := d.OpenIn(name, func(time.Duration, []byte) {})
	require.NoError(t, err)
	_, err = d.OpenIn(name, func(time.Duration, []byte) {})
	assert.ErrorIs(t, err, ErrBusy)
	_, err = d.OpenIn("spinet", func(time.Duration, []byte) {})
	assert.ErrorIs(t, err, ErrGone)
	_, err = d.OpenOut("spinet")
	assert.ErrorIs(t, err, ErrGone)
}

func checkReopen(t *testing.T, d Driver, piano instrument) {
	name := find(t, d.Inputs)
	var first, second recorder
	in, err := d.OpenIn(name, first.sink)
	require.NoError(t, err)
	piano.play(t, 0x90, 60, 64)
	first.expect(t, 0x90, 60, 64)
	require.NoError(t, in.Close())
	piano.play(t, 0x80, 60, 64)

	in, err = d.OpenIn(name, second.sink)
	require.NoError(t, err)
	piano.play(t, 0x90, 62, 64)
	// The release may still have been on its way when the port was opened.
	require.Eventually(t, func() bool { return bytes.HasSuffix(second.bytes(), []byte{0x90, 62, 64}) },
		patience, 5*time.Millisecond)
	assert.Equal(t, []byte{0x90, 60, 64}, first.bytes(), "played after Close")
	require.NoError(t, in.Close())
	assert.NoError(t, in.Close(), "closing twice")
}

func checkDeparture(t *testing.T, d Driver, piano instrument) {
	name := find(t, d.Inputs)
	var before, after recorder
	in, err := d.OpenIn(name, before.sink)
	require.NoError(t, err)
	piano.unplug(t)
	waitGone(t, d.Inputs, name)
	piano.plug(t)
	name = find(t, d.Inputs)
	again, err := d.OpenIn(name, after.sink)
	require.NoError(t, err, "a departed input does not stand in the way")
	piano.play(t, 0x90, 60, 64)
	after.expect(t, 0x90, 60, 64)
	assert.Empty(t, before.bytes())
	assert.NoError(t, in.Close())
	piano.play(t, 0x80, 60, 64)
	after.expect(t, 0x90, 60, 64, 0x80, 60, 64)
	assert.NoError(t, again.Close())
}

func checkQuickReturn(t *testing.T, d Driver, piano instrument) {
	var r recorder
	in, err := d.OpenIn(find(t, d.Inputs), r.sink)
	require.NoError(t, err)
	out, err := d.OpenOut(find(t, d.Outputs))
	require.NoError(t, err)
	for range 50 {
		find(t, d.Inputs)
		require.True(t, in.Alive())
		require.True(t, out.Alive())
	}
	piano.unplug(t)
	piano.plug(t) // no list was asked for meanwhile
	find(t, d.Inputs)
	find(t, d.Outputs)
	assert.False(t, in.Alive())
	assert.False(t, out.Alive())
	require.NoError(t, in.Close())
	require.NoError(t, out.Close())
	in, err = d.OpenIn(find(t, d.Inputs), r.sink)
	require.NoError(t, err)
	piano.play(t, 0x90, 60, 64)
	r.expect(t, 0x90, 60, 64)
	assert.True(t, in.Alive())
	require.NoError(t, in.Close())
	assert.False(t, in.Alive(), "closed")
}

func checkOutput(t *testing.T, d Driver, piano instrument) {
	out, err := d.OpenOut(find(t, d.Outputs))
	require.NoError(t, err)
	sent := []event.Event{event.On(0, 60, 64), event.On(0, 127, 1), event.On(0, 64, 64), event.Off(0, 64),
		{Status: 0x95, Data1: 0, Data2: 9}, event.Pedal(0, 127), {Status: 0xC0, Data1: 4}}
	for _, e := range sent {
		require.NoError(t, out.Send(e))
	}
	assert.Error(t, out.Send(event.Event{Status: 0xF8}))
	require.NoError(t, out.Close())
	want := append(sent, silenceOf(map[uint8][]uint8{0: {60, 127}, 5: {0}})...)
	assert.Eventually(t, func() bool { return len(piano.received()) >= len(want) }, patience, 5*time.Millisecond)
	require.Equal(t, want, piano.received())
	assert.ErrorIs(t, out.Send(event.On(0, 60, 64)), ErrClosed)
	assert.NoError(t, out.Close(), "closing twice")
}

// silenceOf is what must end notes on the channels used: each released and
// pedals up, then all notes off on all sixteen.
func silenceOf(notes map[uint8][]uint8) []event.Event {
	var out []event.Event
	for ch := range uint8(16) {
		keys, used := notes[ch]
		for _, key := range keys {
			out = append(out, event.Event{Status: 0x80 | ch, Data1: key, Data2: 64})
		}
		for _, pedal := range []uint8{64, 66, 67} {
			if used {
				out = append(out, event.Event{Status: 0xB0 | ch, Data1: pedal})
			}
		}
	}
	for ch := range uint8(16) {
		out = append(out, event.Event{Status: 0xB0 | ch, Data1: 123})
	}
	return out
}

func checkClose(t *testing.T, d Driver, piano instrument) {
	var r recorder
	name, outName := find(t, d.Inputs), find(t, d.Outputs)
	_, err := d.OpenIn(name, r.sink)
	require.NoError(t, err)
	out, err := d.OpenOut(outName)
	require.NoError(t, err)
	require.NoError(t, out.Send(event.On(0, 60, 64)))
	require.NoError(t, d.Close())
	want := append([]event.Event{event.On(0, 60, 64)}, silenceOf(map[uint8][]uint8{0: {60}})...)
	assert.Eventually(t, func() bool { return len(piano.received()) >= len(want) }, patience, 5*time.Millisecond)
	require.Equal(t, want, piano.received())
	piano.play(t, 0x90, 60, 64)
	assert.Empty(t, r.bytes())

	require.NoError(t, d.Close(), "closing twice")
	_, err = d.Inputs()
	assert.ErrorIs(t, err, ErrClosed)
	_, err = d.Outputs()
	assert.ErrorIs(t, err, ErrClosed)
	_, err = d.OpenIn(name, r.sink)
	assert.ErrorIs(t, err, ErrClosed)
	_, err = d.OpenOut(outName)
	assert.ErrorIs(t, err, ErrClosed)
	assert.ErrorIs(t, out.Send(event.On(0, 60, 64)), ErrClosed)
}

// scriptPiano plays the piano of a Script.
type scriptPiano struct{ s *Script }

func (p scriptPiano) plug(*testing.T)              { p.s.Plug("piano") }
func (p scriptPiano) unplug(*testing.T)            { p.s.Unplug("piano") }
func (p scriptPiano) play(_ *testing.T, m ...byte) { p.s.Play("piano", m...) }
func (p scriptPiano) received() []event.Event      { return p.s.Sent("piano") }

func TestScriptKeepsTheContract(t *testing.T) {
	testContract(t, func(*testing.T) (Driver, instrument) {
		s := NewScript(Monotonic())
		closeAtEnd(t, s)
		return s, scriptPiano{s}
	})
}

func TestABoundedDriverKeepsTheContract(t *testing.T) {
	testContract(t, func(t *testing.T) (Driver, instrument) {
		s := NewScript(Monotonic())
		d := Bounded(s, t.Context().Done(), patience)
		closeAtEnd(t, d)
		return d, scriptPiano{s}
	})
}

// faulty is a driver with a fault in it.
type faulty struct{ Driver }

func (faulty) Close() error { panic("out of tune") }

func TestABoundedDriverHasTheFaultsOfItsOwn(t *testing.T) {
	d := Bounded(faulty{NewScript(Monotonic())}, nil, patience)
	assert.PanicsWithValue(t, "out of tune", func() { _ = d.Close() })
}
