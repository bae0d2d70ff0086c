package cli

import (
	"cmp"
	"context"
	"errors"
	"slices"
	"sync"
	"time"

	"undersong/internal/midi/event"
	"undersong/internal/midi/port"
	"undersong/internal/play/playback"
	"undersong/internal/session/demonstration"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/score"
	"undersong/internal/text/visible"
	"undersong/internal/ui/loop"
)

// show plays on the instrument, or silently, and shows where the music is.
// Whatever ends it, no note is left sounding.
func (a *App) show(ctx context.Context, o *playOptions, p *piece, s *score.Score, perform playback.Options) (err error) {
	ctx, stop := a.Stops(ctx)
	defer stop()
	clock := a.Clock()
	showing := demonstration.Options{
		Heading: p.heading(s), Score: s, Lay: p.lay, Play: perform, Times: o.times,
		Opening: sitting.Notice{Kind: sitting.OnlyShown, Up: playback.NewPlayer(s, perform).Lift()},
	}
	showing.Heading.Level = ""
	if o.loop {
		showing.Times = 0
	}
	driver := a.openDriver(ctx, clock)
	defer func() { err = errors.Join(err, stuck(driver.Close())) }()
	if !o.silent {
		i, watched, err := a.openInstrument(ctx, driver, o.out)
		if err != nil {
			return err
		}
		defer i.close()
		ctx = watched
		showing.Opening.Kind, showing.Opening.Out, showing.Sound = sitting.PlayingOn, i.out.Name(), i.send
	}
	return a.runShow(ctx, o, demonstration.New(showing), driver, clock)
}

func (a *App) runShow(ctx context.Context, o *playOptions, d *demonstration.Demonstration, driver port.Driver, clock clock) error {
	f := plainIf(o.plain)
	program := a.screenFor(f)
	l := loop.New(d, clock, a.After)
	if program == nil {
		l.Record = a.lines(f).Record
	}
	commands, err := a.openCommands(driver, clock, l, o.in)
	if err != nil {
		return err
	}
	d.Listens = commands != nil
	err = a.runLive(ctx, l, program)
	if commands != nil {
		_ = commands.Close() // it is given up either way
	}
	return errors.Join(err, cmp.Or(lostIn(ctx), l.Ended()))
}

// openCommands opens the keyboard on which commands may be given, as practice chooses
// its own; nil is none. Only one that was asked for must be there.
func (a *App) openCommands(d port.Driver, c clock, l *loop.Loop, asked string) (*port.Session, error) {
	known, err := a.readPorts()
	if err != nil && asked != "" {
		return nil, err
	}
	in, err := chooseInput(d, asked, known.in)
	if err == nil {
		s, fault := port.NewSession(d, in, c, l.Handlers(), port.SessionOptions{Poll: a.Poll})
		if fault == nil {
			return s, nil
		}
		err = &noKeyboardError{fault}
	}
	if asked == "" {
		return nil, nil
	}
	return nil, opening(err)
}

// instrument is an open output, and a watch over it: what is sent to a port that
// is gone is lost without a word.
type instrument struct {
	driver port.Driver // which it does not close
	out    port.Out
	gone   context.CancelCauseFunc
	watch  sync.WaitGroup
}

// openInstrument opens the output asked for, or the remembered one, or the only
// one. The context that it returns ends with ctx, and when the port is gone.
func (a *App) openInstrument(ctx context.Context, driver port.Driver, asked string) (*instrument, context.Context, error) {
	name, err := a.instrumentName(driver, asked)
	if err != nil {
		return nil, nil, opening(err)
	}
	out, err := driver.OpenOut(name)
	if err != nil {
		return nil, nil, opening(err)
	}
	i := &instrument{driver: driver, out: out}
	ctx, i.gone = context.WithCancelCause(ctx)
	poll := a.Poll
	if poll <= 0 {
		poll = port.DefaultPoll
	}
	i.watch.Go(func() { i.look(ctx, poll) })
	return i, ctx, nil
}

func (a *App) instrumentName(d port.Driver, asked string) (string, error) {
	names, err := d.Outputs()
	if err != nil {
		return "", noInstrument(err)
	}
	if asked == "" {
		known, err := a.readPorts()
		if err != nil {
			return "", err
		}
		if name, err := port.Choose(names, known.out); known.out != "" && err == nil {
			return name, nil
		}
	}
	name, err := port.Choose(names, asked)
	if err != nil {
		return "", noInstrument(err)
	}
	return name, nil
}

func noInstrument(err error) error {
	return errorf("no instrument to play on: %w\n--out NAME chooses one, --out FILE.mid writes a MIDI file, --silent only shows the music", err)
}

func (i *instrument) look(ctx context.Context, poll time.Duration) {
	tick := time.NewTicker(poll)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
			if err := i.lost(); err != nil {
				i.gone(err)
				return
			}
		}
	}
}

// lost is why nothing sounds any more, or nil.
func (i *instrument) lost() error {
	names, err := i.driver.Outputs()
	switch {
	case errors.Is(err, port.ErrStopped):
		return err
	case err != nil, !slices.Contains(names, i.out.Name()), !i.out.Alive():
		return &lostError{i.out.Name()}
	}
	return nil
}

func (i *instrument) send(e event.Event) {
	if i.out.Send(e) != nil {
		i.gone(cmp.Or(i.lost(), error(&lostError{i.out.Name()})))
	}
}

// close ends every note.
func (i *instrument) close() {
	i.gone(nil)
	i.watch.Wait()
	_ = i.out.Close() // it is given up either way
}

// lostError is an instrument that went away while it was played.
type lostError struct{ port string }

func (e *lostError) Error() string {
	return visible.Name(e.port) + " is gone: plug it in, switch it on and play again"
}

func (e *lostError) Unwrap() error { return port.ErrGone }

// lostIn is the loss of the instrument that ended a context, if one did.
func lostIn(ctx context.Context) error {
	cause := context.Cause(ctx)
	if errors.Is(cause, port.ErrGone) || errors.Is(cause, port.ErrStopped) {
		return cause
	}
	return nil
}
