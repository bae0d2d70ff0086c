package cli

import (
	"context"
	"encoding/json"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/midi/event"
)

func TestHearNamesWhatIsHeld(t *testing.T) {
	press := func(at time.Duration, keys ...uint8) []event.Event {
		var all []event.Event
		for i, k := range keys {
			all = append(all, event.On(at+time.Duration(i)*8*time.Millisecond, k, 70))
		}
		for i, k := range keys {
			all = append(all, event.Off(at+time.Second+time.Duration(i)*8*time.Millisecond, k))
		}
		return all
	}
	var events []event.Event
	for i, keys := range [][]uint8{{60, 64, 67}, {57, 60, 65}, {55, 59, 62, 65}} {
		events = append(events, press(time.Duration(2*i)*time.Second, keys...)...)
	}
	for _, c := range []struct {
		flags string
		want  []string
	}{
		{"--key=C", []string{"C          C major", "F/A        F major, first inversion", "G7         G dominant seventh"}},
		{"--key=C --roman", []string{"C          I in C           C major", "F/A        IV6 in C         F major, first inversion", "G7         V7 in C          G dominant seventh"}},
		{"--json", []string{`{"start_s":0,"end_s":1,"label":"C","notes":[60,64,67]}`, `{"start_s":2,"end_s":3,"label":"F/A","notes":[57,60,65]}`,
			`{"start_s":4,"end_s":5,"label":"G7","notes":[55,59,62,65]}`}},
		{"--json --roman", []string{`{"start_s":0,"end_s":1,"label":"C","notes":[60,64,67]}`, `{"start_s":2,"end_s":3,"label":"F/A","notes":[57,60,65]}`,
			`{"start_s":4,"end_s":5,"label":"G7","notes":[55,59,62,65],"key":"C","roman":"V7"}`}},
		{"--json --roman --key F", []string{`{"start_s":0,"end_s":1,"label":"C","notes":[60,64,67],"key":"F","roman":"V"}`, `{"start_s":2,"end_s":3,"label":"F/A","notes":[57,60,65],"key":"F","roman":"I6"}`,
			`{"start_s":4,"end_s":5,"label":"G7","notes":[55,59,62,65],"key":"F","roman":"V7/V"}`}},
	} {
		first := hearLines(t, events, c.flags)
		assert.Equal(t, c.want, first, c.flags)
		assert.Equal(t, first, hearLines(t, events, c.flags), "the same a second time")
	}
}

// hearLines is what hear writes of what is played.
func hearLines(t *testing.T, events []event.Event, flags string) []string {
	t.Helper()
	w := newWorld(t, piano)
	ctx, cancel := context.WithCancel(context.Background())
	w.play(piano, 0, events)
	w.steps = append(w.steps, step{at: events[len(events)-1].At + 2*time.Second, do: cancel})
	require.Equal(t, fine, w.Run(ctx, append([]string{"hear"}, strings.Fields(flags)...)), w.err.String())
	return strings.Split(strings.TrimRight(w.out.String(), "\n"), "\n")
}

// Bass, chord above it, and the bass let go of before the chord.
func waltzBar() []event.Event {
	return onBeats(300*time.Millisecond, []uint8{45}, []uint8{60, 64, 67}, []uint8{60, 64, 67})
}

// onBeats strikes keys on each beat, at 100 beats a minute, and holds them so long.
func onBeats(held time.Duration, beats ...[]uint8) []event.Event {
	var all []event.Event
	for i, keys := range beats {
		at := time.Duration(i) * 600 * time.Millisecond
		for _, k := range keys {
			all = append(all, event.On(at, k, 70))
		}
		for _, k := range keys {
			all = append(all, event.Off(at+held, k))
		}
	}
	return all
}

func TestHearSaysWhy(t *testing.T) {
	assert.Equal(t, []string{
		"A          note",
		"Am7        A minor seventh",
		"      may be  cost  why",
		"      Am7     15    type +15",
		"      C6/A    47    type +22, bass +25",
		"      C/A     50    bass +50",
		"      Am      60    foreign +60",
	}, hearLines(t, waltzBar(), "--key C --why")[:7])

	var last struct {
		Label string
		Why   []struct {
			Label   string
			Cost    int
			Reasons []struct {
				Reason string
				Cost   int
			}
		}
	}
	lines := hearLines(t, waltzBar(), "--key C --why --json")
	assert.NotContains(t, lines[0], "why", "a note is a note")
	require.NoError(t, json.Unmarshal([]byte(lines[len(lines)-1]), &last))
	assert.Equal(t, "Am7", last.Label)
	require.NotEmpty(t, last.Why)
	assert.LessOrEqual(t, len(last.Why), mostReadings)
	assert.Equal(t, "Am7", last.Why[0].Label)
	for _, r := range last.Why {
		sum := 0
		for _, reason := range r.Reasons {
			sum += reason.Cost
		}
		assert.Equal(t, r.Cost, sum, r.Label)
	}
	assert.Equal(t, "goes on", last.Why[0].Reasons[1].Reason, "the second time it is the chord before")
}

func TestHearSplitsWhereItIsTold(t *testing.T) {
	events := []event.Event{event.On(0, 48, 70), event.On(500*time.Millisecond, 52, 70), event.On(500*time.Millisecond, 55, 70), event.On(time.Second, 59, 70)}
	assert.Equal(t, []string{"C          note", "C          C major", "Cmaj7      C major seventh"}, hearLines(t, events, "--key C"))
	assert.Equal(t, []string{"C          note", "C          C major"}, hearLines(t, events, "--key C --split A3"))
}

func TestHearShowsOneLineOnATerminal(t *testing.T) {
	w := newWorld(t, piano)
	w.Terminal = func() bool { return true }
	ctx, cancel := context.WithCancel(context.Background())
	w.play(piano, 0, []event.Event{event.On(0, 60, 70), event.On(0, 64, 70), event.On(0, 67, 70)})
	w.steps = append(w.steps, step{at: time.Second, do: cancel})
	require.Equal(t, fine, w.Run(ctx, []string{"hear"}))
	assert.Equal(t, eraseLine+"C          C major\n", w.out.String())
}

func TestHearPausesAndGoesOnAtThePiano(t *testing.T) {
	w := newWorld(t, piano)
	ctx, cancel := context.WithCancel(context.Background())
	first := func(at time.Duration) {
		w.play(piano, at, []event.Event{
			event.On(0, 21, 60), event.On(0, 22, 60), event.On(time.Second, 23, 60), event.Off(1100*time.Millisecond, 23),
			event.Off(1200*time.Millisecond, 22), event.Off(1200*time.Millisecond, 21),
		})
	}
	chord := func(at time.Duration, root uint8) {
		w.play(piano, at, []event.Event{
			event.On(0, root, 70), event.On(0, root+4, 70), event.On(0, root+7, 70),
			event.Off(500*time.Millisecond, root), event.Off(500*time.Millisecond, root+4), event.Off(500*time.Millisecond, root+7),
		})
	}
	first(0)
	chord(2*time.Second, 60)
	first(4 * time.Second)
	chord(6*time.Second, 53)
	w.steps = append(w.steps, step{at: 8 * time.Second, do: cancel})
	w.Terminal, w.Getenv = func() bool { return true }, func(string) string { return "dumb" }
	require.Equal(t, fine, w.Run(ctx, []string{"hear"}))
	assert.Equal(t, "F          F major\n", w.out.String(), "nobody hears what is played in a pause, nor the keys that command")
	assert.Equal(t, "listening to Digital Piano 20:0; Ctrl-C\nends\npaused; hold the two lowest keys of the\npiano together for a moment; while you\ndo, the white keys above them are: 1\n"+
		"pause or go on, 9 end\nlistening again\n", w.err.String(), "broken between words")
}
