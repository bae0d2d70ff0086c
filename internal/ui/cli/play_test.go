package cli

import (
	"context"
	"os"
	"path/filepath"
	"strings"
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

// sungText has a tune, and a pattern that leaves it the right hand.
const sungText = `title: Aura Lee
key: C
meter: 4/4
tempo: 120
pattern: broken-up

| C | G7 | C |
m: cfed | c4- c4 | e8
`

// struckAbove is how many keys were struck from a key up.
func struckAbove(w *world, port string, low uint8) (n int) {
	for _, e := range w.script.Sent(port) {
		if e.IsNoteOn() && e.Channel() != 9 && e.Data1 >= low {
			n++
		}
	}
	return n
}

func TestTheTuneIsPlayedWhereTheRightHandIsFree(t *testing.T) {
	chart := filepath.Join(t.TempDir(), "lee.chart")
	text := strings.Replace(sungText, "cfed | c4- c4 | e8", "c2f2e2d2 | c8- | c4 e4", 1)
	require.NoError(t, os.WriteFile(chart, []byte(text), 0o600))
	for _, c := range []struct {
		flags string
		tune  int
	}{
		{"", 6}, {"--no-melody", 0}, {"--hand left", 0}, {"--hand left --melody", 6},
		{"--pattern two-beat --bars 1-1", 0}, {"--pattern two-beat --bars 1-1 --melody", 4},
	} {
		w := newWorld(t, piano)
		require.Zero(t, w.Run(context.Background(), append([]string{"play", chart}, strings.Fields(c.flags)...)), w.err.String())
		assert.Equal(t, c.tune, struckAbove(w, piano, 72), c.flags)
	}
}

func TestPlayEndsWhenTheInstrumentIsGone(t *testing.T) {
	w := newWorld(t, piano)
	stay := func() bool { return false }
	w.steps = []step{{at: time.Second, do: func() { w.script.Unplug(piano) }, heard: stay}}
	require.Equal(t, wrongUse, w.Run(context.Background(), []string{"play", tuneFile(t), "--times", "100"}))
	assert.Contains(t, w.err.String(), "Digital Piano 20:0 is gone")
}

func TestPlaySilently(t *testing.T) {
	w := newWorld(t)
	require.Zero(t, w.Run(context.Background(), []string{"play", tuneFile(t), "--silent", "--bars", "2-3"}), w.err.String())
	assert.Equal(t, "Aura Lee: two-beat in F, 4/4, tempo 120, bars 2-3\n\nsilent, to be seen only\nbar 2: G7\nbar 3: C7\n", w.out.String())
}
