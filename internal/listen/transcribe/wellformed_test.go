package transcribe

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/midi/event"
	"undersong/internal/music/chord"
)

func TestTheSameAgain(t *testing.T) {
	tk := record(t, "octave-pop", 3, free, true, true)
	first, grid := Chords(tk.perf, Options{})
	again, gridAgain := Chords(tk.perf, Options{})
	assert.Equal(t, first, again)
	assert.Equal(t, grid, gridAgain)
}

// wellFormed checks what Track promises of any performance.
func wellFormed(t *testing.T, end time.Duration, segments []Segment, g Grid) {
	t.Helper()
	at := time.Duration(0)
	for i, s := range segments {
		require.Equal(t, at, s.Start)
		require.Greater(t, s.End, s.Start)
		require.True(t, i == 0 || segments[i-1].Label() != s.Label())
		c, err := chord.Parse(s.Label())
		require.NoError(t, err)
		require.Equal(t, s.Chord, c)
		for n := 1; n < len(s.Notes); n++ {
			require.Greater(t, s.Notes[n], s.Notes[n-1])
		}
		at = s.End
	}
	require.Equal(t, end, at)
	for i := 1; i < len(g.Beats); i++ {
		require.Greater(t, g.Beats[i], g.Beats[i-1])
	}
	for i, b := range g.BarStarts {
		require.Less(t, b, len(g.Beats))
		require.True(t, i == 0 || g.BarStarts[i-1] < b)
	}
}

func FuzzChords(f *testing.F) {
	f.Add([]byte{0, 0x90, 60, 80, 10, 0xB0, 64, 127, 40, 0x80, 60, 0}, uint16(500), uint8(4))
	f.Add([]byte{0, 0x90, 36, 80, 0, 0x90, 52, 70, 250, 0x90, 36, 0, 250, 0x99, 40, 9}, uint16(0), uint8(0))
	f.Fuzz(func(t *testing.T, data []byte, period uint16, perBar uint8) {
		var events []event.Event
		at := time.Duration(0)
		for ; len(data) >= 4; data = data[4:] {
			at += time.Duration(data[0]) * 7 * time.Millisecond
			events = append(events, event.Event{At: at, Status: data[1] | 0x80, Data1: data[2] & 0x7F, Data2: data[3] & 0x7F})
		}
		p := Performance{Notes: FromEvents(events, at), End: at}
		if perBar > 0 {
			p.Beats = beatsAt(time.Duration(period)*time.Millisecond, -beat, 200, int(perBar))
		}
		segments, grid := Chords(p, Options{OwnBeats: perBar > 200})
		wellFormed(t, at, segments, grid)
	})
}
