//go:build cgo && linux

package port

import (
	"fmt"
	"slices"
	"sync/atomic"
	"syscall"
	"testing"
	"time"
	"unsafe"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// systemClock reads the monotonic clock that the other process reads too, from
// the same zero.
func systemClock() time.Duration {
	const monotonic = 1
	var ts syscall.Timespec
	syscall.Syscall(syscall.SYS_CLOCK_GETTIME, monotonic, uintptr(unsafe.Pointer(&ts)), 0)
	return time.Duration(ts.Nano())
}

// TestRtMidiStamps compares our stamps with the times at which an independent
// sender says it sent. Live playing is judged to some 10 ms; a stamp late by
// that much is a fault of ours or of a machine too busy to be used live. The
// numbers are printed with -v.
func TestRtMidiStamps(t *testing.T) {
	d := NewRtMidi(systemClock)
	closeAtEnd(t, d)
	piano := startPiano(t, d)
	piano.plug(t)
	const n = 500
	stamps := make([]atomic.Int64, n)
	_, err := d.OpenIn(find(t, d.Inputs), func(at time.Duration, midi []byte) {
		stamps[int(midi[2]-1)*128+int(midi[1])].Store(int64(at))
	})
	require.NoError(t, err)
	sent := piano.stream(t, n, 7*time.Millisecond)
	// A JACK server without real-time rights drops a period now and then, so
	// any of the last notes tells that the rest is through.
	require.Eventually(t, func() bool {
		for i := n - 5; i < n; i++ {
			if stamps[i].Load() != 0 {
				return true
			}
		}
		return false
	}, patience, 100*time.Millisecond)
	late := make([]time.Duration, 0, n)
	for i := range stamps {
		if at := stamps[i].Load(); at != 0 {
			late = append(late, time.Duration(at)-sent[i])
		}
	}
	slices.Sort(late)
	arrived := len(late)
	median, most := late[arrived/2], late[arrived*99/100]
	t.Logf("%d of %d notes: late by %v at least, %v in the middle, %v for 99 of 100, %v at most",
		arrived, n, late[0], median, most, late[arrived-1])
	assert.GreaterOrEqual(t, arrived, n*95/100)
	assert.Positive(t, late[0], "stamped before it was sent")
	assert.Less(t, median, 10*time.Millisecond)
}

// stream plays notes with a gap and gives the times they were sent.
func (p *pythonPiano) stream(t *testing.T, n int, gap time.Duration) []time.Duration {
	t.Helper()
	_, err := fmt.Fprintf(p.in, "stream %d %g\n", n, gap.Seconds())
	require.NoError(t, err)
	var times []time.Duration
	for reply := range p.replies {
		if reply == "ok" {
			break
		}
		var ns int64
		_, err := fmt.Sscanf(reply, "sent %d", &ns)
		require.NoError(t, err, reply)
		times = append(times, time.Duration(ns))
	}
	require.Len(t, times, n)
	return times
}
