package cli

import (
	"context"

	"github.com/spf13/cobra"

	"undersong/internal/judge/byear"
	"undersong/internal/music/pitch"
	"undersong/internal/session/freely"
	"undersong/internal/session/sitting"
	"undersong/internal/text/shell"
)

type tuneOptions struct {
	chart, file, in   string
	bars, hint        string
	from, part, hands string
	softLoud, known   bool
	output            formatFlags
}

func (a *App) tuneCommand() *cobra.Command {
	o := &tuneOptions{}
	c := &cobra.Command{
		Use:   "tune CHART [FILE.mid]",
		Short: "Find a tune on the keyboard by ear",
		Long: `Tune listens while you look for the chart's tune on the keyboard, one note at a
time, from any key you like; or hears a MIDI file of it. Only the ups and downs
count, not the key and not the rhythm. It says where a note lies from the one you
played, and never names it. On the screen the key h gives a hint. q or Ctrl-C ends
it.`,
		Example: `  undersong tune clementine.chart
  undersong tune clementine.chart --hint contour --plain
  undersong tune clementine.chart --known --from A --soft-loud
  undersong tune clementine.chart tune.mid`,
		Args: takesAndFile("a chart"),
		RunE: func(c *cobra.Command, args []string) error {
			o.chart, o.file = args[0], fileAfter(1, args)
			return a.tune(c.Context(), o)
		},
	}
	o.bind(c)
	return c
}

func (o *tuneOptions) bind(c *cobra.Command) {
	f := c.Flags()
	bindKeyboard(f, &o.in)
	f.StringVar(&o.bars, "bars", "", "only the tune of these `BARS`, such as 5-8")
	f.StringVar(&o.hint, "hint", "", "hints unasked: the ups and downs of each phrase, or each next note too (`contour or note`)")
	f.StringVar(&o.from, "from", "", "task: from this `NOTE`, such as A, or another, which is chosen for you")
	f.StringVar(&o.part, "range", "", "task: in this part of the keyboard (`low, middle or high`)")
	f.BoolVar(&o.softLoud, "soft-loud", false, "task: phrases soft and loud in turn")
	f.StringVar(&o.hands, "hands", "", "task: phrases from hand to hand (`alternate`)")
	f.BoolVar(&o.known, "known", false, "the tune is known: the task comes at once")
	o.output.bind(f)
}

func (a *App) tune(ctx context.Context, o *tuneOptions) error {
	f, err := o.output.format()
	if err != nil {
		return err
	}
	t, err := o.lesson(a)
	if err != nil {
		return err
	}
	return fileWillDo(a.listen(ctx, t, &t.Opening, o.file, o.in, f), "undersong tune "+shell.File(o.chart))
}

// lesson checks what was typed and reads the chart.
func (o *tuneOptions) lesson(a *App) (*freely.Tune, error) {
	help, err := o.help()
	if err != nil {
		return nil, err
	}
	task, err := o.task()
	if err != nil {
		return nil, err
	}
	span, err := parseBars(o.bars)
	if err != nil {
		return nil, err
	}
	if err := onlyLive(o.file, o.in); err != nil {
		return nil, err
	}
	c, err := a.chartOf(o.chart)
	if err != nil {
		return nil, err
	}
	s, title, err := tuneOf(c, o.chart, span)
	if err != nil {
		return nil, err
	}
	return freely.NewTune(sitting.Heading{Title: title, File: o.chart, Span: span, Task: task, Help: help}, s), nil
}

func (o *tuneOptions) help() (byear.Help, error) {
	for _, h := range []byear.Help{byear.NoHelp, byear.HelpContour, byear.HelpNote} {
		if o.hint == h.String() {
			return h, nil
		}
	}
	return 0, usagef("--hint %q is not one of contour, note", o.hint)
}

func (o *tuneOptions) task() (t byear.Task, err error) {
	t.SoftLoud, t.Known = o.softLoud, o.known
	switch o.from {
	case "":
	case "another":
		t.Another = true
	default:
		n, err := pitch.ParseNote(o.from)
		if err != nil {
			return t, usagef("--from %q: %w, or the word another", o.from, err)
		}
		t.From = &n
	}
	if t.Range, err = parseRange(o.part); err != nil {
		return t, err
	}
	switch o.hands {
	case "":
	case "alternate":
		t.Hands = true
	default:
		return t, usagef("--hands %q: there is only alternate, phrases from hand to hand", o.hands)
	}
	if o.known && !t.Asks() {
		return t, usagef("--known belongs to a task: --from, --range, --soft-loud or --hands alternate")
	}
	if t.Hands && t.Range != byear.AnyRange {
		return t, usagef("--hands alternate moves over the keyboard and --range stays: choose one")
	}
	return t, nil
}

func parseRange(s string) (byear.Range, error) {
	if s == "" {
		return byear.AnyRange, nil
	}
	for _, r := range []byear.Range{byear.Low, byear.Middle, byear.High} {
		if s == r.String() {
			return r, nil
		}
	}
	return 0, usagef("--range %q is not one of low, middle, high", s)
}
