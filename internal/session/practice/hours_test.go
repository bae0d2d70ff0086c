package practice

import (
	"bytes"
	"io"
	"math/rand/v2"
	"runtime"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/midi/event"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
	"undersong/internal/ui/lines"
)

// held is how many bytes the program holds on to.
func held() uint64 {
	var m runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&m)
	return m.HeapAlloc
}

// Hours of keys by chance, as of a cat or of a child, leave nothing behind.
func TestHoursKeepMemoryFlat(t *testing.T) {
	if testing.Short() {
		t.Skip("hours take seconds")
	}
	s, round := everyPart(t, false), everyPart(t, true)
	tune, err := score.Tune(material.Chart(t, everything), score.Options{})
	require.NoError(t, err)
	session := func(how uint16) Lesson {
		l, _ := sessionOf(s, round, how, &bytes.Buffer{})
		l.o.Writer = lines.NewJSON(io.Discard)
		return l
	}
	ear, bass := byEarOf(tune, 0), bassOf(tune, 5)
	ear.Tell(lines.NewJSON(io.Discard), "")
	bass.Tell(lines.NewJSON(io.Discard), "")
	for name, l := range map[string]Lesson{
		"a loop": session(1), "a loop, told after": session(1 | 4), "led": session(1 | 2), "led, told after": session(1 | 2 | 4),
		"with the left hand": session(1 | 256 | 4<<9), "tune": ear, "bass": bass,
	} {
		require.NoError(t, l.Begin(0))
		r := rand.New(rand.NewPCG(1, 1))
		var before uint64
		for now := time.Duration(0); now < 4*time.Hour; now += time.Duration(r.IntN(600)) * time.Millisecond {
			key := uint8(40 + r.IntN(36))
			require.NoError(t, l.Event(event.On(now, key, uint8(1+r.IntN(127)))))
			require.NoError(t, l.Event(event.Off(now, key)))
			require.NoError(t, l.Tick(now))
			if before == 0 && now > time.Hour {
				before = held()
			}
		}
		l.View()
		assert.Less(t, held(), before+256<<10, name)
	}
}
