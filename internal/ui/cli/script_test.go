package cli

import (
	"bytes"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"

	"undersong/internal/midi/event"
	"undersong/internal/midi/port"
	"undersong/internal/midi/smf"
	"undersong/internal/play/mistakes"
	"undersong/internal/play/performer"
	"undersong/internal/test/golden"
)

// TestMain lets scripts run undersong as a program of its own. Its keyboards are
// scripted: those named in PORTS, which are silent.
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"undersong": func() {
		app := New()
		app.Driver = func(c clock) port.Driver {
			s := port.NewScript(c)
			for _, name := range strings.FieldsFunc(os.Getenv("PORTS"), func(r rune) bool { return r == ';' }) {
				s.Plug(name)
			}
			return s
		}
		os.Exit(app.main(os.Args[1:]))
	}})
}

func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:           "testdata/script",
		UpdateScripts: golden.Update(),
		Setup: func(e *testscript.Env) error {
			charts, err := os.Getwd()
			e.Setenv("CHARTS", charts+"/../../../testdata/charts")
			e.Setenv("XDG_CONFIG_HOME", e.WorkDir+"/config")
			e.Setenv("PORTS", "")
			e.Setenv("ALONE", filepath.SplitList(e.Getenv("PATH"))[0]) // where undersong is, and nothing else
			e.Setenv("GORACE", "atexit_sleep_ms=0")                    // the race detector waits a second at the end of each command
			return errors.Join(err, sweeping(e))
		},
		Condition: func(name string) (bool, error) {
			_, err := os.Stat("/dev/full")
			return name == "devfull" && err == nil || name == "root" && os.Getuid() == 0, nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"perform": perform, "under": under, "exits": exits, "cut": cut, "noise": noise, "lengthless": lengthless, "fullDisk": fullDisk, "notes": notes, "readerGone": noReader, "emptyFile": emptyFile,
			"shows": shows, "refuses": refuses, "showsLive": showsLive, "refusesLive": refusesLive,
		},
	})
}

// exits runs a command that must end with an exit code: exits CODE COMMAND ...
func exits(ts *testscript.TestScript, neg bool, args []string) {
	err := ts.Exec(args[1], args[2:]...)
	var exit *exec.ExitError
	if !errors.As(err, &exit) || fmt.Sprint(exit.ExitCode()) != args[0] {
		ts.Fatalf("ended with %v, not with exit code %s", err, args[0])
	}
}

// cut copies the first bytes of a file: cut FILE TO BYTES.
func cut(ts *testscript.TestScript, neg bool, args []string) {
	data, err := os.ReadFile(ts.MkAbs(args[0]))
	ts.Check(err)
	n, err := strconv.Atoi(args[2])
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(args[1]), data[:n], 0o600))
}

// emptyFile writes a file with a click and no notes: emptyFile FILE.
func emptyFile(ts *testscript.TestScript, neg bool, args []string) {
	click := event.On(0, 76, 100)
	click.Status |= 9
	data, err := written(smf.WriteOptions{}, []event.Event{click})
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), data, 0o600))
}

// lengthless writes a file of notes that end as they begin: lengthless FILE.
func lengthless(ts *testscript.TestScript, neg bool, args []string) {
	var events []event.Event
	for n := range 8 {
		at := time.Duration(n) * time.Second
		for _, k := range []uint8{48, 64, 67} {
			events = append(events, event.On(at, k, 80), event.Off(at, k))
		}
	}
	data, err := written(smf.WriteOptions{}, events)
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), data, 0o600))
}

// noise writes a file of chance bytes, always the same: noise FILE.
func noise(ts *testscript.TestScript, neg bool, args []string) {
	r := rand.New(rand.NewPCG(1, 2))
	data := make([]byte, 5000)
	for i := range data {
		data[i] = byte(r.UintN(256))
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), data, 0o600))
}

// fullDisk runs a command whose output goes to a full disk.
func fullDisk(ts *testscript.TestScript, neg bool, args []string) {
	full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	ts.Check(err)
	defer full.Close()
	if said := mustFail(ts, full, args); !strings.Contains(said, "the disk is full") {
		ts.Fatalf("%v: said %q", args, said)
	}
}

// noReader runs a command whose output nobody reads any more: it ends silently.
func noReader(ts *testscript.TestScript, neg bool, args []string) {
	r, w, err := os.Pipe()
	ts.Check(err)
	ts.Check(r.Close())
	defer w.Close()
	if said := mustFail(ts, w, args); said != "" {
		ts.Fatalf("%v: said %q", args, said)
	}
}

// mustFail runs a command that ends with exit code 1, and returns what it says.
func mustFail(ts *testscript.TestScript, out *os.File, args []string) string {
	path, err := exec.LookPath(args[0])
	ts.Check(err)
	var said bytes.Buffer
	c := exec.Command(path, args[1:]...)
	c.Dir, c.Stdout, c.Stderr = ts.MkAbs("."), out, &said
	c.Env = append(os.Environ(), "XDG_CONFIG_HOME="+ts.MkAbs("config"))
	err = c.Run()
	var exit *exec.ExitError
	if !errors.As(err, &exit) || exit.ExitCode() != failed {
		ts.Fatalf("%v: ended with %v and said %q", args, err, said.String())
	}
	return said.String()
}

// perform writes a simulated performance: perform OUT CHART PATTERN [word ...].
// Words: exact, seed=N, tempo=BPM (played and written), map=BPM (the file's tempo
// where it is not the one played), rit (the file's map slows down bar by bar,
// and the player with it), smpte, lead=BARS of count-in, meter (the file says
// it), and mistakes as kind@bar/beat/hand.
func perform(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 3 {
		ts.Fatalf("usage: perform OUT CHART PATTERN [word ...]")
	}
	data, err := performed(ts.MkAbs(args[1]), args[2], args[3:])
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), data, 0o600))
}

// performed is the file that perform writes.
func performed(chartFile, patternName string, all []string) ([]byte, error) {
	w := simWords{habits: "steady", seed: 1}
	s, err := w.read(chartFile, patternName, all)
	if err != nil {
		return nil, err
	}
	habits, err := performer.Human(w.habits)
	if err != nil {
		return nil, err
	}
	plan := mistakes.Plan{}
	for _, m := range w.mistakes {
		want, err := wantAt(s, m)
		if err != nil {
			return nil, err
		}
		plan = plan.Plant(mistakes.Kind(m.kind), want)
	}
	p, err := mistakes.Play(s, habits, plan, w.seed)
	if err != nil {
		return nil, err
	}
	return w.file(s, p.Events)
}
