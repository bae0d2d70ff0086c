package cli

import (
	"bytes"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"

	"undersong/internal/midi/event"
	"undersong/internal/midi/port"
	"undersong/internal/midi/smf"
	"undersong/internal/music/meter"
	"undersong/internal/play/mistakes"
	"undersong/internal/play/performer"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/test/golden"
	"undersong/internal/text/file"
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

type mistake struct {
	kind, hand string
	bar        int
	beat       float64
}

type simWords struct {
	habits     string
	seed       uint64
	tempo, mid float64
	rit, smpte bool
	meter      bool
	lead       int
	mistakes   []mistake
}

func (w *simWords) read(chartFile, patternName string, all []string) (*score.Score, error) {
	for _, word := range all {
		if err := w.word(word); err != nil {
			return nil, fmt.Errorf("%q: %w", word, err)
		}
	}
	c, err := file.Parse(chartFile, chart.MaxBytes, chart.Parse)
	if err != nil {
		return nil, err
	}
	cat, err := New().catalogue()
	if err != nil {
		return nil, err
	}
	p, err := cat.Find(patternName)
	if err != nil {
		return nil, err
	}
	return score.Build(c, p, score.Options{Tempo: meter.Tempo(w.tempo)})
}

func (w *simWords) word(word string) (err error) {
	name, value, _ := strings.Cut(word, "=")
	switch name {
	case "exact":
		w.habits = name
	case "rit":
		w.rit = true
	case "smpte":
		w.smpte = true
	case "meter":
		w.meter = true
	case "seed":
		w.seed, err = strconv.ParseUint(value, 10, 64)
	case "tempo":
		w.tempo, err = strconv.ParseFloat(value, 64)
	case "map":
		w.mid, err = strconv.ParseFloat(value, 64)
	case "lead":
		w.lead, err = strconv.Atoi(value)
	default:
		var m mistake
		word = strings.NewReplacer("@", " ", "/", " ").Replace(word)
		_, err = fmt.Sscanf(word, "%s %d %g %s", &m.kind, &m.bar, &m.beat, &m.hand)
		w.mistakes = append(w.mistakes, m)
	}
	return err
}

func wantAt(s *score.Score, m mistake) (int, error) {
	for i := range s.Wants {
		w := &s.Wants[i]
		if s.Bars[w.Bar].Number == m.bar && w.Beat == m.beat && (w.Hand == pattern.Left) == (m.hand == "left") {
			return i, nil
		}
	}
	return 0, fmt.Errorf("nothing is wanted at %+v", m)
}

// file is the performance as a MIDI file.
func (w *simWords) file(s *score.Score, events []event.Event) ([]byte, error) {
	if w.lead > 0 {
		lead := s.Tempo.Duration(meter.Ticks(w.lead)*s.Meter.Bar(), s.Meter)
		events = append(countIn(s, w.lead), shifted(events, lead)...)
	}
	switch {
	case w.rit:
		return slowing(s, events)
	case w.smpte:
		return inFrames(events)
	}
	tempo := float64(s.Tempo)
	if w.mid > 0 {
		tempo = w.mid
	}
	o := smf.WriteOptions{Tempos: []smf.TempoChange{{MicrosPerQuarter: quarter(s, tempo)}}}
	if w.meter {
		o.Meters = []smf.MeterChange{{Num: s.Meter.Num, Den: s.Meter.Den}}
	}
	return written(o, events)
}

func written(o smf.WriteOptions, events []event.Event) ([]byte, error) {
	var b bytes.Buffer
	err := smf.Write(&b, o, smf.Track{Events: events})
	return b.Bytes(), err
}

// quarter is how many microseconds a quarter lasts.
func quarter(s *score.Score, tempo float64) int {
	return int(60e6/tempo*float64(meter.Quarter)/float64(s.Meter.Beat()) + 0.5)
}

// slowing is a file whose tempo map gets slower by a twentieth each bar, and a
// player who goes with it.
func slowing(s *score.Score, events []event.Event) ([]byte, error) {
	o := smf.WriteOptions{}
	bar := s.Meter.Bar()
	perBar := int64(bar) * smf.DefaultTicks / int64(meter.Quarter)
	for i := range len(s.Bars) + 1 {
		slow := float64(s.Tempo) / (1 + float64(i)/20)
		o.Tempos = append(o.Tempos, smf.TempoChange{Tick: int64(i) * perBar, MicrosPerQuarter: quarter(s, slow)})
	}
	at := func(t time.Duration) time.Duration {
		pos := s.Tempo.Ticks(t, s.Meter)
		var sum time.Duration
		for i, tempo := range o.Tempos {
			part := max(0, pos-float64(i)*float64(bar))
			if i < len(o.Tempos)-1 {
				part = min(part, float64(bar))
			}
			sum += time.Duration(part / float64(meter.Quarter) * float64(tempo.MicrosPerQuarter) * 1000)
		}
		return sum
	}
	moved := make([]event.Event, len(events))
	for i, e := range events {
		e.At = at(e.At)
		moved[i] = e
	}
	return written(o, moved)
}

// inFrames is a file that counts film frames: 25 a second, 40 ticks each, so
// that a tick is a millisecond. It is written with quarters of 500 ticks at the
// usual tempo, where a tick is a millisecond too, and its division changed.
func inFrames(events []event.Event) ([]byte, error) {
	data, err := written(smf.WriteOptions{TicksPerQuarter: 500}, events)
	if err == nil {
		data[12], data[13] = 0xE7, 40 // -25
	}
	return data, err
}

func countIn(s *score.Score, bars int) []event.Event {
	var all []event.Event
	for at := meter.Ticks(0); at < meter.Ticks(bars)*s.Meter.Bar(); at += s.Meter.Beat() {
		on := event.On(s.Tempo.Duration(at, s.Meter), 76, 100)
		on.Status |= 9
		all = append(all, on)
	}
	return all
}

func shifted(events []event.Event, d time.Duration) []event.Event {
	out := make([]event.Event, len(events))
	for i, e := range events {
		e.At += d
		out[i] = e
	}
	return out
}
