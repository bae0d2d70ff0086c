package cli

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/intake/sheets"
	"undersong/internal/sheet/song"
	"undersong/internal/test/material"
)

// What play writes of a chart with a tune is that tune and those chords again.
func TestWhatIsPlayedIsASheetAgain(t *testing.T) {
	dir := t.TempDir()
	patterns := map[string]string{"3/4": "waltz", "4/4": "block-half", "2/4": "block-whole", "6/8": "six-eight-broken"}
	read, same, all := 0, 0, 0
	for name, c := range material.DemoCharts(t) {
		pattern := patterns[c.Meter.String()]
		if !c.HasMelody() || pattern == "" {
			continue
		}
		w := newWorld(t)
		mid := filepath.Join(dir, name+".mid")
		path, err := filepath.Abs(filepath.Join("../../../testdata/charts", name+".chart"))
		require.NoError(t, err)
		require.Equal(t, fine, w.Run(context.Background(), []string{"play", path, "--pattern", pattern, "--melody", "--out", mid}), w.err.String())
		src, err := os.ReadFile(mid)
		require.NoError(t, err)
		s, err := sheets.Read(src, mid, song.Wish{})
		require.NoError(t, err)
		want, got := song.FromChart(c).Dump(), s.Dump()
		assert.Equal(t, want.Meter, got.Meter, name)
		assert.InDelta(t, want.Upbeat, got.Upbeat, 1e-9, name)
		require.Len(t, got.Melody, len(want.Melody), name)
		off := 0
		for i, n := range got.Melody {
			if n.Midi%12 != want.Melody[i].Midi%12 || n.Onset != want.Melody[i].Onset {
				off++
			}
		}
		assert.Zero(t, off, "%s: notes elsewhere", name)
		same, all = same+sameChords(want, got), all+len(chordsByQuarter(want))
		read++
	}
	assert.Greater(t, read, 8)
	assert.GreaterOrEqual(t, 100*same, 90*all, "quarters with the same chord: %d of %d", same, all)
}

// chordsByQuarter are the chords that sound at each quarter.
func chordsByQuarter(d song.Dump) []string {
	var all []string
	at, end := 0.0, 0.0
	for _, c := range d.Chords {
		end = max(end, c.Onset)
	}
	for i := 0; at <= end; i++ {
		name := ""
		for _, c := range d.Chords {
			if c.Onset <= at+1e-6 {
				name = c.Symbol
			}
		}
		all = append(all, name)
		at++
	}
	return all
}

func sameChords(a, b song.Dump) int {
	n := 0
	x, y := chordsByQuarter(a), chordsByQuarter(b)
	for i := range min(len(x), len(y)) {
		if x[i] == y[i] {
			n++
		}
	}
	return n
}
