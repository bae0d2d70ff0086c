package cli

import (
	"bytes"
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/midi/event"
	"undersong/internal/midi/port"
	"undersong/internal/midi/smf"
	"undersong/internal/test/golden"
)

// reader is somebody who tries what a text says, in folders of their own.
type reader struct {
	t      *testing.T
	root   string // of the project
	home   string
	folder string
	config string // what was remembered
}

// newReader has the demo charts and some recordings in the folder where they are.
func newReader(t *testing.T) *reader {
	root, err := filepath.Abs("../../..")
	require.NoError(t, err)
	r := &reader{t: t, root: root, home: t.TempDir()}
	r.folder = filepath.Join(r.home, "tunes")
	require.NoError(t, os.CopyFS(r.folder, os.DirFS(filepath.Join(root, "testdata/charts"))))
	r.config = filepath.Join(r.home, "config")
	r.record()
	return r
}

// record makes the recordings that the texts take for granted.
func (r *reader) record() {
	const c, mine = "key: C\nmeter: 3/4\n| C | C | C |", "name: mine\nlevel: 1\nmeter: any\ngrid: bars\nright: ch\nleft: 1\n"
	require.NoError(r.t, os.WriteFile(filepath.Join(r.folder, "c.chart"), []byte(c), 0o600))
	require.NoError(r.t, os.WriteFile(filepath.Join(r.folder, "mine.pattern"), []byte(mine), 0o600))
	for _, remark := range []string{
		"perform c.mid c.chart waltz exact",
		"taps taps.mid 35ms",
		"perform lesson.mid clementine.chart waltz wrong-bass@4/1/left late@7/2/right",
		"notes tune.mid F4 F4 C4 A4 A4 F4 F4 A4 C5 C5 Bb4 A4 G4",
		"under basses.mid clementine.chart F2 F2 F2 C3 C3 F2 C3 F2",
	} {
		r.prepare(strings.Fields(remark))
	}
}

// prepare does what a remark says that writes a recording.
func (r *reader) prepare(remark []string) {
	var data []byte
	var err error
	path := func(name string) string { return filepath.Join(r.folder, name) }
	events := func(e []event.Event, made error) {
		if err = made; err == nil {
			data, err = written(smf.WriteOptions{}, e)
		}
	}
	switch remark[0] {
	case "perform":
		data, err = performed(path(remark[2]), remark[3], remark[4:])
	case "notes":
		events(plucked(remark[2:]))
	case "under":
		text, wrong := os.ReadFile(path(remark[2]))
		require.NoError(r.t, wrong)
		events(underTune(string(text), remark[3:]))
	case "taps":
		late, wrong := time.ParseDuration(remark[2])
		events(taps(late), wrong)
	default:
		return
	}
	require.NoError(r.t, err, "%q", remark)
	require.NoError(r.t, os.WriteFile(path(remark[1]), data, 0o600))
}

// try runs one command and returns what it says and how it ended.
func (r *reader) try(command string, played []event.Event) (said string, code int) {
	words := asWords(command)
	switch words[0] {
	case "undersong":
		return r.undersong(words[1:], played)
	case "cd":
		r.folder = r.place(words[1])
		r.record()
		return "", 0
	case "make", "sudo":
		return r.shell(strings.Replace(strings.TrimPrefix(command, "sudo "), "make", "make -n -C "+r.root, 1))
	}
	return r.shell(command)
}

// place is a folder as a shell finds it.
func (r *reader) place(name string) string {
	if rest, ok := strings.CutPrefix(name, "~/"); ok {
		return filepath.Join(r.home, rest)
	}
	return filepath.Join(r.folder, name)
}

func (r *reader) shell(command string) (string, int) {
	c := exec.Command("sh", "-c", command)
	c.Dir = r.folder
	c.Env = append(os.Environ(), "HOME="+r.home)
	out, err := c.CombinedOutput()
	if err != nil {
		return string(out), 1
	}
	return string(out), 0
}

// patience is how long a live command goes on, where it does not end by itself.
const patience = 5 * time.Minute

// undersong runs the program with one keyboard, on which played is played once the
// count-in is over.
func (r *reader) undersong(args []string, played []event.Event) (string, int) {
	r.t.Chdir(r.folder)
	w := newWorld(r.t, piano)
	w.ConfigFile = func() string { return r.config }
	w.Driver = func(clock) port.Driver { // some commands open it twice
		w.script = port.NewScript(w.Clock())
		w.script.Plug(piano)
		return w.script
	}
	// A terminal as wide as a page has room for, which lines are written on.
	w.Terminal = func() bool { return true }
	w.Getenv = func(name string) string { return map[string]string{"TERM": "dumb"}[name] }
	w.Columns = func() int { return 76 }
	var out bytes.Buffer
	w.Out, w.Err = &out, &out
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	for _, e := range played {
		b, err := e.Bytes()
		require.NoError(r.t, err)
		w.steps = append(w.steps, step{at: e.At, do: func() { w.script.Play(piano, b...) }})
	}
	w.steps = append(w.steps, step{at: patience, do: cancel})
	code := w.Run(ctx, args)
	return out.String(), code
}

// recorded are the events of a recording that a remark names; there may be none.
func (r *reader) recorded(remarks [][]string) []event.Event {
	for _, remark := range remarks {
		if remark[0] == "played" {
			return r.events(remark[1])
		}
	}
	return nil
}

// events are those of a recording.
func (r *reader) events(name string) []event.Event {
	data, err := os.ReadFile(filepath.Join(r.folder, name))
	require.NoError(r.t, err)
	f, err := smf.Read(bytes.NewReader(data), name)
	require.NoError(r.t, err)
	return f.Events
}

func TestWhatTheTextsShowIsTrue(t *testing.T) {
	for _, d := range docs(t) {
		t.Run(d.name(), func(t *testing.T) {
			r := newReader(t)
			if d.name() == "README.md" {
				r.folder = r.root
			}
			var stale []func()
			for _, b := range d.blocks(t) {
				stale = append(stale, r.check(d, b)...)
			}
			for i := range stale {
				stale[len(stale)-1-i]()
			}
		})
	}
}

// check tries an example. What it returns writes it anew.
func (r *reader) check(d *doc, b block) (stale []func()) {
	for _, remark := range b.remarks {
		r.prepare(remark)
	}
	switch b.kind[0] {
	case "sh":
		for i, line := range b.lines {
			said, code := r.try(line, r.recorded(b.remarks))
			assert.Zero(r.t, code, "%s: %s\n%s", d.where(b.at+i), line, said)
		}
	case "console":
		return r.checkSaid(d, b)
	case "chart", "pattern", "sheet":
		require.Len(r.t, b.kind, 2, "%s: a name for the file is missing", d.where(b.at))
		require.NoError(r.t, os.WriteFile(filepath.Join(r.folder, b.kind[1]), []byte(strings.Join(b.lines, "\n")+"\n"), 0o600))
		command := map[string]string{"chart": "chart", "pattern": "patterns check", "sheet": "chart"}[b.kind[0]]
		said, code := r.try("undersong "+command+" "+b.kind[1], nil)
		assert.Zero(r.t, code, "%s: %s", d.where(b.at), said)
	case "text":
		return r.checkPicture(d, b)
	default:
		r.t.Errorf("%s: nobody knows what %q is", d.where(b.at), b.kind)
	}
	return stale
}

// checkSaid compares what commands say with what is shown.
func (r *reader) checkSaid(d *doc, b block) (stale []func()) {
	fails := false
	for _, remark := range b.remarks {
		fails = fails || remark[0] == "fails"
	}
	played := r.recorded(b.remarks)
	for i := 0; i < len(b.lines); {
		command, ok := strings.CutPrefix(b.lines[i], "$ ")
		require.True(r.t, ok, "%s: no command behind a $", d.where(b.at+i))
		from := i + 1
		for i = from; i < len(b.lines) && !strings.HasPrefix(b.lines[i], "$ "); {
			i++
		}
		shown := b.lines[from:i]
		text, code := r.try(command, played)
		said := strings.Split(strings.TrimRight(text, "\n"), "\n")
		assert.Equal(r.t, fails, code != 0, "%s: %s\n%s", d.where(b.at), command, text)
		if alike(shown, said) {
			continue
		}
		first, last := b.at+from, b.at+i
		if golden.Update() && !strings.Contains("\n"+strings.Join(shown, "\n")+"\n", "\n...\n") {
			stale = append(stale, func() { d.replace(r.t, first, last, said) })
			continue
		}
		assert.Fail(r.t, "shown otherwise than it is", "%s: %s\nsays\n%s", d.where(first), command, text)
	}
	return stale
}
