package cli

import (
	"context"
	"errors"
	"time"

	"undersong/internal/midi/port"
	"undersong/internal/play/playback"
	"undersong/internal/session/practice"
	"undersong/internal/session/sitting"
	"undersong/internal/ui/loop"
	"undersong/internal/ui/term"
)

// keyboard is an open driver with a chosen input and, perhaps, the click.
type keyboard struct {
	driver port.Driver
	clock  clock
	after  func(time.Duration) <-chan time.Time // time.After on that clock
	in     string
	known  ports
	click  *sounder // nil for none
	ended  error    // by which the MIDI system ended what was done
}

// withKeyboard opens the keyboard for what is done on it, which ends when somebody
// asks the program to stop.
func (a *App) withKeyboard(ctx context.Context, asked string, do func(context.Context, *keyboard) error) (err error) {
	ctx, stop := a.Stops(ctx)
	defer stop()
	k, err := a.openKeyboard(ctx, asked)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, k.close()) }()
	if ctx.Err() != nil {
		return errInterrupted
	}
	return errors.Join(do(ctx, k), k.ended)
}

// openKeyboard chooses the keyboard. Errors of finding none tell what to do.
func (a *App) openKeyboard(ctx context.Context, asked string) (*keyboard, error) {
	known, err := a.readPorts()
	if err != nil {
		return nil, err
	}
	k := &keyboard{clock: a.Clock(), after: a.After, known: known}
	k.driver = a.openDriver(ctx, k.clock)
	if k.in, err = chooseInput(k.driver, asked, known.in); err != nil {
		return nil, errors.Join(opening(err), k.close())
	}
	return k, nil
}

func (k *keyboard) openClick(asked string) error {
	port, err := chooseOutput(k.driver, asked, k.known.out, k.in)
	if err != nil || port == "" {
		return err
	}
	click, err := newSounder(k.driver, port)
	if err != nil && asked != "" {
		return err
	}
	if err == nil {
		k.click = click
	}
	return nil
}

// join makes a session listen to the keyboard and click on it.
func (k *keyboard) join(o *practice.Options) {
	o.Delay = k.delay()
	n := sitting.Notice{Kind: sitting.ListeningTo, Port: k.in, Delay: o.Delay, NoClick: o.NoClick || o.Heading.Follow}
	if k.click != nil {
		n.Out = k.click.port
		o.Sound, o.Back = k.click.send, k.click.reopen
	}
	if o.Heading.With != "" {
		n.Channel = int(o.With.Channel) + 1
		n.Up = playback.NewPlayer(o.Score, playback.Options{Parts: o.With.Parts}).Lift()
	}
	o.Opening = n
}

// delay is the remembered one where it is this keyboard's.
func (k *keyboard) delay() time.Duration {
	if _, err := port.Choose([]string{k.in}, k.known.in); err != nil {
		return 0
	}
	return k.known.delay
}

// run runs a loop on the keyboard until it is over.
func (k *keyboard) run(ctx context.Context, a *App, l *loop.Loop, p *term.Program) error {
	session, err := port.NewSession(k.driver, k.in, k.clock, l.Handlers(), port.SessionOptions{Poll: a.Poll})
	if err != nil {
		return opening(&noKeyboardError{err})
	}
	err = a.runLive(ctx, l, p)
	k.ended = l.Ended()
	_ = session.Close() // the instrument is given up either way
	return err
}

// close ends all notes and gives the ports back. Only that a port does not answer is
// worth telling.
func (k *keyboard) close() error {
	if k.click != nil {
		k.click.close()
	}
	return stuck(k.driver.Close())
}

// mostClosing is how long a MIDI system may take to give a port back: a program that
// is asked to end is gone within a second. JACK held up by a busy machine may take longer.
const mostClosing = 600 * time.Millisecond

// openDriver is the machine's MIDI, which does not hold up a program that is asked to
// end.
func (a *App) openDriver(ctx context.Context, c clock) port.Driver {
	return port.Bounded(a.Driver(c), ctx.Done(), mostClosing)
}

// opening is the error of a port that is opened: one that was given up had not
// answered when somebody asked to stop.
func opening(err error) error {
	if errors.Is(err, port.ErrStuck) {
		return errInterrupted
	}
	return err
}

// stuck is the error of a port that does not answer; nil for any other: a port that
// is given up is given up either way.
func stuck(err error) error {
	if errors.Is(err, port.ErrStuck) {
		return errorf("the MIDI system %w", port.ErrStuck)
	}
	return nil
}
