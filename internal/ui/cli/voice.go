package cli

import (
	"context"
	"fmt"
	"strings"

	"github.com/spf13/pflag"

	"undersong/internal/music/pitch"
	"undersong/internal/session/recording"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/compass"
	"undersong/internal/ui/loop"
	"undersong/internal/ui/words"
)

// wantedKey says which key a chart is moved to: by its name, how far, or for whose
// voice.
type wantedKey struct {
	name, voice string // as typed

	move *pitch.Move
	rng  *compass.Range
}

func (w *wantedKey) bind(f *pflag.FlagSet) {
	bindKey(f, &w.name)
	f.StringVar(&w.voice, "range", "", "in the key that suits a voice: its lowest and highest easy `NOTES`, such as A3-D5")
}

// read reads what was typed.
func (w *wantedKey) read() (err error) {
	if w.name != "" && w.voice != "" {
		return usagef("--key and --range both say which key: choose one")
	}
	if w.move, err = parseMove("key", w.name); err != nil {
		return err
	}
	w.rng, err = parseVoice(w.voice)
	return err
}

// parseVoice is nil for "".
func parseVoice(s string) (*compass.Range, error) {
	if s == "" {
		return nil, nil
	}
	if s == held {
		return nil, usagef("--range held belongs to undersong chart, which tells the range of the two keys; it is taken here as in --range A3-D5")
	}
	r, err := compass.ParseRange(s)
	if err != nil {
		return nil, usagef("--range: %w", err)
	}
	return &r, nil
}

// of is the key that a chart is moved to; nil where it is not. What was chosen for a
// voice is told.
func (w *wantedKey) of(a *App, c *chart.Chart) (*pitch.Key, error) {
	if w.rng == nil {
		return keyFor(thisChart, c.Key, w.move)
	}
	fits, err := keysFor(c, *w.rng)
	if err != nil {
		return nil, err
	}
	fmt.Fprintln(a.Err, words.KeyForVoice(fits[0], *w.rng))
	return &fits[0].Key, nil
}

func keysFor(c *chart.Chart, r compass.Range) ([]compass.Fit, error) {
	fits, ok := compass.Keys(c, r)
	if !ok {
		return nil, usagef("--range %s: this chart has no tune that could be high or low; --key names a key", r)
	}
	return fits, nil
}

// held is what is typed in place of a range that is shown on the keyboard.
const held = "held"

// heldRange listens for two keys.
func (a *App) heldRange(ctx context.Context, port string) (r compass.Range, err error) {
	err = a.withKeyboard(ctx, port, func(ctx context.Context, k *keyboard) error {
		if err := a.writeLine(words.HoldTwoKeys + ", on " + k.in + "."); err != nil {
			return err
		}
		h := &recording.Held{}
		if err := k.run(ctx, a, loop.New(h, k.clock, k.after), nil); err != nil {
			return err
		}
		low, high, ok := h.Keys()
		if !ok {
			return errorf("no two keys were held; --range A3-D5 says it in words")
		}
		c := pitch.Key{}
		r = compass.Range{Low: low.Spell(c.Spell(low.Class())), High: high.Spell(c.Spell(high.Class()))}
		return nil
	})
	return r, err
}

// writeKeys prints where the tune lies, and the keys for a voice, best first.
func (a *App) writeKeys(c *chart.Chart, r compass.Range, file string) error {
	fits, err := keysFor(c, r)
	if err != nil {
		return err
	}
	if err := a.writeText(strings.Join(words.TuneLies(c), "\n") + "\n\nFor a voice from " + r.Low.String() + " to " + r.High.String() + ", best first:\n"); err != nil {
		return err
	}
	if err := writeTable(a.Out, words.KeyTable(fits, c.Key)); err != nil {
		return err
	}
	return a.writeText("\n" + words.AfterKeys(fits[0], file))
}

// writeCompass prints where the tune lies.
func (a *App) writeCompass(c *chart.Chart) error {
	lines := words.TuneLies(c)
	if lines == nil {
		return errorf("this chart has no tune that could be high or low")
	}
	return a.writeText(strings.Join(lines, "\n"))
}
