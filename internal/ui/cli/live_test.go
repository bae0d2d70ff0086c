package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/midi/event"
	"undersong/internal/midi/port"
	"undersong/internal/midi/smf"
	"undersong/internal/sheet/pattern"
	"undersong/internal/test/golden"
)

// A command that only reads and writes leaves Ctrl-C to end the process.
func TestOnlyLiveCommandsAreStoppedInOrder(t *testing.T) {
	tune := tuneFile(t)
	var data bytes.Buffer
	require.NoError(t, smf.Write(&data, smf.WriteOptions{}, smf.Track{Events: performance(t)}))
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

// Unplugged and back before anybody looked: the same port, to go by its name.
func TestKeyboardThatWasBackAtOnceIsTakenUpAgain(t *testing.T) {
	w := newWorld(t, piano)
	w.steps = []step{{
		at:    4500 * time.Millisecond,
		do:    func() { w.script.Unplug(piano); w.script.Plug(piano) },
		heard: func() bool { return strings.Contains(w.out.String(), "keyboard is back") },
	}}
	require.Equal(t, fine, w.Run(context.Background(), []string{"practice", tuneFile(t), "--json"}))
	assert.Contains(t, w.out.String(), "keyboard unplugged: waiting for "+piano)
	assert.Contains(t, w.out.String(), `"bar":2,"tempo":120}`, "counted in to the bar where it stopped")
}

// stopping is a MIDI system that has stopped from a time on.
type stopping struct {
	*port.Script
	down func() bool
}

func (s stopping) Inputs() ([]string, error) {
	if s.down() {
		return nil, errorf("the JACK server %w", port.ErrStopped)
	}
	return s.Script.Inputs()
}

func (s stopping) Outputs() ([]string, error) { return s.Inputs() }

func TestAMIDISystemThatStopsIsTold(t *testing.T) {
	file := filepath.Join(t.TempDir(), "own.pattern")
	for _, c := range []struct{ args, told string }{
		{"practice CHART --json", `"type":"summary"`},
		{"practice CHART --plain --no-click", ""},
		{"hear", ""},
		{"tune CHART --plain", ""},
		{"play CHART --plain --loop", ""},
		{"ports --tap", ""},
		{"patterns capture --chord C mine --to " + file + " --plain", ""},
	} {
		w := newWorld(t, piano)
		var down atomic.Bool
		w.Driver = func(clock) port.Driver { return stopping{w.script, down.Load} }
		// The clock stands still until the thread that looks has seen it.
		w.steps = []step{{at: 4500 * time.Millisecond, do: func() { down.Store(true) }, heard: func() bool { return false }}}
		args := strings.Fields(strings.ReplaceAll(c.args, "CHART", melodyFile(t)))
		assert.Equal(t, wrongUse, w.Run(context.Background(), args), c.args)
		assert.Contains(t, w.err.String(), "the JACK server has stopped: start it, then begin again", c.args)
		assert.Contains(t, w.out.String(), c.told, c.args)
	}
}

// melodyFile is the tune with its beginning in notes.
func melodyFile(t *testing.T) string {
	path := filepath.Join(t.TempDir(), "aura-lee.chart")
	require.NoError(t, os.WriteFile(path, []byte(tuneText+"m: C2 F2 E2 F2 | G2 D2 G4 | F2 E2 D2 E2 | F8 |\n"), 0o644))
	return path
}

// An instrument for the click that is not the keyboard comes and goes by itself.
func TestTheClickComesBackWithItsInstrument(t *testing.T) {
	w := newWorld(t, piano, "Synth 24:0")
	click, err := newSounder(w.script, "Synth 24:0")
	require.NoError(t, err)
	click.send(event.On(0, 60, 64))
	w.script.Unplug("Synth 24:0")
	click.send(event.On(0, 62, 64))
	w.script.Plug("Synth 28:0")
	click.send(event.On(0, 64, 64))
	click.close()
	require.NotEmpty(t, w.script.Sent("Synth 28:0"))
	assert.Equal(t, event.On(0, 64, 64), w.script.Sent("Synth 28:0")[0])
}

func TestReviewFitsTheTerminal(t *testing.T) {
	var data bytes.Buffer
	require.NoError(t, smf.Write(&data, smf.WriteOptions{}, smf.Track{Events: performance(t)}))
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
	golden.Equal(t, "demo.plain", text)
	assert.Equal(t, text, run("--plain"), "the same every time")
	assert.Equal(t, run("--json"), run("--json"))
}

func TestWithoutLivePortsTheProgramSaysSo(t *testing.T) {
	w := newWorld(t)
	w.Driver = func(clock) port.Driver { return deaf{} }
	for _, args := range [][]string{{"practice", tuneFile(t)}, {"hear"}, {"ports"}} {
		w.err.Reset()
		assert.Equal(t, wrongUse, w.Run(context.Background(), args))
		assert.Contains(t, w.err.String(), "no live MIDI")
	}
	assert.Equal(t, fine, w.Run(context.Background(), []string{"patterns"}))
}

// deaf is the driver of a build without cgo.
type deaf struct{ port.Driver }

func (deaf) Inputs() ([]string, error)  { return nil, port.ErrNoLivePorts }
func (deaf) Outputs() ([]string, error) { return nil, port.ErrNoLivePorts }
func (deaf) Close() error               { return nil }

func TestAFaultIsToldWithoutAStack(t *testing.T) {
	w := newWorld(t)
	w.Driver = func(clock) port.Driver { panic("out of tune") }
	assert.Equal(t, failed, w.Run(context.Background(), []string{"ports"}))
	assert.Equal(t, "undersong: fault in the program: out of tune\nPlease tell its makers what you did.\n", w.err.String())
}

func FuzzParsePorts(f *testing.F) {
	f.Add("input: Digital Piano\noutput: Organ: the big one\n")
	f.Add("# remark\n\ninput:\n")
	f.Add("input: Piano\ndelay: -12 ms\n")
	f.Add("delay: 081ms")
	f.Add("nothing")
	f.Add("input: \"a\\nb\"\n")
	f.Add("input: \" \"")
	f.Add(" Piano")
	f.Fuzz(func(t *testing.T, text string) {
		any := ports{in: text}
		kept, err := parsePorts(any.text())
		require.NoError(t, err)
		assert.Equal(t, any, kept, "a port of any name is remembered")
		p, err := parsePorts(text)
		if err != nil {
			return
		}
		again, err := parsePorts(p.text())
		require.NoError(t, err)
		assert.Equal(t, p, again)
	})
}
