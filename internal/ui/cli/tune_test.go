package cli

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/midi/event"
	"undersong/internal/midi/smf"
	"undersong/internal/music/pitch"
)

// notes writes a file of single notes: notes FILE WORD ..., where a word is a note
// such as C4 or C4@90, with its velocity, or a pause such as 3s.
func notes(ts *testscript.TestScript, neg bool, args []string) {
	events, err := plucked(args[1:])
	ts.Check(err)
	data, err := written(smf.WriteOptions{}, events)
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), data, 0o600))
}

// plucked plays notes half a second apart.
func plucked(words []string) ([]event.Event, error) {
	var all []event.Event
	var now time.Duration
	for _, word := range words {
		if pause, err := time.ParseDuration(word); err == nil {
			now += pause
			continue
		}
		name, force := word, 70
		if at, v, ok := strings.Cut(word, "@"); ok {
			name = at
			if _, err := fmt.Sscanf(v, "%d", &force); err != nil {
				return nil, err
			}
		}
		p, err := pitch.ParsePitch(name)
		if err != nil {
			return nil, err
		}
		k := uint8(p.Num())
		all = append(all, event.On(now, k, uint8(force)), event.Off(now+400*time.Millisecond, k))
		now += 500 * time.Millisecond
	}
	return all, nil
}

const byEarText = `title: Frère Jacques
key: C
meter: 4/4

| C | C | C | C |
m: C2D2E2!breath!C2 | C2D2E2!breath!C2 | E2F2!breath!G4 | E2F2!breath!G4 |
`

func byEarFile(t *testing.T) string {
	path := filepath.Join(t.TempDir(), "frere-jacques.chart")
	require.NoError(t, os.WriteFile(path, []byte(byEarText), 0o600))
	return path
}

// The student pauses, tries, finds, and asks for a hint; Ctrl-C brings the summary.
func TestTuneLive(t *testing.T) {
	run := func(flags ...string) string {
		w := newWorld(t, piano)
		ctx, cancel := context.WithCancel(context.Background())
		events, err := plucked(strings.Fields("G3 A3 B3 G3 4s G3 A3 C4 10s B3 G3"))
		require.NoError(t, err)
		w.play(piano, time.Second, events)
		w.steps = append(w.steps, step{at: time.Minute, do: cancel})
		require.Equal(t, fine, w.Run(ctx, append([]string{"tune", byEarFile(t)}, flags...)), w.err.String())
		assert.EqualValues(t, 1, w.stopped.Load())
		return w.out.String()
	}
	text := run("--plain")
	assert.Contains(t, text, "listening to "+piano)
	assert.Contains(t, text, "    2.5 s  phrase 1 is right\n")
	assert.Contains(t, text, "   10.5 s  a little lower\n", "in the pause after one wrong try")
	assert.Contains(t, text, "Found: 1 of 2 different phrases")
	assert.Equal(t, text, run("--plain"), "the same every time")
	assert.Contains(t, run("--json"), `"kind":"direction","phrase":2,"note":3,"direction":"down","size":"little","text":"a little lower"}`)
	assert.NotContains(t, text, "goes:")
	assert.Contains(t, run("--plain", "--hint", "contour"), "phrase 1 goes: up twice, leap down\n")
}
