package cli

import (
	"context"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/midi/event"
)

// alone are the events of one hand, told by its keys.
func alone(events []event.Event, from, to uint8) (out []event.Event) {
	for _, e := range events {
		if e.Data1 >= from && e.Data1 < to {
			out = append(out, e)
		}
	}
	return out
}

func TestPracticeWithTheOtherHand(t *testing.T) {
	w := newWorld(t, piano)
	w.play(piano, 2*time.Second, alone(performance(t), 55, 128))
	require.Equal(t, fine, w.Run(context.Background(), []string{"practice", tuneFile(t), "--plain", "--with", "left"}), w.err.String())
	assert.Contains(t, w.out.String(), "Aura Lee: two-beat in F, 4/4, tempo 120, steady, right hand alone, undersong plays the left hand\n")
	assert.Contains(t, w.out.String(), "click on Digital Piano 20:0; undersong plays the left hand on Digital Piano 20:0, channel 4, and you the right hand\n")
	assert.Contains(t, w.out.String(), "All right: 8 strokes\n")
	clicks, ours := 0, 0
	for _, e := range w.script.Sent(piano) {
		switch {
		case e.IsNoteOn() && e.Channel() == 9:
			clicks++
		case e.IsNoteOn() && e.Channel() == 3:
			ours++
		}
	}
	assert.Equal(t, 20, clicks)
	assert.Equal(t, 8, ours)
	down, _ := downAfter(w, piano)
	assert.Zero(t, down)
}

func TestPracticeWithLeavesNoNoteSounding(t *testing.T) {
	w := newWorld(t, piano)
	ctx, cancel := context.WithCancel(context.Background())
	w.steps = []step{{at: 4200 * time.Millisecond, do: cancel}}
	require.Equal(t, fine, w.Run(ctx, []string{"practice", tuneFile(t), "--json", "--with", "left", "--with-channel", "2", "--no-click"}), w.err.String())
	assert.Contains(t, w.out.String(), `"hand":"right","with":"left","loop":false}`)
	assert.NotContains(t, w.out.String(), "click on")
	down, struck := downAfter(w, piano)
	assert.Zero(t, down)
	assert.Equal(t, 3, struck)
	for _, e := range w.script.Sent(piano) {
		if e.IsNoteOn() {
			assert.Equal(t, uint8(1), e.Channel())
		}
	}
}

func TestPracticeForASinger(t *testing.T) {
	w := newWorld(t, piano)
	events := performance(t)
	for i := range events {
		after := 4*time.Second + 100*time.Millisecond // two bars, and what sounds at their end is let go
		if events[i].IsNoteOn() {
			after -= 150 * time.Millisecond
		}
		if events[i].At >= after {
			events[i].At += 4 * time.Second
		}
	}
	w.play(piano, 2*time.Second, events)
	require.Equal(t, fine, w.Run(context.Background(), []string{"practice", tuneFile(t), "--plain", "--sing"}), w.err.String())
	assert.Contains(t, w.out.String(), "Aura Lee: two-beat in F, 4/4, for a singer, steady\n")
	assert.Contains(t, w.out.String(), "bar 2, beat 4: silence for 4.0 s - play on: hold the chord, or strike it again\n")
	assert.Contains(t, w.out.String(), "To mend: stopped 1\n")
	assert.Contains(t, w.out.String(), "--loop --sing")
}

func TestPracticeWithAdvice(t *testing.T) {
	w := newWorld(t, piano)
	w.play(piano, 2*time.Second, alone(performance(t), 55, 128)[12:])
	require.Equal(t, fine, w.Run(context.Background(), []string{"practice", tuneFile(t), "--plain", "--with", "left"}), w.err.String())
	var command string
	for _, l := range strings.Split(w.out.String(), "\n") {
		if strings.Contains(l, "undersong practice") {
			command = l
			break
		}
	}
	assert.Contains(t, command, "--loop --with left")
}

func TestPracticeWithTheOtherHandAfterThePlayer(t *testing.T) {
	w := newWorld(t, piano)
	w.play(piano, 2*time.Second, alone(performance(t), 55, 128))
	require.Equal(t, fine, w.Run(context.Background(), []string{"practice", tuneFile(t), "--plain", "--with", "left", "--follow"}), w.err.String())
	assert.Contains(t, w.out.String(), "Aura Lee: two-beat in F, 4/4, the player leads, steady, right hand alone, undersong plays the left hand\n")
	assert.Contains(t, w.out.String(), "listening to Digital Piano 20:0; undersong plays the left hand on Digital Piano 20:0, channel 4, and you the right hand\n")
	assert.Contains(t, w.out.String(), "All right: 8 strokes\n")
	for _, e := range w.script.Sent(piano) {
		assert.True(t, e.Channel() == 3 || !e.IsNoteOn(), "no click")
	}
	down, struck := downAfter(w, piano)
	assert.Zero(t, down)
	assert.Equal(t, 7, struck, "all but the bass before the first chord")
}
