package cli

import (
	"context"
	"os"
	"os/signal"
	"path/filepath"
	"syscall"

	"github.com/adrg/xdg"
	"github.com/mattn/go-isatty"
)

// Main is the whole program: it runs the command line and returns the exit
// code.
func Main(args []string) int { return New().main(args) }

func (a *App) main(args []string) int {
	// Without this a reader that goes away would end the program at once, with
	// notes sounding and the terminal not restored.
	signal.Ignore(syscall.SIGPIPE)
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM, syscall.SIGHUP)
	defer stop()
	// A second request ends a program that hangs.
	context.AfterFunc(ctx, stop)
	return a.Run(ctx, args)
}

func onTerminal() bool {
	return isatty.IsTerminal(os.Stdout.Fd()) || isatty.IsCygwinTerminal(os.Stdout.Fd())
}

func configFile() string { return filepath.Join(xdg.ConfigHome, "undersong", "config") }
