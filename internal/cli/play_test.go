package cli

import (
	"context"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// downAfter is how many keys are down on the instrument at the end, and how many
// were struck.
func downAfter(w *world, port string) (down, struck int) {
	held := map[[2]uint8]bool{}
	for _, e := range w.script.Sent(port) {
		k := [2]uint8{e.Channel(), e.Data1}
		switch {
		case e.IsNoteOn():
			held[k] = true
			struck++
		case e.IsNoteOff():
			delete(held, k)
		case e.EndsAllNotes():
			clear(held)
		}
	}
	return len(held), struck
}

func TestPlaySoundsOnTheInstrument(t *testing.T) {
	w := newWorld(t, piano)
	chart := filepath.Join(t.TempDir(), "lee.chart")
	require.NoError(t, os.WriteFile(chart, []byte(tuneText), 0o600))
	require.Zero(t, w.Run(context.Background(), []string{"play", chart, "--pattern", "block-whole", "--count-in", "1"}), w.err.String())
	down, struck := downAfter(w, piano)
	assert.Zero(t, down)
	assert.Greater(t, struck, 8)
}

func TestPlayStoppedLeavesNoNoteSounding(t *testing.T) {
	w := newWorld(t, piano)
	chart := filepath.Join(t.TempDir(), "lee.chart")
	require.NoError(t, os.WriteFile(chart, []byte(tuneText), 0o600))
	ctx, cancel := context.WithCancel(context.Background())
	w.steps = []step{{at: time.Second, do: cancel, heard: func() bool { return ctx.Err() != nil }}}
	require.Zero(t, w.Run(ctx, []string{"play", chart, "--pattern", "block-whole", "--times", "100"}), w.err.String())
	down, struck := downAfter(w, piano)
	assert.Zero(t, down)
	assert.Less(t, struck, 100)
}
