package cli

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/rogpeppe/go-internal/testscript"
	"github.com/spf13/cobra"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// evil is what a name from outside may hold: a command for the terminal, one in
// eight bits, signs that turn the direction of text or have no width, a byte that
// is no text, and a line that looks like the program's own.
const evil = "evil\x1b[2J\u009b1m\u202e\u2066\u200f\u200b\u2028\xff\r\nundersong: forged"

// evilText is what of it a chart or a pattern can hold.
const evilText = "evil \u202e\u2066\u200f\u200b\u2028 end"

// sweeping is what the script of the sweep works with: evil in $EVIL, and files.
func sweeping(e *testscript.Env) error {
	e.Setenv("EVIL", evil)
	e.Setenv("EVILTEXT", evilText)
	text := strings.NewReplacer("EVIL", evilText)
	err := os.WriteFile(e.WorkDir+"/"+evil+".chart", []byte(text.Replace("title: EVIL\nkey: C\ntempo: 320\n\n[EVIL]\n| C | C |\nw: EVIL\n\n[EVIL EVIL]\nm: C4 E4 | G4 C4 |\n| C | C |\n")), 0o600)
	asks := os.WriteFile(e.WorkDir+"/"+evil+"-asks.chart", []byte(text.Replace("title: EVIL\nkey: C\npattern: EVIL.pattern\nending: EVIL\n| C | C |\n")), 0o600)
	own := os.WriteFile(e.WorkDir+"/"+evil+".pattern", []byte(text.Replace("name: evil\nsounds: EVIL\nused: EVIL\nsource: EVIL\nlevel: 1\nmeter: 4/4\ngrid: halves\nfeel: straight\nlengths: held\n\nleft: 1 5\n")), 0o600)
	return errors.Join(err, asks, own)
}

// shows runs a command that works, and refuses one that does not, and both look at
// all that it writes: shows COMMAND ...
func shows(ts *testscript.TestScript, neg bool, args []string)   { sweep(ts, args, true) }
func refuses(ts *testscript.TestScript, neg bool, args []string) { sweep(ts, args, false) }

func sweep(ts *testscript.TestScript, args []string, works bool) {
	c, out := sweepCommand(ts, args)
	ended(ts, out, c.Run(), works)
}

// showsLive runs a command that listens until it is stopped, which is done when it
// has written something: showsLive COMMAND ...
func showsLive(ts *testscript.TestScript, neg bool, args []string)   { sweepLive(ts, args, true) }
func refusesLive(ts *testscript.TestScript, neg bool, args []string) { sweepLive(ts, args, false) }

func sweepLive(ts *testscript.TestScript, args []string, works bool) {
	c, out := sweepCommand(ts, args)
	ts.Check(c.Start())
	go func() {
		<-out.begun
		_ = c.Process.Signal(os.Interrupt)
	}()
	ended(ts, out, c.Wait(), works)
}

func ended(ts *testscript.TestScript, out *heardOutput, err error, works bool) {
	assertShown(ts, string(out.said))
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) || (err == nil) != works {
		ts.Fatalf("ended with %v", err)
	}
}

// heardOutput tells when something is written to it.
type heardOutput struct {
	said  []byte
	begun chan struct{}
}

func (h *heardOutput) Write(p []byte) (int, error) {
	if len(h.said) == 0 {
		close(h.begun)
	}
	h.said = append(h.said, p...)
	return len(p), nil
}

func sweepCommand(ts *testscript.TestScript, args []string) (*exec.Cmd, *heardOutput) {
	path, err := exec.LookPath(args[0])
	ts.Check(err)
	out := &heardOutput{begun: make(chan struct{})}
	c := exec.Command(path, args[1:]...)
	c.Dir, c.Stdout, c.Stderr = ts.MkAbs("."), out, out
	c.Env = append(os.Environ(), "XDG_CONFIG_HOME="+ts.Getenv("XDG_CONFIG_HOME"), "PORTS="+ts.Getenv("PORTS"))
	return c, out
}

func assertShown(ts *testscript.TestScript, said string) {
	switch {
	case said == "":
		ts.Fatalf("nothing was written")
	case !utf8.ValidString(said):
		ts.Fatalf("no UTF-8 was written: %q", said)
	case strings.ContainsFunc(said, mustNotShow):
		ts.Fatalf("written as it is: %q", said)
	case strings.Contains("\n"+said, "\nundersong: forged"):
		ts.Fatalf("a name looks like a line of its own: %q", said)
	}
	ts.Logf("%s", said)
}

// mustNotShow is told by numbers, apart from the room that does the escaping.
func mustNotShow(r rune) bool {
	return r != '\n' && (r < ' ' || r >= 0x7f && r < 0xa0 || r >= 0x200b && r <= 0x200f || r >= 0x2028 && r <= 0x202e ||
		r >= 0x2066 && r <= 0x2069 || r == 0xfeff || unicode.Is(unicode.Bidi_Control, r))
}

// No command is left out of the sweep.
func TestTheSweepRunsEveryCommand(t *testing.T) {
	script, err := os.ReadFile("testdata/script/sweep.txtar")
	require.NoError(t, err)
	var walk func(*cobra.Command)
	walk = func(c *cobra.Command) {
		swept := regexp.MustCompile(`(?m)^(shows|refuses)(Live)? ` + regexp.QuoteMeta(c.CommandPath()) + `( [^\n]*)?\$EVIL`)
		if c.Runnable() {
			assert.True(t, swept.Match(script), "testdata/script/sweep.txtar gives %q no hostile name", c.CommandPath())
		}
		for _, sub := range c.Commands() {
			walk(sub)
		}
	}
	started := false
	walk(New().root(&started))
}

// Only the files named here know the terminal as it is; errors are made by errorf and
// usagef, which keep names on their line.
func TestNobodyWritesPastTheVisibleWriter(t *testing.T) {
	allowed := map[string]string{
		`os\.Std(out|err)`: "app.go main.go",
		`\.screen\b`:       "app.go hearlive.go",
		`fmt\.Errorf`:      "exit.go",
	}
	files, err := filepath.Glob("*.go")
	require.NoError(t, err)
	for pattern, places := range allowed {
		said := regexp.MustCompile(pattern)
		for _, f := range files {
			text, err := os.ReadFile(f)
			require.NoError(t, err)
			if !strings.HasSuffix(f, "_test.go") && !slices.Contains(strings.Fields(places), f) {
				assert.False(t, said.Match(text), "%s has %s, which is for %s", f, pattern, places)
			}
		}
	}
}
