package term

import (
	"context"
	"io"
	"os"
	"time"

	"github.com/charmbracelet/x/term"

	"undersong/internal/ui/spool"
)

const (
	// mostKept is more than is ever written to a terminal that has stalled, which
	// gets no new picture.
	mostKept = 1 << 20
	// leaving is how long a slow terminal is waited for at the end, in a hurry.
	leaving = 300 * time.Millisecond
)

// output is a terminal still where it is one.
func (p *Program) output() io.Writer {
	if f, ok := p.options.Out.(term.File); ok {
		return terminal{p.out, f}
	}
	return p.out
}

// terminal is written to through a spool, and is the file else.
type terminal struct {
	*spool.End
	file term.File
}

func (t terminal) Read(p []byte) (int, error) { return t.file.Read(p) }
func (t terminal) Close() error               { return t.file.Close() }
func (t terminal) Fd() uintptr                { return t.file.Fd() }

// drain waits until the terminal has taken all or, once there is a hurry, as long as
// one may wait then.
func (p *Program) drain(s *spool.Spool, signals <-chan os.Signal) {
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	go func() {
		defer cancel()
		select {
		case <-p.hurry:
		case <-signals:
		case <-ctx.Done():
		}
	}()
	_ = s.Drain(ctx, leaving) // a terminal that is gone is told by what reads from it
}
