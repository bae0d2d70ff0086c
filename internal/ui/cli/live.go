package cli

import (
	"context"
	"errors"
	"runtime"
	"time"

	"undersong/internal/midi/event"
	"undersong/internal/midi/port"
	"undersong/internal/session/sitting"
	"undersong/internal/ui/loop"
	"undersong/internal/ui/term"
	"undersong/internal/ui/words"
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
func (a *App) runLive(ctx context.Context, l *loop.Loop, p *term.Program) error {
	if p == nil {
		return l.Run(ctx)
	}
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	viewer, summary := &words.Viewer{}, false
	l.Typed = p.Keys()
	l.Show = func(st sitting.State) {
		v := viewer.View(&st)
		summary = len(v.Summary) > 0
		p.Show(v)
	}
	result := make(chan error, 1)
	go func() {
		defer p.Rescue()
		err := l.Run(ctx)
		if err == nil && !l.Asked && l.Ended() == nil && summary {
			a.linger(ctx, p)
		}
		result <- err
		p.Quit()
	}()
	go func() {
		defer p.Rescue()
		select {
		case <-p.Asked():
			a.Hurry()
			cancel()
		case <-ctx.Done():
			p.Hurry()
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

// shows reports that a format is the screen.
func (a *App) shows(f format) bool { return f == usual && a.moves() }

// screenFor is the screen where output is the usual one and a terminal that
// can show it.
func (a *App) screenFor(f format) *term.Program {
	if !a.shows(f) {
		return nil
	}
	return term.New(term.Options{Style: term.StyleFor(a.Getenv, runtime.GOOS)})
}

// face is a face that takes what is told.
type face interface{ Record(sitting.Record) error }

// afterwards keeps what is to be printed when the screen is off: the heading, the
// summary, and the corrections of the last pass where they come after it.
type afterwards struct {
	begun sitting.Record // the first piece, which the summary is about
	last  sitting.Record // the latest, which the corrections are about
	items sitting.Record
	end   sitting.Record
}

// Record keeps what is told.
func (w *afterwards) Record(r sitting.Record) error {
	switch {
	case r.Piece != nil:
		if w.begun.Piece == nil {
			w.begun = r
		}
		w.last, w.items = r, sitting.Record{}
	case r.Findings != nil && w.last.Piece.Heading.After:
		w.items = r
	case r.Result != nil:
		w.end = r
	}
	return nil
}

// print writes what was kept.
func (w *afterwards) print(to face) error {
	if w.end.Result == nil {
		return nil
	}
	played := *w.begun.Piece
	played.Heading = w.end.Result.Heading
	all := []sitting.Record{{Piece: &played}}
	if w.items.Findings != nil && w.last.Piece != w.begun.Piece {
		all = append(all, w.last)
	}
	for _, r := range append(all, w.items, w.end) {
		if err := to.Record(r); err != nil {
			return err
		}
	}
	return nil
}

// watched runs a sitting on a keyboard, on the screen where there is one, and else
// writes it in a format. What is to be kept of the screen is printed after it.
func (a *App) watched(ctx context.Context, k *keyboard, s sitting.Sitting, f format) error {
	p := a.screenFor(f)
	l := loop.New(s, k.clock, k.after)
	if p == nil {
		l.Record = a.lines(f).Record
		return k.run(ctx, a, l, nil)
	}
	kept := &afterwards{}
	l.Record = kept.Record
	if err := k.run(ctx, a, l, p); err != nil {
		return err
	}
	return kept.print(a.plainWriter())
}
