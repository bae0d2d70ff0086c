package cli

import (
	"context"
	"errors"
	"os"
	"os/signal"
	"path/filepath"
	"sync/atomic"
	"syscall"
	"time"

	"github.com/adrg/xdg"
	"github.com/charmbracelet/x/term"
	"github.com/mattn/go-isatty"

	"undersong/internal/ui/spool"
)

// Main is the whole program: it runs the command line and returns the exit
// code.
func Main(args []string) int { return New().main(args) }

func (a *App) main(args []string) int {
	// Without this a reader that goes away would end the program at once, with
	// notes sounding and the terminal not restored.
	signal.Ignore(syscall.SIGPIPE)
	r := readers{spool: spool.New(mostKept)}
	a.Out, a.Err = r.spool.To(a.Out), r.spool.To(a.Err)
	a.Stops, a.Hurry = r.stops, func() { r.hurried.Store(true) }
	return r.finish(a, a.Run(context.Background(), args))
}

// readers stand between an App and those who read what it writes: while it is
// live, it never waits for them.
type readers struct {
	spool   *spool.Spool
	hurried atomic.Bool // somebody has asked to stop
}

const (
	// mostKept is what waits for a reader that has stalled: some hours of practice.
	mostKept = 16 << 20
	// lastWords is how long a slow reader is waited for by a program that was asked to
	// stop, which is to be gone within a second.
	lastWords = 400 * time.Millisecond
)

// stops is stopSignals for a command that is live from now on.
func (r *readers) stops(ctx context.Context) (context.Context, context.CancelFunc) {
	r.spool.Live()
	ctx, stop := stopSignals(ctx)
	return ctx, func() {
		if ctx.Err() != nil {
			r.hurried.Store(true)
		}
		stop()
	}
}

// finish waits until all is read, tells what is not, and gives the exit code.
func (r *readers) finish(a *App, code int) int {
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	if r.hurried.Load() {
		cancel()
	}
	err := r.spool.Drain(ctx, lastWords)
	if err == nil {
		return code
	}
	var stalled *spool.StalledError
	if !errors.As(err, &stalled) {
		err = &outputError{err}
	}
	code = max(code, a.report(err))
	cancel()
	_ = r.spool.Drain(ctx, lastWords) // nothing more can be told
	return code
}

// stopSignals is a context that ends when the process is asked to end. Before
// it is taken, and after it has ended, such a request ends the process at once;
// so a second one ends a program that hangs.
func stopSignals(ctx context.Context) (context.Context, context.CancelFunc) {
	ctx, stop := signal.NotifyContext(ctx, os.Interrupt, syscall.SIGTERM, syscall.SIGHUP)
	context.AfterFunc(ctx, stop)
	return ctx, stop
}

func onTerminal() bool {
	return isatty.IsTerminal(os.Stdout.Fd()) || isatty.IsCygwinTerminal(os.Stdout.Fd())
}

// usualColumns is the width of a terminal that does not tell its own.
const usualColumns = 80

func columns() int {
	if w, _, err := term.GetSize(os.Stdout.Fd()); err == nil && w > 0 {
		return w
	}
	return usualColumns
}

func configFile() string { return filepath.Join(xdg.ConfigHome, "undersong", "config") }

func cacheDir() string { return filepath.Join(xdg.CacheHome, "undersong") }
