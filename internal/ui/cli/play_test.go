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

	"undersong/internal/midi/event"
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

// commandsAt holds the two lowest keys from a time on and strikes the third white key
// above them: slower.
func (w *world) commandsAt(name string, at time.Duration) {
	low := []event.Event{event.On(at, 21, 60), event.On(at, 22, 60), event.On(at+time.Second, 26, 60), event.Off(at+1100*time.Millisecond, 26)}
	w.play(name, 0, append(low, event.Off(at+1500*time.Millisecond, 21), event.Off(at+1500*time.Millisecond, 22)))
}

func TestPlayTakesCommandsAtThePiano(t *testing.T) {
	for _, c := range []struct {
		name, flags string
		at          string // where they are given
		heeded      bool
	}{
		{"the only keyboard", "", piano, true},
		{"silently", "--silent", piano, true},
		{"one of two, not said which", "--out Digital", "Synth 24:0", false},
		{"one of two", "--out Digital --in Synth", "Synth 24:0", true},
		{"the other", "--out Digital --in Synth", piano, false},
		{"silently, the other", "--silent --in Digital", "Synth 24:0", false},
	} {
		w := newWorld(t, piano)
		if strings.Contains(c.name, "other") || strings.Contains(c.name, "two") {
			w.script.Plug("Synth 24:0")
		}
		w.commandsAt(c.at, time.Second)
		args := append([]string{"play", tuneFile(t), "--plain"}, strings.Fields(c.flags)...)
		require.Zero(t, w.Run(context.Background(), args), c.name+w.err.String())
		assert.Equal(t, c.heeded, strings.Contains(w.out.String(), "\ntempo 116\nbar 1: F\n"), "%s: %s", c.name, w.out.String())
		assert.Equal(t, c.heeded, strings.Contains(w.out.String(), "paused"), c.name)
		down, _ := downAfter(w, piano)
		assert.Zero(t, down, c.name)
	}
}

func TestPlayDemandsNoKeyboardButOneThatIsNamed(t *testing.T) {
	w := newWorld(t, piano)
	assert.Equal(t, wrongUse, w.Run(context.Background(), []string{"play", tuneFile(t), "--in", "Organ"}))
	assert.Contains(t, w.err.String(), "undersong ports lists what is there")
	w = newWorld(t, piano)
	assert.Equal(t, wrongUse, w.Run(context.Background(), []string{"play", tuneFile(t), "--in", "Digital", "--out", "lee.mid"}))
	assert.Contains(t, w.err.String(), "--in is for commands")
	_, struck := downAfter(w, piano)
	assert.Zero(t, struck)
}

func TestPlayGoesOnWithoutItsKeyboard(t *testing.T) {
	w := newWorld(t, piano, "Synth 24:0")
	w.steps = []step{{at: time.Second, do: func() { w.script.Unplug("Synth 24:0") }}}
	require.Zero(t, w.Run(context.Background(), []string{"play", tuneFile(t), "--plain", "--out", "Digital", "--in", "Synth"}), w.err.String())
	assert.Contains(t, w.out.String(), "bar 4: F\n")
}

func TestPlaySilently(t *testing.T) {
	w := newWorld(t)
	require.Zero(t, w.Run(context.Background(), []string{"play", tuneFile(t), "--silent", "--bars", "2-3"}), w.err.String())
	assert.Equal(t, "Aura Lee: two-beat in F, 4/4, tempo 120, bars 2-3\n\nsilent, to be seen only\nbar 2: G7\nbar 3: C7\n", w.out.String())
}
