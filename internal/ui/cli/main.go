package cli

import (
	"context"
	"os"
	"os/signal"
	"path/filepath"
	"syscall"

	"github.com/adrg/xdg"
	"github.com/charmbracelet/x/term"
	"github.com/mattn/go-isatty"
)

// Main is the whole program: it runs the command line and returns the exit
// code.
func Main(args []string) int { return New().main(args) }

func (a *App) main(args []string) int {
	// Without this a reader that goes away would end the program at once, with
	// notes sounding and the terminal not restored.
	signal.Ignore(syscall.SIGPIPE)
	return a.Run(context.Background(), args)
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
