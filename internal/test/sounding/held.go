package sounding

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"undersong/internal/midi/event"
	"undersong/internal/music/pitch"
)

// Held reads music such as "C3 0-0.4; E4 G4 C5 1-1.4; pedal 0-2": keys or the
// pedal, and from when to when they are held, counted in a unit of time.
func Held(t testing.TB, text string, unit time.Duration) []event.Event {
	t.Helper()
	var all []event.Event
	for _, part := range strings.Split(text, ";") {
		words := strings.Fields(part)
		var from, to float64
		n, err := fmt.Sscanf(words[len(words)-1], "%f-%f", &from, &to)
		require.NoError(t, err, part)
		require.Equal(t, 2, n)
		on, off := times(from, unit), times(to, unit)
		for _, w := range words[:len(words)-1] {
			if w == "pedal" {
				all = append(all, event.Pedal(on, 127), event.Pedal(off, 0))
				continue
			}
			p, err := pitch.ParsePitch(w)
			require.NoError(t, err)
			all = append(all, event.On(on, uint8(p.Num()), 70), event.Off(off, uint8(p.Num())))
		}
	}
	slices.SortStableFunc(all, func(a, b event.Event) int { return cmp.Compare(a.At, b.At) })
	return all
}

// times is so many units, to the microsecond.
func times(n float64, unit time.Duration) time.Duration {
	return time.Duration(n*float64(unit/time.Microsecond)) * time.Microsecond
}
