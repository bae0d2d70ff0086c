package cli

import (
	"context"
	"errors"
	"strings"
	"time"

	"undersong/internal/midi/port"
	"undersong/internal/session/recording"
	"undersong/internal/session/sitting"
	"undersong/internal/text/visible"
	"undersong/internal/ui/loop"
	"undersong/internal/ui/words"
)

// tap measures the delay of the keyboard and, where that is asked for, remembers
// it.
func (a *App) tap(ctx context.Context, o *portsOptions) error {
	return a.withKeyboard(ctx, o.in, func(ctx context.Context, k *keyboard) error {
		if err := k.openClick(o.out); err != nil {
			return err
		}
		return a.tapOn(ctx, k, o.save)
	})
}

func (a *App) tapOn(ctx context.Context, k *keyboard, save bool) error {
	t := &recording.Tap{}
	program := a.screenFor(usual)
	switch {
	case k.click != nil:
		t.Sound, program = k.click.send, nil
		if err := a.writeLine("tap any key of " + k.in + " with each click on " + k.click.port); err != nil {
			return err
		}
	case program == nil:
		return usagef("there is no output for the click, and no screen to show it on: --out NAME chooses an output")
	}
	if err := k.run(ctx, a, loop.New(t, k.clock, k.after), program); err != nil {
		return err
	}
	return a.tapped(k, t.Result(), save)
}

// tapped tells what was measured.
func (a *App) tapped(k *keyboard, r sitting.TapResult, save bool) error {
	text := strings.Join(words.TapLines(r), "\n")
	switch {
	case !r.Steady():
		return errors.New(text)
	case save:
		known := ports{in: port.BaseName(k.in), delay: r.Mean.Round(time.Millisecond)}
		if k.known.in == known.in {
			known.keys = k.known.keys
		}
		if k.click != nil {
			known.out = port.BaseName(k.click.port)
		}
		if err := a.savePorts(known); err != nil {
			return errors.Join(a.writeText(text), err)
		}
		text += "\nremembered: a delay of " + words.Millis(known.delay) + " with " + visible.Name(known.in)
	default:
		text += "\nNothing was changed; undersong ports --tap --save remembers it."
	}
	return a.writeText(text)
}
