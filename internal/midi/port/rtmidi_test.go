//go:build cgo

package port

import (
	"bufio"
	"bytes"
	"encoding/hex"
	"fmt"
	"io"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"undersong/internal/midi/event"
	"undersong/internal/test/outside"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// pythonPiano is an instrument played by testdata/peer.py, an independent
// client of the same MIDI system.
type pythonPiano struct {
	in      io.Writer
	replies chan string

	mu  sync.Mutex
	got []event.Event
}

// startPiano starts the piano, or skips: no MIDI system, no Python with rtmidi. Its
// RtMidi, which is not ours, may crash where JACK is busy: then another is started.
func startPiano(t *testing.T, d Driver) *pythonPiano {
	t.Helper()
	if _, err := d.Inputs(); err != nil {
		outside.SkipOrFail(t, outside.RequireMIDI, "no live MIDI: "+err.Error())
	}
	python := outside.Python(t, outside.RequireMIDI, "rtmidi")
	said := new(bytes.Buffer)
	for range 3 {
		p, end := launchPiano(t, said, python, filepath.Join("testdata", "peer.py"), strings.ToLower(d.Name()))
		if p.answers("plug") && p.answers("unplug") {
			t.Cleanup(func() { end() })
			return p
		}
		fmt.Fprintln(said, "the piano:", end())
	}
	outside.SkipOrFail(t, outside.RequireMIDI, "no "+d.Name()+" server answers\n"+said.String())
	return nil
}

// launchPiano starts the instrument. Its ports are gone when it is ended, which tells
// how its process ended.
func launchPiano(t *testing.T, errors io.Writer, command ...string) (p *pythonPiano, end func() error) {
	t.Helper()
	p = &pythonPiano{replies: make(chan string, 100_000)}
	cmd := exec.Command(command[0], command[1:]...)
	cmd.Stderr = errors
	in, err := cmd.StdinPipe()
	require.NoError(t, err)
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	p.in = in
	var reading sync.WaitGroup
	reading.Go(func() { p.listen(out) })
	return p, func() error {
		fmt.Fprintln(in, "unplug\nquit")
		in.Close()
		reading.Wait()
		return cmd.Wait()
	}
}

func (p *pythonPiano) listen(out io.Reader) {
	defer close(p.replies)
	lines := bufio.NewScanner(out)
	for lines.Scan() {
		text, isMIDI := strings.CutPrefix(lines.Text(), "got ")
		if !isMIDI {
			p.replies <- lines.Text()
			continue
		}
		var d event.Decoder
		b, err := hex.DecodeString(text)
		if err != nil {
			return
		}
		p.mu.Lock()
		for _, c := range b {
			if e, ok := d.Feed(0, c); ok {
				p.got = append(p.got, e)
			}
		}
		p.mu.Unlock()
	}
}

// answers gives a command and reports whether the piano did it.
func (p *pythonPiano) answers(command string) bool {
	if _, err := fmt.Fprintln(p.in, command); err != nil {
		return false
	}
	select {
	case reply, open := <-p.replies:
		return open && reply == "ok"
	case <-time.After(patience):
		return false
	}
}

func (p *pythonPiano) plug(t *testing.T)   { require.True(t, p.answers("plug")) }
func (p *pythonPiano) unplug(t *testing.T) { require.True(t, p.answers("unplug")) }
func (p *pythonPiano) play(t *testing.T, midi ...byte) {
	require.True(t, p.answers("play "+hex.EncodeToString(midi)))
}

func (p *pythonPiano) received() []event.Event {
	p.mu.Lock()
	defer p.mu.Unlock()
	return append([]event.Event(nil), p.got...)
}

func TestRtMidiKeepsTheContract(t *testing.T) {
	testContract(t, func(t *testing.T) (Driver, instrument) {
		d := NewRtMidi(Monotonic())
		closeAtEnd(t, d)
		return d, startPiano(t, d)
	})
}

// writeOnce leaves out what would repeat the last line.
func (d *diary) writeOnce(format string, args ...any) {
	line := fmt.Sprintf(format, args...)
	d.mu.Lock()
	defer d.mu.Unlock()
	if len(d.lines) == 0 || d.lines[len(d.lines)-1] != line {
		d.lines = append(d.lines, line)
	}
}

// A session over the real system: the piano is unplugged and comes back.
func TestRtMidiSession(t *testing.T) {
	clock := Monotonic()
	d := NewRtMidi(clock)
	closeAtEnd(t, d)
	piano := startPiano(t, d)
	piano.plug(t)
	var log diary
	on := log.handlers()
	on.Event = func(e event.Event) { log.writeOnce("%X %d %d", e.Status, e.Data1, e.Data2) }
	port := find(t, d.Inputs)
	session, err := NewSession(d, port, clock, on, SessionOptions{})
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, session.Close()) })
	expect := func(lines int, command string) {
		t.Helper()
		require.Eventually(t, func() bool {
			// A busy JACK server may drop a message: it is played again.
			return len(log.read()) >= lines || !piano.answers(command)
		}, patience, 20*time.Millisecond)
	}

	expect(1, "play 903c40")
	piano.unplug(t)
	away := clock()
	expect(2, "rest")
	t.Logf("told of the loss after %v", clock()-away)
	piano.plug(t)
	back := clock()
	expect(3, "rest")
	t.Logf("taken up again after %v", clock()-back)
	assert.Less(t, clock()-back, 2*time.Second)
	expect(4, "play 803c40")
	assert.Equal(t, []string{"90 60 64", "lost " + port, "found " + port, "80 60 64"}, log.read())
}

// An input may be closed and opened while the keys fly.
func TestRtMidiClosesUnderFire(t *testing.T) {
	d := NewRtMidi(Monotonic())
	closeAtEnd(t, d)
	piano := startPiano(t, d)
	piano.plug(t)
	name := find(t, d.Inputs)
	_, err := fmt.Fprintln(piano.in, "stream 4000 0.0003")
	require.NoError(t, err)
	for range 40 {
		var r recorder
		in, err := d.OpenIn(name, r.sink)
		require.NoError(t, err)
		require.Eventually(t, func() bool { return len(r.bytes()) > 0 }, patience, time.Millisecond)
		require.NoError(t, in.Close())
		heard := len(r.bytes())
		_, err = d.Inputs()
		require.NoError(t, err)
		require.Len(t, r.bytes(), heard, "heard after Close")
	}
}
