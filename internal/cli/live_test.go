package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/chart"
	"undersong/internal/event"
	"undersong/internal/meter"
	"undersong/internal/midiio"
	"undersong/internal/pattern"
	"undersong/internal/score"
	"undersong/internal/simulate"
)

var update = flag.Bool("update", false, "write the golden files anew")

// world is an App whose clock jumps to what is next whenever the program waits,
// with instruments made of memory.
type world struct {
	App
	t        *testing.T
	now      atomic.Int64
	script   *midiio.Script
	stopped  atomic.Int64
	steps    []step
	out, err bytes.Buffer
}

// step is something done at a time, before the clock goes on; the clock then
// stands still until it was heard, where that is asked for.
type step struct {
	at    time.Duration
	do    func()
	heard func() bool
}

func newWorld(t *testing.T, instruments ...string) *world {
	w := &world{t: t}
	tell := func() time.Duration { return time.Duration(w.now.Load()) }
	w.script = midiio.NewScript(tell)
	for _, name := range instruments {
		w.script.Plug(name)
	}
	dir := t.TempDir()
	w.App = App{
		In: strings.NewReader(""), Out: &w.out, Err: &w.err,
		Getenv:     func(string) string { return "" },
		Terminal:   func() bool { return false },
		Columns:    func() int { return 40 },
		ConfigFile: func() string { return filepath.Join(dir, "undersong", "config") },
		Clock:      func() clock { return tell },
		Driver:     func(clock) midiio.Driver { return w.script },
		Stops:      w.stops,
		After:      w.after,
		Poll:       time.Millisecond,
	}
	return w
}

// stops counts how often a command asks to be stopped in order.
func (w *world) stops(ctx context.Context) (context.Context, context.CancelFunc) {
	w.stopped.Add(1)
	return context.WithCancel(ctx)
}

func (w *world) after(d time.Duration) <-chan time.Time {
	until := time.Duration(w.now.Load()) + d
	for len(w.steps) > 0 && w.steps[0].at <= until {
		s := &w.steps[0]
		if s.do != nil {
			w.now.Store(max(int64(s.at), w.now.Load()))
			s.do()
			s.do = nil
		}
		if s.heard != nil && !s.heard() {
			return time.After(time.Millisecond)
		}
		w.steps = w.steps[1:]
	}
	w.now.Store(int64(until))
	fired := make(chan time.Time, 1)
	fired <- time.Time{}
	return fired
}

func (w *world) play(port string, from time.Duration, events []event.Event) {
	for _, e := range events {
		b, err := midiio.Bytes(e)
		require.NoError(w.t, err)
		w.steps = append(w.steps, step{at: from + e.At, do: func() { w.script.Play(port, b...) }})
	}
}

const piano = "Digital Piano 20:0"

// The tune has no upbeat, so that the count-in is one bar: two seconds.
const tuneText = `title: Aura Lee
key: F
meter: 4/4
tempo: 120
pattern: two-beat

| F | G7 | C7 | F |
`

func tuneFile(t *testing.T) string {
	path := filepath.Join(t.TempDir(), "aura-lee.chart")
	require.NoError(t, os.WriteFile(path, []byte(tuneText), 0o644))
	return path
}

func performance(t *testing.T, mistakes ...mistake) []event.Event {
	t.Helper()
	c, err := chart.Parse([]byte(tuneText), "")
	require.NoError(t, err)
	cat, err := New().catalogue()
	require.NoError(t, err)
	p, err := cat.Find("two-beat")
	require.NoError(t, err)
	s, err := score.Build(c, p, score.Options{Tempo: meter.Tempo(120)})
	require.NoError(t, err)
	plan := simulate.Plan{}
	for _, m := range mistakes {
		at, err := wantAt(s, m)
		require.NoError(t, err)
		plan = plan.Plant(simulate.Kind(m.kind), at)
	}
	made, err := simulate.Play(s, simulate.Habits{}, plan, 1)
	require.NoError(t, err)
	return made.Events
}

// A command that only reads and writes leaves Ctrl-C to end the process.
func TestOnlyLiveCommandsAreStoppedInOrder(t *testing.T) {
	tune := tuneFile(t)
	var data bytes.Buffer
	require.NoError(t, midiio.Write(&data, midiio.WriteOptions{}, midiio.Track{Events: performance(t)}))
	file := filepath.Join(t.TempDir(), "aura-lee.mid")
	require.NoError(t, os.WriteFile(file, data.Bytes(), 0o600))
	for _, c := range []struct {
		args []string
		live int64
	}{
		{[]string{"hear", file}, 0},
		{[]string{"review", tune, file}, 0},
		{[]string{"chart", tune}, 0},
		{[]string{"patterns"}, 0},
		{[]string{"practice", tune, "--plain"}, 1},
		{[]string{"demo", "--plain"}, 1},
		{[]string{"ports", "--tap"}, 1},
	} {
		w := newWorld(t, piano)
		w.Run(context.Background(), c.args)
		assert.Equal(t, c.live, w.stopped.Load(), "%v", c.args)
	}
	w := newWorld(t, piano)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	w.Run(ctx, []string{"hear"})
	assert.EqualValues(t, 1, w.stopped.Load(), "hear, live")
}

func TestPracticeWritesFindingsAsTheyCome(t *testing.T) {
	w := newWorld(t, piano)
	w.play(piano, 2*time.Second, performance(t, mistake{"wrong-bass", pattern.Left.String(), 2, 1}))
	told := ""
	watch := step{at: 4200 * time.Millisecond, do: func() { told = w.out.String() }}
	for i := range w.steps {
		if w.steps[i].at > watch.at {
			w.steps = append(w.steps[:i], append([]step{watch}, w.steps[i:]...)...)
			break
		}
	}
	require.Equal(t, fine, w.Run(context.Background(), []string{"practice", tuneFile(t), "--json"}), w.err.String())
	assert.Contains(t, told, `"bar":2,"beat":1,"at_ms":4050,"hand":"left","kind":"wrong-bass"`, "told when it was known, not at the end")
	lines := strings.Split(strings.TrimSpace(w.out.String()), "\n")
	assert.Contains(t, lines[0], `"type":"start","schema":"undersong.findings/1","chart":"Aura Lee"`)
	assert.Contains(t, lines[1], `"text":"listening to Digital Piano 20:0, click on Digital Piano 20:0"`)
	var last struct {
		Type         string
		Right, Wrong int
	}
	require.NoError(t, json.Unmarshal([]byte(lines[len(lines)-1]), &last))
	assert.Equal(t, "summary", last.Type)
	assert.Equal(t, 15, last.Right)
	assert.Equal(t, 1, last.Wrong)
	assert.Empty(t, w.err.String())
}

func TestClickIsHeardUnlessTurnedOff(t *testing.T) {
	for _, c := range []struct {
		flags []string
		hits  int
	}{{nil, 20}, {[]string{"--no-click"}, 0}, {[]string{"--count-in", "2"}, 24}, {[]string{"--count-in", "0"}, 16}} {
		w := newWorld(t, piano)
		require.Equal(t, fine, w.Run(context.Background(), append([]string{"practice", tuneFile(t), "--plain"}, c.flags...)), w.err.String())
		hits := 0
		for _, e := range w.script.Sent(piano) {
			if e.IsNoteOn() {
				assert.Equal(t, uint8(9), e.Channel())
				hits++
			}
		}
		assert.Equal(t, c.hits, hits, "%v", c.flags)
	}
}

func TestWaitBeginsWithTheFirstKey(t *testing.T) {
	w := newWorld(t, piano)
	w.play(piano, 0, []event.Event{event.On(time.Minute, 60, 70), event.Off(time.Minute+50*time.Millisecond, 60)})
	w.play(piano, time.Minute+2*time.Second, performance(t))
	require.Equal(t, fine, w.Run(context.Background(), []string{"practice", tuneFile(t), "--plain", "--wait"}))
	assert.Contains(t, w.out.String(), "All right: 16 strokes")
}

func TestStoppingPracticeIsNoError(t *testing.T) {
	w := newWorld(t, piano)
	ctx, cancel := context.WithCancel(context.Background())
	w.steps = []step{{at: 5 * time.Second, do: cancel}}
	require.Equal(t, fine, w.Run(ctx, []string{"practice", tuneFile(t), "--plain", "--loop"}))
	assert.Contains(t, w.out.String(), "to mend")
	sounding := map[uint8]bool{}
	for _, e := range w.script.Sent(piano) {
		if e.IsNoteOn() || e.IsNoteOff() {
			sounding[e.Data1] = e.IsNoteOn()
		}
	}
	assert.NotContains(t, sounding, true, "no note is left sounding")

	stopped := newWorld(t, piano)
	assert.Equal(t, interrupted, stopped.Run(ctx, []string{"practice", tuneFile(t), "--plain"}), "before anything was set up")
}

func TestKeyboardThatWasUnpluggedIsTakenUpAgain(t *testing.T) {
	w := newWorld(t, piano)
	says := func(text string) func() bool { return func() bool { return strings.Contains(w.out.String(), text) } }
	const renumbered = "Digital Piano 28:0"
	w.steps = []step{
		{at: 4500 * time.Millisecond, do: func() { w.script.Unplug(piano) }, heard: says("keyboard unplugged: waiting for Digital Piano")},
		{at: 9 * time.Second, do: func() { w.script.Plug(renumbered) }, heard: says("keyboard is back: Digital Piano 28:0")},
	}
	require.Equal(t, fine, w.Run(context.Background(), []string{"practice", tuneFile(t), "--json"}))
	assert.Contains(t, w.out.String(), `"music_at_ms":12`, "counted in again")
	assert.Contains(t, w.out.String(), `"bar":2,"tempo":120}`, "to the bar where it stopped")
	hits := 0
	for _, e := range w.script.Sent(renumbered) {
		if e.IsNoteOn() {
			hits++
		}
	}
	assert.Equal(t, 16, hits, "the click is back too: count-in and three bars")
}

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

func TestReviewFitsTheTerminal(t *testing.T) {
	var data bytes.Buffer
	require.NoError(t, midiio.Write(&data, midiio.WriteOptions{}, midiio.Track{Events: performance(t)}))
	file := filepath.Join(t.TempDir(), "aura-lee.mid")
	require.NoError(t, os.WriteFile(file, data.Bytes(), 0o600))
	longest := func(terminal bool) int {
		w := newWorld(t)
		w.Terminal = func() bool { return terminal }
		require.Equal(t, fine, w.Run(context.Background(), []string{"review", tuneFile(t), file}), w.err.String())
		most := 0
		for _, l := range strings.Split(w.out.String(), "\n") {
			if !strings.HasPrefix(l, " ") {
				most = max(most, len(l))
			}
		}
		return most
	}
	assert.LessOrEqual(t, longest(true), 40)
	assert.Greater(t, longest(false), 40, "a file has no width")
}

func TestDemoIsALessonInHalfAMinute(t *testing.T) {
	run := func(form string) string {
		w := newWorld(t)
		require.Equal(t, fine, w.Run(context.Background(), []string{"demo", form}), w.err.String())
		assert.Less(t, time.Duration(w.now.Load()), 40*time.Second-lastLook)
		return w.out.String()
	}
	text := run("--plain")
	path := filepath.Join("testdata", "demo.plain")
	if *update {
		require.NoError(t, os.WriteFile(path, []byte(text), 0o644))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, string(want), text)
	assert.Equal(t, text, run("--plain"), "the same every time")
	assert.Equal(t, run("--json"), run("--json"))
}

func TestWithoutLivePortsTheProgramSaysSo(t *testing.T) {
	w := newWorld(t)
	w.Driver = func(clock) midiio.Driver { return deaf{} }
	for _, args := range [][]string{{"practice", tuneFile(t)}, {"hear"}, {"ports"}} {
		w.err.Reset()
		assert.Equal(t, wrongUse, w.Run(context.Background(), args))
		assert.Contains(t, w.err.String(), "no live MIDI")
	}
	assert.Equal(t, fine, w.Run(context.Background(), []string{"patterns"}))
}

// deaf is the driver of a build without cgo.
type deaf struct{ midiio.Driver }

func (deaf) Inputs() ([]string, error)  { return nil, midiio.ErrNoLivePorts }
func (deaf) Outputs() ([]string, error) { return nil, midiio.ErrNoLivePorts }
func (deaf) Close() error               { return nil }

func TestAFaultIsToldWithoutAStack(t *testing.T) {
	w := newWorld(t)
	w.Driver = func(clock) midiio.Driver { panic("out of tune") }
	assert.Equal(t, failed, w.Run(context.Background(), []string{"ports"}))
	assert.Equal(t, "undersong: fault in the program: out of tune\nPlease tell its makers what you did.\n", w.err.String())
}

func FuzzParsePorts(f *testing.F) {
	f.Add("input: Digital Piano\noutput: Organ: the big one\n")
	f.Add("# remark\n\ninput:\n")
	f.Add("input: Piano\ndelay: -12 ms\n")
	f.Add("delay: 081ms")
	f.Add("nothing")
	f.Fuzz(func(t *testing.T, text string) {
		p, err := parsePorts(text)
		if err != nil {
			return
		}
		again, err := parsePorts(p.text())
		require.NoError(t, err)
		assert.Equal(t, p, again)
	})
}
