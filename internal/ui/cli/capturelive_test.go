package cli

import (
	"context"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/midi/event"
	"undersong/internal/midi/port"
)

// threeWaltzBars is a waltz over C at 100 beats a minute.
func threeWaltzBars() []event.Event {
	chord := []uint8{60, 64, 67}
	bar := [][]uint8{{48}, chord, chord}
	return onBeats(500*time.Millisecond, slices.Concat(bar, bar, bar)...)
}

// reopened is a driver that can be opened again after it was closed, as a real one
// is made anew.
type reopened struct{ *port.Script }

func (reopened) Close() error { return nil }

func captureWorld(t *testing.T) *world {
	w := newWorld(t, piano)
	w.App.Driver = func(clock) port.Driver { return reopened{w.script} }
	return w
}

func TestCaptureLive(t *testing.T) {
	w := captureWorld(t)
	to := filepath.Join(t.TempDir(), "mine.pattern")
	w.play(piano, 3*time.Second, threeWaltzBars())
	code := w.Run(context.Background(), []string{"patterns", "capture", "--chord", "C", "mine", "--to", to, "--plain"})
	require.Equal(t, fine, code, w.err.String())
	out := w.out.String()
	assert.Contains(t, out, "listening to "+piano+": play the accompaniment over C")
	assert.Contains(t, out, "right: . ch ch\nleft:  1 .  .\n")
	assert.Contains(t, out, "bar 3: D7") // C F G7 C, a fifth higher
	text, err := os.ReadFile(to)
	require.NoError(t, err)
	assert.Contains(t, out, string(text))

	down := map[uint8]bool{}
	bass := []uint8{}
	for _, e := range w.script.Sent(piano) {
		switch {
		case e.IsNoteOn() && e.Channel() != event.Percussion:
			down[e.Data1] = true
			if e.Data1 < 52 {
				bass = append(bass, e.Data1)
			}
		case e.IsNoteOff():
			delete(down, e.Data1)
		}
	}
	assert.Equal(t, []uint8{43, 48, 50, 43}, bass, "G C D G")
	assert.Empty(t, down, "nothing is left sounding")
}

func TestCaptureLiveWithAClick(t *testing.T) {
	w := captureWorld(t)
	to := filepath.Join(t.TempDir(), "mine.pattern")
	w.play(piano, time.Second+1800*time.Millisecond, threeWaltzBars())
	code := w.Run(context.Background(), []string{"patterns", "capture", "--chord", "C", "mine", "--to", to, "--plain", "--click", "--meter", "3/4", "--tempo", "100", "--out", "piano"})
	require.Equal(t, fine, code, w.err.String())
	clicks := 0
	for _, e := range w.script.Sent(piano) {
		if e.IsNoteOn() && e.Channel() == event.Percussion {
			clicks++
		}
	}
	assert.GreaterOrEqual(t, clicks, 12, "a bar before the playing, three with it")
	assert.Contains(t, w.out.String(), "right: . ch ch\nleft:  1 .  .\n")
}

func TestCaptureOfNothing(t *testing.T) {
	w := newWorld(t, piano)
	ctx, stop := context.WithCancel(context.Background())
	w.steps = append(w.steps, step{at: 5 * time.Second, do: stop})
	code := w.Run(ctx, []string{"patterns", "capture", "--chord", "C", "mine", "--to", filepath.Join(t.TempDir(), "mine.pattern"), "--plain"})
	assert.Equal(t, failed, code)
	assert.Contains(t, w.err.String(), "nothing was played")
}
