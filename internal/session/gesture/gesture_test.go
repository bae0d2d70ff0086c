package gesture

import (
	"cmp"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/midi/event"
	"undersong/internal/music/pitch"
	"undersong/internal/test/sounding"
)

// played reads "A0 0-1000; Bb0 20-1000": keys, and from when to when they are held,
// in milliseconds; "pedal" is one of them.
func played(t testing.TB, text string) []event.Event {
	t.Helper()
	return sounding.Held(t, text, time.Millisecond)
}

// read is what a Reader makes of events: the commands, the music, and when it came.
func read(events []event.Event) (commands []int, music []event.Event, r *Reader) {
	r = &Reader{}
	take := func() {
		music = append(music, slices.Clone(r.Music())...)
		if n := r.Chosen(); n > 0 {
			commands = append(commands, n)
		}
	}
	now := time.Duration(0)
	for _, ev := range events {
		for ; now < ev.At; now += 10 * time.Millisecond {
			r.Tick(now)
			take()
		}
		r.Feed(ev)
		take()
	}
	r.Tick(now + time.Second)
	take()
	return commands, music, r
}

func TestCommandsAtThePiano(t *testing.T) {
	for _, c := range []struct {
		name, played string
		want         []int
		music        string // what of it is music, where not all of it is
	}{
		{"the two lowest keys, then the first white one", "A0 Bb0 0-2000; B0 1000-1100", []int{1}, "none"},
		{"one after another while they are held", "A0 Bb0 0-3000; D1 1000-1100; D1 1500-1600; E1 2000-2100", []int{3, 3, 4}, "none"},
		{"a ninth above", "A0 Bb0 0-2000; C2 1000-1100", []int{9}, "none"},
		{"a black key is none", "A0 Bb0 0-2000; C#1 1000-1100", nil, "none"},
		{"not struck quite together", "Bb0 0-2000; A0 60-2000; C1 1000-1100", []int{2}, "none"},
		{"76 keys", "E1 F1 0-2000; G1 1000-1100; A1 1200-1300", []int{1, 2}, "none"},
		{"61 keys", "C2 C#2 0-2000; D2 1000-1100; E2 1200-1300", []int{1, 2}, "none"},
		{"the pedal is music all the same", "pedal 10-500; A0 Bb0 0-2000; B0 1000-1100", []int{1}, "pedal 10-500"},
		{"nothing follows", "A0 Bb0 0-2000", nil, "none"},
		{"what comes after is music", "A0 Bb0 0-2000; B0 1000-1100; C3 2100-2500", []int{1}, "C3 2100-2500"},

		{"a slow bass", "A0 0-3000; D1 3000-6000", nil, ""},
		{"a slow bass, legato", "A0 0-3100; B0 3000-6000", nil, ""},
		{"a half step, passing", "A0 0-420; Bb0 400-800; B0 800-1200", nil, ""},
		{"let go too early", "A0 Bb0 0-500; B0 900-1000", nil, ""},
		{"under a chord", "C3 E3 G3 0-3000; A0 Bb0 100-3000; B0 2000-2100", nil, ""},
		{"a chord comes", "A0 Bb0 0-3000; C3 E3 G3 300-900; B0 2000-2100", nil, ""},
		{"too far apart", "A0 0-3000; Bb0 200-3000; B0 2000-2100", nil, ""},
		{"a half step elsewhere", "D2 Eb2 0-2000; E2 1000-1100", nil, ""},
		{"octaves at the bottom", "A0 A1 0-2000; B0 1000-1100", nil, ""},
		{"a waltz on 61 keys", "C2 0-400; E4 G4 C5 600-900; E4 G4 C5 1200-1500; C2 1800-2200", nil, ""},
	} {
		events := played(t, c.played)
		commands, music, r := read(events)
		assert.Equal(t, c.want, commands, c.name)
		want := events
		switch c.music {
		case "":
		case "none":
			want = nil
		default:
			want = played(t, c.music)
		}
		assert.Equal(t, want, music, c.name)
		assert.False(t, r.Open(), c.name)
	}
}

func TestLayersAreNoSecondStroke(t *testing.T) {
	var both []event.Event
	for _, ev := range played(t, "A0 Bb0 0-2000; B0 1000-1100") {
		layer := ev
		layer.Status |= 1
		both = append(both, ev, layer)
	}
	commands, music, _ := read(both)
	assert.Equal(t, []int{1}, slices.Compact(commands))
	for _, ev := range music {
		assert.False(t, ev.IsNoteOn())
	}
}

func TestTheCommandsAreTheWhiteKeysAbove(t *testing.T) {
	r := &Reader{}
	for _, ev := range played(t, "A0 Bb0 0-2000")[:2] {
		r.Feed(ev)
	}
	assert.False(t, r.Open())
	since, waiting := r.Waiting()
	assert.True(t, waiting && since == 0)
	r.Tick(r.Due())
	require.True(t, r.Open())
	_, waiting = r.Waiting()
	assert.False(t, waiting)
	assert.Equal(t, []pitch.Num{23, 24, 26, 28, 29, 31, 33, 35, 36}, r.Commands(9))
	r.Forget()
	assert.False(t, r.Open())
}

// FuzzReader: whatever is played, what is no gesture comes back as it was played,
// and nothing rings on.
func FuzzReader(f *testing.F) {
	f.Add([]byte{0, 0x90, 21, 70, 0, 0x90, 22, 70, 200, 0x90, 23, 70, 10, 0x80, 23, 0, 5, 0x80, 21, 0})
	f.Add([]byte{0, 0x90, 36, 70, 0, 0x90, 37, 70, 200, 0x91, 23, 70, 10, 0xB0, 123, 0, 5, 0x80, 21, 0})
	f.Fuzz(func(t *testing.T, raw []byte) {
		var events []event.Event
		at := time.Duration(0)
		for ; len(raw) >= 4; raw = raw[4:] {
			at += time.Duration(raw[0]) * 4 * time.Millisecond
			events = append(events, event.Event{At: at, Status: raw[1] | 0x80, Data1: raw[2] & 0x7F, Data2: raw[3] & 0x7F})
		}
		commands, music, r := read(events)
		require.LessOrEqual(t, len(music), len(events))
		require.True(t, slices.IsSortedFunc(music, func(a, b event.Event) int { return cmp.Compare(a.At, b.At) }))
		if !r.Open() && len(commands) == 0 && len(music) == len(events) {
			require.Equal(t, events, music)
		}
		rest := events
		for _, ev := range music { // in the order in which it was played
			i := slices.Index(rest, ev)
			require.GreaterOrEqual(t, i, 0)
			rest = rest[i+1:]
		}
		if all, left := downAfter(events), downAfter(music); len(all) == 0 {
			require.Empty(t, left, "nothing rings on")
		}
	})
}

// downAfter are the keys that are down after all events.
func downAfter(events []event.Event) map[uint8]bool {
	down := map[uint8]bool{}
	for _, ev := range events {
		switch {
		case ev.Channel() == event.Percussion:
		case ev.IsNoteOn():
			down[ev.Data1] = true
		case ev.IsNoteOff():
			delete(down, ev.Data1)
		}
	}
	return down
}
