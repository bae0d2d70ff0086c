package cli

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"undersong/internal/midi/port"
	"undersong/internal/music/pitch"
	"undersong/internal/text/visible"
)

type portsOptions struct {
	use       string
	tap, save bool
	in, out   string
	keys      string
}

func (a *App) portsCommand() *cobra.Command {
	o := &portsOptions{}
	c := &cobra.Command{
		Use:   "ports",
		Short: "List the MIDI keyboards, and choose the usual one",
		Long: `Ports lists what is plugged in. Where there are several, --use remembers one for
the next time; any part of its name will do. With --tap it measures the delay: tap
any key with each of twelve clicks.`,
		Example: `  undersong ports
  undersong ports --use "digital piano"
  undersong ports --tap --save`,
		Args: noArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			switch {
			case o.tap:
				return a.tap(c.Context(), o)
			case o.keys != "" && o.use == "":
				return usagef("--keys goes with --use NAME: it is remembered with the keyboard")
			case o.save || o.in != "" || o.out != "":
				return usagef("--save, --in and --out go with --tap; --use NAME remembers a keyboard")
			}
			return a.ports(o)
		},
	}
	c.Flags().BoolVar(&o.tap, "tap", false, "measure the delay: tap any key with the click")
	c.Flags().BoolVar(&o.save, "save", false, "remember the delay that --tap measured")
	c.Flags().StringVar(&o.in, "in", "", "the keyboard to tap on: any part of the `PORT`'s name")
	c.Flags().StringVar(&o.out, "out", "", "where the click sounds: any part of a `PORT`'s name")
	c.Flags().StringVar(&o.use, "use", "", "remember the keyboard of this `NAME`")
	c.Flags().StringVar(&o.keys, "keys", "", "with --use: how many `KEYS` it has, 49, 61, 76 or 88")
	return c
}

func (a *App) ports(o *portsOptions) error {
	driver := a.Driver(a.Clock())
	defer func() { _ = driver.Close() }() // nothing was opened
	ins, err := driver.Inputs()
	if err != nil {
		return err
	}
	outs, err := driver.Outputs()
	if err != nil {
		return err
	}
	if o.use != "" {
		return a.usePorts(ins, outs, o)
	}
	known, err := a.readPorts()
	if err != nil {
		return err
	}
	text := portList("Keyboards (inputs)", ins, known.in) + "\n" + portList("Sound (outputs)", outs, known.out)
	if len(ins) == 0 {
		text += "\n" + withoutKeyboard + "\n"
	}
	return a.writeText(text)
}

// portList is a heading and the ports, the remembered one marked.
func portList(heading string, names []string, known string) string {
	var b strings.Builder
	b.WriteString(heading + ":\n")
	usual, err := port.Choose(names, known)
	if known == "" || err != nil {
		usual = ""
	}
	for _, n := range names {
		mark := ""
		if n == usual {
			mark = "  (remembered)"
		}
		fmt.Fprintf(&b, "  %s%s\n", visible.Name(n), mark)
	}
	if len(names) == 0 {
		b.WriteString("  none\n")
	}
	if known != "" && usual == "" {
		fmt.Fprintf(&b, "  %s is remembered and not there now\n", visible.Name(known))
	}
	return b.String()
}

// usePorts remembers an input and, where one fits, an output.
func (a *App) usePorts(ins, outs []string, o *portsOptions) error {
	name := o.use
	in, err := port.Choose(ins, name)
	if err != nil {
		return err
	}
	p := ports{in: port.BaseName(in)}
	if known, err := a.readPorts(); err == nil && known.in == p.in {
		p.delay, p.keys = known.delay, known.keys // which are that keyboard's
	}
	if o.keys != "" {
		if p.keys, err = parseKeyboard(o.keys); err != nil {
			return err
		}
	}
	if out, ok := partner(outs, in, name); ok {
		p.out = port.BaseName(out)
	}
	if err := a.savePorts(p); err != nil {
		return err
	}
	text := "remembered: " + p.in
	if p.out != "" {
		text += ", with the click on " + p.out
	}
	if p.keys != 0 {
		text += fmt.Sprintf(", %d keys", p.keys)
	}
	return a.writeLine(text)
}

// parseKeyboard reads how many keys a keyboard has.
func parseKeyboard(s string) (pitch.Keyboard, error) {
	k, err := pitch.ParseKeyboard(s)
	if err != nil {
		return 0, usagef("--keys %w", err)
	}
	return k, nil
}

// keyboardOf is the keyboard that was typed, or else the one that is remembered.
func (a *App) keyboardOf(typed string) (pitch.Keyboard, error) {
	if typed != "" {
		return parseKeyboard(typed)
	}
	known, err := a.readPorts()
	if err != nil {
		return 0, nil // told where a port is opened
	}
	return known.keys, nil
}

// partner is the output that goes with an input: of the same name, or the one
// that was meant, or the only one there.
func partner(outs []string, in, name string) (string, bool) {
	for _, want := range []string{port.BaseName(in), name, ""} {
		if out, err := port.Choose(outs, want); err == nil {
			return out, true
		}
	}
	return "", false
}

const (
	seeDemo         = "To see how undersong works without one: undersong demo"
	withoutKeyboard = "Plug the keyboard in and switch it on. " + seeDemo
)

// noKeyboardError means that no keyboard is there, or none that could be meant.
type noKeyboardError struct{ err error }

func (e *noKeyboardError) Error() string {
	var none *port.NoPortError
	var several *port.AmbiguousPortError
	if errors.As(e.err, &several) {
		return several.Error() + "\n--in NAME chooses one; undersong ports --use NAME remembers it"
	}
	switch {
	case !errors.As(e.err, &none):
		return fmt.Sprintf("no keyboard: %v\n%s", e.err, seeDemo)
	case len(none.Names) == 0:
		return "no keyboard is there\n" + withoutKeyboard
	}
	return none.Error() + "\nundersong ports lists what is there"
}

func (e *noKeyboardError) Unwrap() error { return e.err }

// fileWillDo adds to an error of finding no keyboard at all that a recording will do,
// and how it is named.
func fileWillDo(err error, command string) error {
	var no *noKeyboardError
	var none *port.NoPortError
	var several *port.AmbiguousPortError
	if !errors.As(err, &no) || errors.As(err, &several) || errors.As(err, &none) && len(none.Names) > 0 {
		return err
	}
	return errorf("%w\nA recording will do: %s FILE.mid", err, command)
}

// chooseInput picks the keyboard: by the name asked for, or the remembered one
// where it is there, or the only one.
func chooseInput(d port.Driver, asked, known string) (string, error) {
	names, err := d.Inputs()
	if err != nil {
		return "", &noKeyboardError{err}
	}
	if asked == "" && known != "" {
		if name, err := port.Choose(names, known); err == nil {
			return name, nil
		}
	}
	name, err := port.Choose(names, asked)
	if err != nil {
		return "", &noKeyboardError{err}
	}
	return name, nil
}

// chooseOutput picks where the click sounds; "" is nowhere. Only a name that was
// asked for must be there.
func chooseOutput(d port.Driver, asked, known, in string) (string, error) {
	names, err := d.Outputs()
	if asked != "" {
		if err != nil {
			return "", err
		}
		return port.Choose(names, asked)
	}
	if known != "" {
		if name, err := port.Choose(names, known); err == nil {
			return name, nil
		}
	}
	name, _ := partner(names, in, "")
	return name, nil
}
