package cli

import (
	"context"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/midi/event"
)

func TestARangeIsShownOnTheKeyboard(t *testing.T) {
	w := newWorld(t, piano)
	clementine, err := filepath.Abs("../../../testdata/charts/clementine.chart")
	require.NoError(t, err)
	w.play(piano, 0, []event.Event{event.On(0, 57, 60), event.On(200*time.Millisecond, 74, 60), event.Off(2*time.Second, 74), event.Off(2*time.Second, 57)})
	require.Equal(t, fine, w.Run(context.Background(), []string{"chart", clementine, "--range", "held"}), w.err.String())
	assert.Contains(t, w.out.String(), "the lowest and the highest note that you sing with ease, on "+piano)
	assert.Contains(t, w.out.String(), "For a voice from A3 to D5, best first:")
}

func TestARangeThatNobodyShows(t *testing.T) {
	w := newWorld(t, piano)
	ctx, cancel := context.WithCancel(context.Background())
	w.steps = append(w.steps, step{at: time.Second, do: cancel})
	assert.Equal(t, failed, w.Run(ctx, []string{"chart", "../../../testdata/charts/clementine.chart", "--range", "held"}))
	assert.Contains(t, w.err.String(), "no two keys were held; --range A3-D5 says it in words")
}
