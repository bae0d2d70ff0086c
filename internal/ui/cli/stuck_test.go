package cli

import (
	"context"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"undersong/internal/midi/port"

	"github.com/stretchr/testify/assert"
)

// hanging is a MIDI system that comes back from no call once it hangs.
type hanging struct {
	*port.Script
	hangs func() bool
}

func (h hanging) wait() {
	if h.hangs() {
		select {}
	}
}

func (h hanging) Inputs() ([]string, error) { h.wait(); return h.Script.Inputs() }
func (h hanging) Close() error              { h.wait(); return h.Script.Close() }

func (h hanging) OpenIn(name string, sink port.Sink) (port.In, error) {
	in, err := h.Script.OpenIn(name, sink)
	return hangingIn{in, h}, err
}

type hangingIn struct {
	port.In
	driver hanging
}

func (i hangingIn) Close() error { i.driver.wait(); return i.In.Close() }

// A MIDI system that hangs does not keep the program from ending, nor from telling
// and keeping what was played. That each of these returns is what is tested.
func TestAMIDISystemThatHangsIsLeft(t *testing.T) {
	for _, c := range []struct{ args, told string }{
		{"practice CHART --json", `"type":"summary"`},
		{"practice CHART --plain --no-click", "bars"},
		{"hear", ""},
		{"tune CHART --plain", ""},
		{"play CHART --plain --loop", "bar 2"},
		{"play CHART --plain --loop --silent", "bar 2"},
		{"ports --tap", ""},
		{"patterns capture --chord C mine --to FILE --plain", ""},
	} {
		w := newWorld(t, piano)
		ctx, ask := context.WithCancel(context.Background())
		var hangs atomic.Bool
		w.Driver = func(clock) port.Driver { return hanging{w.script, hangs.Load} }
		w.steps = []step{{at: 4500 * time.Millisecond, do: func() { hangs.Store(true); ask() }}}
		file := filepath.Join(t.TempDir(), "own.pattern")
		args := strings.Fields(strings.NewReplacer("CHART", melodyFile(t), "FILE", file).Replace(c.args))
		assert.Equal(t, wrongUse, w.Run(ctx, args), c.args)
		assert.Contains(t, w.err.String(), "the MIDI system does not answer; its ports were left as they are, and a note may sound on", c.args)
		assert.Contains(t, w.out.String(), c.told, c.args)
	}
}

func TestAMIDISystemThatHangsFromTheBeginningIsLeft(t *testing.T) {
	w := newWorld(t, piano)
	ctx, ask := context.WithCancel(context.Background())
	w.Driver = func(clock) port.Driver {
		return hanging{w.script, func() bool { ask(); return true }}
	}
	assert.Equal(t, interrupted, w.Run(ctx, []string{"hear"}))
	assert.Contains(t, w.err.String(), "the MIDI system does not answer")
}
