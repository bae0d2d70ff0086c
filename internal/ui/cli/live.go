package cli

import (
	"context"
	"errors"
	"runtime"
	"time"

	"undersong/internal/midi/event"
	"undersong/internal/midi/port"
	"undersong/internal/session/practice"
	"undersong/internal/session/sitting"
	"undersong/internal/ui/term"
)

// sounder plays the click on an output. While an output fails it is silent: the
// click is seen on the screen too, and nothing is worth stopping the music for.
type sounder struct {
	driver port.Driver
	port   string
	out    port.Out // nil while it is silent
}

func newSounder(d port.Driver, port string) (*sounder, error) {
	s := &sounder{driver: d, port: port}
	var err error
	s.out, err = d.OpenOut(port)
	return s, err
}

// send takes up an output that was away and is back, which may be later than the
// keyboard.
func (s *sounder) send(e event.Event) {
	if s.out == nil || !s.out.Alive() {
		s.reopen()
	}
	if s.out != nil && s.out.Send(e) != nil {
		s.close()
	}
}

// reopen takes up an output that has come back with its keyboard, perhaps under
// another number.
func (s *sounder) reopen() {
	s.close()
	names, err := s.driver.Outputs()
	if err != nil {
		return
	}
	if name, err := port.Choose(names, port.BaseName(s.port)); err == nil {
		if out, err := s.driver.OpenOut(name); err == nil {
			s.out = out
		}
	}
}

// close ends every note.
func (s *sounder) close() {
	if s.out != nil {
		_ = s.out.Close() // it is given up either way
		s.out = nil
	}
}

// lastLook is how long the summary stays on the screen unless a key is pressed.
const lastLook = 8 * time.Second

// runLive runs a loop, on the screen where there is one, until it is over or the
// player asks to stop.
func (a *App) runLive(ctx context.Context, loop *practice.Loop, p *term.Program) error {
	if p == nil {
		return loop.Run(ctx)
	}
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	loop.Show, loop.Typed = p.Show, p.Keys()
	result := make(chan error, 1)
	go func() {
		defer p.Rescue()
		err := loop.Run(ctx)
		if err == nil && ctx.Err() == nil && loop.Ended() == nil && loop.Lesson.View().Phase == term.Finished {
			a.linger(ctx, p)
		}
		result <- err
		p.Quit()
	}()
	go func() {
		defer p.Rescue()
		select {
		case <-p.Asked():
			cancel()
		case <-ctx.Done():
		}
	}()
	// The loop ends the screen; a context would end it before the loop is done.
	if err := p.Run(context.Background()); err != nil {
		return screenError(err)
	}
	return <-result
}

func screenError(err error) error {
	var fault *term.PanicError
	if errors.As(err, &fault) || errors.Is(err, term.ErrForced) {
		return err
	}
	return errors.Join(err, errors.New("--plain does without the screen"))
}

// linger leaves the summary on the screen for a while.
func (a *App) linger(ctx context.Context, p *term.Program) {
	for drained := false; !drained; { // keys pressed during the music do not count
		select {
		case <-p.Keys():
		default:
			drained = true
		}
	}
	select {
	case <-p.Keys():
	case <-a.After(lastLook):
	case <-ctx.Done():
	}
}

// moves reports a terminal that can write anywhere on it. One that calls itself
// dumb writes line under line.
func (a *App) moves() bool { return a.Terminal() && a.Getenv("TERM") != "dumb" }

// screenFor is the screen where output is the usual one and a terminal that
// can show it.
func (a *App) screenFor(f format) *term.Program {
	if f != usual || !a.moves() {
		return nil
	}
	return term.New(term.Options{Style: term.StyleFor(a.Getenv, runtime.GOOS)})
}

// afterwards keeps what is to be printed when the screen is off: the heading, the
// summary, and the corrections where they come after the pass.
type afterwards struct {
	all     bool // keep the corrections of the last pass
	items   []sitting.Item
	session sitting.Result
	over    bool
}

func (*afterwards) Start(sitting.Heading) error        { return nil }
func (*afterwards) Notice(time.Duration, string) error { return nil }
func (*afterwards) CountIn(sitting.CountIn) error      { return nil }

// Findings keeps corrections; only those of one pass are kept.
func (w *afterwards) Findings(found []sitting.Item) error {
	if w.all {
		w.items = append(w.items[:0], found...)
	}
	return nil
}

// Summary keeps the session.
func (w *afterwards) Summary(s sitting.Result) error {
	w.session, w.over = s, true
	return nil
}

// print writes what was kept.
func (w *afterwards) print(to sitting.Writer) error {
	if !w.over {
		return nil
	}
	if err := to.Start(w.session.Heading); err != nil {
		return err
	}
	if err := to.Findings(w.items); err != nil {
		return err
	}
	return to.Summary(w.session)
}
