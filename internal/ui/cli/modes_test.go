package cli

import (
	"context"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/midi/event"
	"undersong/internal/midi/smf"
)

// practise runs practice on a tune in a world, until a time.
func (w *world) practise(until time.Duration, flags ...string) string {
	w.t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	w.steps = append(w.steps, step{at: until, do: cancel})
	args := append([]string{"practice", tuneFile(w.t)}, flags...)
	require.Equal(w.t, fine, w.Run(ctx, args), w.err.String())
	return w.out.String()
}

func (w *world) struck(port string) int {
	n := 0
	for _, e := range w.script.Sent(port) {
		if e.IsNoteOn() {
			n++
		}
	}
	return n
}

func TestPracticeFollowsThePlayer(t *testing.T) {
	w := newWorld(t, piano)
	events := performance(t, mistake{"wrong-bass", "left", 2, 1})
	for i := range events {
		events[i].At = events[i].At * 7 / 5
	}
	w.play(piano, 20*time.Second, events)
	out := w.practise(time.Hour, "--follow", "--json")
	assert.Contains(t, out, `"loop":false,"follow":true}`)
	assert.NotContains(t, out, "count-in")
	assert.Contains(t, out, `"bar":2,"beat":1,"at_ms":22850,"hand":"left","kind":"wrong-bass"`)
	assert.Contains(t, out, `"right":15,"wrong":1,`)
	assert.Contains(t, out, "--hand left --follow")
	assert.Zero(t, w.struck(piano), "no click")
	assert.Less(t, time.Duration(w.now.Load()), 37*time.Second, "it ends by itself")
}

func TestPracticeRampCountsInAtEachTempo(t *testing.T) {
	w := newWorld(t, piano)
	w.play(piano, 2*time.Second, performance(t))
	out := w.practise(13*time.Second, "--ramp", "120:130:10", "--json")
	assert.Contains(t, out, `"tempo":120,"level":"steady","loop":true}`)
	assert.Contains(t, out, `"text":"clean: now 130"`)
	assert.Contains(t, out, `{"type":"count-in","at_ms":10500,"music_at_ms":12346.154,"bar":1,"tempo":130}`)
	w = newWorld(t, piano)
	assert.Contains(t, w.practise(12*time.Second, "--ramp", "120:130:10", "--plain"),
		"4/4, tempo 120 (from 120 to 130 by 10), steady\n\nlistening to Digital Piano 20:0, click on Digital Piano 20:0\nfrom bar 1: nothing at all comes")
}

func TestPracticeWithOneHand(t *testing.T) {
	w := newWorld(t, piano)
	w.play(piano, 2*time.Second, performance(t, mistake{"missing", "right", 2, 2}))
	out := w.practise(time.Hour, "--hand", "left", "--plain")
	assert.Contains(t, out, "steady, left hand alone\n")
	assert.Contains(t, out, "All right: 8 strokes")
}

func TestPracticeCorrectsAfterThePass(t *testing.T) {
	w := newWorld(t, piano)
	w.play(piano, 2*time.Second, performance(t, mistake{"missing", "right", 1, 2}, mistake{"wrong-bass", "left", 3, 1}))
	early := ""
	w.steps = append(w.steps, step{at: 10200 * time.Millisecond, do: func() { early = w.out.String() }})
	out := w.practise(time.Hour, "--after", "--plain")
	assert.NotContains(t, early, "bar")
	assert.Regexp(t, `click on Digital Piano 20:0\nbar 3, beat 1: bass .*\nbar 1, beat 2: no chord - strike F\n\n14 strokes right, 2 to mend\n`, out)
}

// asTyped takes a command apart as a shell does.
func asTyped(t *testing.T, command string) []string {
	t.Helper()
	sh, err := exec.LookPath("sh")
	if err != nil {
		t.Skip("no shell here")
	}
	out, err := exec.Command(sh, "-c", `undersong() { printf '%s\n' "$@"; }; `+command).Output()
	require.NoError(t, err, command)
	return strings.Split(strings.TrimSuffix(string(out), "\n"), "\n")
}

func TestEveryCommandOfTheSummaryWorks(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "Nora's charts")
	require.NoError(t, os.Mkdir(dir, 0o755))
	tune, lesson := filepath.Join(dir, "aura lee.chart"), filepath.Join(dir, "lesson.mid")
	require.NoError(t, os.WriteFile(tune, []byte(tuneText), 0o644))
	data, err := written(smf.WriteOptions{Tempos: []smf.TempoChange{{MicrosPerQuarter: 500_000}}},
		performance(t, mistake{"wrong-bass", "left", 3, 1}, mistake{"missing", "right", 1, 2}, mistake{"late", "right", 4, 2}))
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(lesson, data, 0o644))
	for _, flags := range [][]string{nil, {"--follow"}, {"--key=G", "--level=strict"}, {"--hand=right"}} {
		w := newWorld(t, piano)
		require.Equal(t, fine, w.Run(context.Background(), append([]string{"review", tune, lesson, "--json"}, flags...)), w.err.String())
		var sum struct {
			Practise []struct{ Command, Hand string }
		}
		lines := strings.Split(strings.TrimSpace(w.out.String()), "\n")
		require.NoError(t, json.Unmarshal([]byte(lines[len(lines)-1]), &sum))
		require.NotEmpty(t, sum.Practise)
		for _, p := range sum.Practise {
			live := newWorld(t, piano)
			ctx, cancel := context.WithCancel(context.Background())
			live.steps = []step{{at: 3 * time.Second, do: cancel}}
			require.Equal(t, fine, live.Run(ctx, append(asTyped(t, p.Command), "--json")), "%s\n%s", p.Command, live.err.String())
			start, _, _ := strings.Cut(live.out.String(), "\n")
			assert.Regexp(t, `"bars":\[\d,\d\],.*"loop":true`, start)
			if p.Hand == "left" || p.Hand == "right" {
				assert.Contains(t, start, `"hand":"`+p.Hand+`"`)
			}
			assert.Equal(t, strings.Contains(p.Command, "--follow"), strings.Contains(start, `"follow":true`))
		}
	}
}

// taps are single keys some time after each click of ports --tap.
func taps(late time.Duration) []event.Event {
	var all []event.Event
	for n := range 12 {
		at := time.Second + time.Duration(n)*600*time.Millisecond + late
		all = append(all, event.On(at, 60, 70), event.Off(at+100*time.Millisecond, 60))
	}
	return all
}

func (w *world) config() string {
	text, err := os.ReadFile(w.ConfigFile())
	if os.IsNotExist(err) {
		return ""
	}
	require.NoError(w.t, err)
	return string(text)
}

func TestTapMeasuresTheDelayAndPracticeTakesItOff(t *testing.T) {
	const late = 35 * time.Millisecond
	w := newWorld(t, piano)
	w.play(piano, 0, taps(late))
	require.Equal(t, fine, w.Run(context.Background(), []string{"ports", "--tap"}), w.err.String())
	assert.Contains(t, w.out.String(), "10 taps, 35 ms behind the click, give or take 0 ms\n")
	assert.Contains(t, w.out.String(), "Nothing was changed")
	assert.Equal(t, 12, w.struck(piano))
	assert.Empty(t, w.config())

	again := newWorld(t, piano)
	again.ConfigFile = w.ConfigFile
	again.play(piano, 0, taps(late))
	require.Equal(t, fine, again.Run(context.Background(), []string{"ports", "--tap", "--save"}), again.err.String())
	assert.Contains(t, again.out.String(), "remembered: a delay of 35 ms with Digital Piano\n")
	assert.Contains(t, w.config(), "input: Digital Piano\noutput: Digital Piano\ndelay: 35 ms\n")

	live := newWorld(t, piano)
	live.ConfigFile = w.ConfigFile
	live.play(piano, 2*time.Second+late, performance(t))
	out := live.practise(time.Hour, "--json", "--level", "strict")
	assert.Contains(t, out, "with a delay of 35 ms")
	assert.Contains(t, out, `"left":{"strokes":8,"mean_ms":0,"spread_ms":0,"drift_ms":0}`)

	other := newWorld(t, "Stage Organ 24:0")
	other.ConfigFile = w.ConfigFile
	assert.NotContains(t, other.practise(time.Second, "--plain"), "delay", "which is the piano's")

	for name, kept := range map[string]bool{"digital": true, "organ": false} {
		use := newWorld(t, piano, "Stage Organ 24:0")
		require.NoError(t, use.savePorts(ports{in: "Digital Piano", delay: late}))
		require.Equal(t, fine, use.Run(context.Background(), []string{"ports", "--use", name}))
		assert.Equal(t, kept, strings.Contains(use.config(), "delay: 35 ms"), name)
	}
}

func TestWhatCannotBeRememberedIsStillTold(t *testing.T) {
	w := newWorld(t, piano)
	home := filepath.Join(t.TempDir(), "home")
	w.ConfigFile = func() string { return filepath.Join(home, "undersong", "config") }
	w.steps = append(w.steps, step{do: func() { require.NoError(t, os.WriteFile(home, nil, 0o600)) }})
	w.play(piano, 0, taps(35*time.Millisecond))
	assert.Equal(t, failed, w.Run(context.Background(), []string{"ports", "--tap", "--save"}))
	assert.Contains(t, w.err.String(), "undersong: the ports cannot be remembered: "+home+": a file is where a folder should be")
	assert.Contains(t, w.out.String(), "10 taps, 35 ms behind the click")
	assert.NotContains(t, w.out.String(), "remembered")
}

func TestTapThatTellsNothingIsNotRemembered(t *testing.T) {
	w := newWorld(t, piano)
	w.play(piano, 0, taps(0)[:8])
	assert.Equal(t, failed, w.Run(context.Background(), []string{"ports", "--tap", "--save"}))
	assert.Contains(t, w.err.String(), "2 of 10 clicks were tapped with: too few to tell")
	assert.Empty(t, w.config())
}
