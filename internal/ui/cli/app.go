// Package cli is the undersong command: it parses what was asked for and runs
// it. All that comes from outside is in App, so that tests run commands with
// buffers, a scripted keyboard and a clock of their own.
package cli

import (
	"context"
	"fmt"
	"io"
	"os"
	"time"

	"github.com/spf13/cobra"

	"undersong/internal/midi/port"
	"undersong/internal/sheet/pattern"
	"undersong/internal/text/visible"
	"undersong/patterns"
)

// App is the world that commands see. Every field must be set; see New.
type App struct {
	In io.Reader
	// Out and Err take what a command writes. While one runs, all that goes to them
	// is made visible, so that no name from outside commands the terminal.
	Out, Err io.Writer
	Getenv   func(string) string
	// Terminal reports that Out is a terminal.
	Terminal func() bool
	// Columns is the terminal's width.
	Columns func() int
	// ConfigFile is the path of the file that remembers ports. Its directory
	// need not be there.
	ConfigFile func() string
	// CacheDir is the folder for what can be made again. It need not be there.
	CacheDir func() string
	// Clock starts a clock that never runs backwards and may be read by several
	// goroutines.
	Clock func() clock
	// Driver gives the MIDI ports of this machine; it stamps with clock.
	Driver func(clock) port.Driver
	// Stops is a context that ends when somebody asks the program to stop. Only
	// live commands take it, who have notes to end and a summary to write; the
	// others may be ended at once.
	Stops func(context.Context) (context.Context, context.CancelFunc)
	// Hurry is told when somebody asks to stop in another way, such as a key on the
	// screen.
	Hurry func()
	// After is time.After or a stand-in.
	After func(time.Duration) <-chan time.Time
	// Poll is how often a keyboard is looked for; 0 is the usual.
	Poll time.Duration

	screen io.Writer // Out as it is, for commands to the terminal of our own
}

// clock tells the time since some moment.
type clock = func() time.Duration

// New is the App of this process.
func New() *App {
	return &App{
		In: os.Stdin, Out: os.Stdout, Err: os.Stderr,
		Getenv: os.Getenv, Terminal: onTerminal, Columns: columns, ConfigFile: configFile, CacheDir: cacheDir,
		Clock: port.Monotonic, Driver: port.NewRtMidi, Stops: stopSignals, Hurry: func() {}, After: time.After,
	}
}

// Run runs the command that args name and returns the exit code; see Code. When
// ctx ends, a running session is brought to its end.
func (a *App) Run(ctx context.Context, args []string) (code int) {
	out := &checkedWriter{w: a.Out}
	app := *a
	app.Out, app.Err, app.screen = &visibleWriter{out}, &visibleWriter{a.Err}, out
	defer func() {
		if r := recover(); r != nil {
			fmt.Fprintf(app.Err, "undersong: fault in the program: %v\nPlease tell its makers what you did.\n", r)
			code = failed
		}
	}()
	started := false
	root := app.root(&started)
	root.SetArgs(args)
	err := root.ExecuteContext(ctx)
	switch gone := out.failure(); {
	case gone != nil && (err == nil || !started):
		err = gone
	case err != nil && !started:
		err = asUsage(err) // cobra's own errors: unknown commands, flags and the like
	}
	return app.report(err)
}

// checkedWriter remembers that a write failed, for writers who do not look.
type checkedWriter struct {
	w   io.Writer
	err error
}

func (c *checkedWriter) Write(p []byte) (int, error) {
	if c.err != nil {
		return 0, c.err
	}
	n, err := c.w.Write(p)
	if err != nil {
		c.err = &outputError{err}
		return n, c.err
	}
	return n, nil
}

func (c *checkedWriter) failure() error { return c.err }

// visibleWriter makes what is written visible. A sign that is cut in two by two
// writes is not UTF-8 in either, and told so.
type visibleWriter struct{ w io.Writer }

// Write tells what of p was written: all, or nothing.
func (v *visibleWriter) Write(p []byte) (int, error) {
	if _, err := io.WriteString(v.w, visible.Text(string(p))); err != nil {
		return 0, err
	}
	return len(p), nil
}

func (a *App) root(started *bool) *cobra.Command {
	root := &cobra.Command{
		Use:   "undersong",
		Short: "A teacher's listening ear for piano practice at home",
		Long: `undersong listens while you play an accompaniment: it knows the chart and the
pattern, names what it hears, and says what to change while your hands are
still on the keys.`,
		Example: `  undersong demo
  undersong practice red-river-valley.chart --pattern two-beat --tempo 80`,
		Version:           Version,
		SilenceUsage:      true,
		SilenceErrors:     true,
		CompletionOptions: cobra.CompletionOptions{DisableDefaultCmd: true}, // ours is in plain words
		PersistentPreRunE: func(c *cobra.Command, _ []string) error {
			*started = true
			if n := c.Name(); n == cobra.ShellCompRequestCmd || n == cobra.ShellCompNoDescRequestCmd {
				unquoteFlags(c.Root())
			}
			return noEmptyFlag(c)
		},
		Args: noArgs,
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	root.SetFlagErrorFunc(flagError)
	root.SetOut(a.Out)
	root.SetErr(a.Err)
	root.SetIn(a.In)
	root.SetVersionTemplate("undersong {{.Version}}\n")
	help := a.helpCommand()
	root.SetHelpCommand(help)
	root.AddCommand(a.demoCommand(), a.practiceCommand(), a.playCommand(), a.portsCommand(), a.reviewCommand(), a.patternsCommand(), a.chartCommand(), a.printCommand(), a.hearCommand(), a.tuneCommand(), a.bassCommand(), a.manualCommand(), a.versionCommand(), a.completionCommand())
	pointToManual(root)
	a.completes(root)
	a.completes(help)
	return root
}

func (a *App) catalogue() (*pattern.Catalogue, error) { return pattern.Load(patterns.Texts()) }
