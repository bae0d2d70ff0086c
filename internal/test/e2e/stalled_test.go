package e2e

import (
	"bytes"
	"encoding/json"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// stalled is a program that writes to nobody, and how it is stopped; see
// testdata/stalled.py.
type stalled struct {
	Command []string `json:"command"`
	Sink    string   `json:"sink"`
	Signal  string   `json:"signal"`
	Sounds  bool     `json:"sounds"` // it strikes keys
}

// ended is how it went.
type ended struct {
	Running  bool // when the signal came
	Gone     *float64
	Struck   int
	Sounding [][2]int
	Errors   string
}

// inTime reports that it was gone within a second.
func (e ended) inTime() bool { return e.Gone != nil && *e.Gone < 1 }

// stop runs programs one after the other, and those again that were late: a machine
// may be too busy to be in time.
func (s stage) stop(t *testing.T, tasks []stalled) {
	t.Helper()
	longest, count := 0.0, len(tasks)
	for tries := 3; len(tasks) > 0; tries-- {
		var late []stalled
		for i, e := range s.end(t, tasks) {
			what := strings.Join(append(tasks[i].Command[1:], "to a", tasks[i].Sink, tasks[i].Signal), " ") + "\n" + e.Errors
			if !e.inTime() && tries > 0 {
				late = append(late, tasks[i])
				continue
			}
			assert.True(t, e.Running, "not gone before: %s", what)
			assert.True(t, e.inTime(), "gone within a second: %s", what)
			assert.True(t, e.Struck > 0 || !tasks[i].Sounds, "in the middle of its work: %s", what)
			assert.Empty(t, e.Sounding, "left sounding: %s", what)
			if e.Gone != nil {
				longest = max(longest, *e.Gone)
			}
		}
		if len(late) > 0 {
			t.Logf("%d of %d were late; once more", len(late), len(tasks))
		}
		tasks = late
	}
	t.Logf("%d times; the longest was gone after %.0f ms", count, 1000*longest)
}

func (s stage) end(t *testing.T, tasks []stalled) (ends []ended) {
	t.Helper()
	in, err := json.Marshal(map[string]any{"api": s.api, "tasks": tasks})
	require.NoError(t, err)
	cmd := exec.Command(s.python, filepath.Join("testdata", "stalled.py"))
	cmd.Stdin = bytes.NewReader(in)
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	out, err := cmd.Output()
	require.NoError(t, err, stderr.String())
	require.NoError(t, json.Unmarshal(out, &ends), string(out))
	require.Len(t, ends, len(tasks))
	return ends
}

// Whoever reads, and whether anybody does: within a second of any signal the notes
// are off and the program is gone.
func TestSignalsStopAProgramThatNobodyReads(t *testing.T) {
	s := setUp(t).withChart(t, jacques)
	const in, out = "--in grand:out", "--out grand-in"
	practice := "practice " + s.chart + " --pattern two-beat --with left --count-in 0 " + in + " " + out
	play := "play " + s.chart + " --pattern two-beat --loop " + out
	capture := "patterns capture --chord C mine --click --meter 4/4 --tempo 100 --force --to " + filepath.Join(t.TempDir(), "mine.pattern")
	tap := "ports --tap " + in + " " + out
	live := []struct {
		command string
		sinks   string // "pty" alone for the screen
		sounds  bool
	}{
		{practice + " --plain", "pipe pty", true},
		{practice + " --json", "pipe pty", true},
		{practice, "pty", true},
		{play + " --plain", "pipe pty", true},
		{play, "pty", true},
		{"tune " + s.chart + " --plain " + in, "pipe pty", false},
		{"tune " + s.chart + " " + in, "pty", false},
		{"bass " + s.chart + " --json " + in, "pipe pty", false},
		{"bass " + s.chart + " " + in, "pty", false},
		{"hear " + in, "pipe pty", false},
		{"hear --json " + in, "pipe pty", false},
		{capture + " --plain " + in + " " + out, "pipe pty", false},
		{capture + " " + in + " " + out, "pty", false},
		{tap, "pipe pty", true},
		{"demo --plain", "pipe pty", false},
		{"demo --json", "pipe pty", false},
		{"demo", "pty", false},
	}
	signals := []string{"SIGINT", "SIGTERM", "SIGHUP"}
	var tasks []stalled
	for i, l := range live {
		for _, sink := range strings.Fields(l.sinks) {
			command := append([]string{s.binary}, strings.Fields(l.command)...)
			for j, signal := range signals {
				if !testing.Short() || j == i%3 {
					tasks = append(tasks, stalled{command, sink, signal, l.sounds})
				}
			}
			if sink == "pty" {
				tasks = append(tasks, stalled{command, sink, "", l.sounds})
			}
		}
	}
	s.stop(t, tasks)
}
