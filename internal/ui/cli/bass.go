package cli

import (
	"context"
	"strings"

	"github.com/spf13/cobra"

	"undersong/internal/judge/firstbass"
	"undersong/internal/session/freely"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/score"
	"undersong/internal/text/shell"
)

type bassOptions struct {
	chart, file, in string
	voicing, with   string
	bars            string
	key             wantedKey
	show            bool
	output          formatFlags
}

func (a *App) bassCommand() *cobra.Command {
	o := &bassOptions{}
	c := &cobra.Command{
		Use:   "bass CHART [FILE.mid]",
		Short: "Put basses of your own choice under a tune",
		Long: `Bass listens while you play the chart's tune and put one bass note at a time under
it, chosen by you: tonic or dominant, and with --with 3 the subdominant. It knows
which of them fit the tune, and why, and takes every one that does. It goes with
you: there is no click. Or it hears a MIDI file.`,
		Example: `  undersong bass clementine.chart
  undersong bass clementine.chart --voicing fifth --key C
  undersong bass red-river-valley.chart --with 3 --show
  undersong bass clementine.chart basses.mid`,
		Args: takesAndFile("a chart"),
		RunE: func(c *cobra.Command, args []string) error {
			o.chart, o.file = args[0], fileAfter(1, args)
			return a.bass(c.Context(), o)
		},
	}
	o.bind(c)
	return c
}

func (o *bassOptions) bind(c *cobra.Command) {
	f := c.Flags()
	f.StringVar(&o.voicing, "voicing", firstbass.BassAlone.String(), "how much is put under the tune: `bass, fifth or triad`")
	f.StringVar(&o.with, "with", "2", "the basses to choose from: `2 or 3`, or \"tonic and dominant\", \"subdominant too\"")
	o.key.bind(f)
	f.StringVar(&o.bars, "bars", "", "only these `BARS`, such as 5-8; their first time, where they repeat")
	bindKeyboard(f, &o.in)
	f.BoolVar(&o.show, "show", false, "what fits in each bar, and why, instead of listening")
	o.output.bind(f)
}

func (a *App) bass(ctx context.Context, o *bassOptions) error {
	f, err := o.output.format()
	if err != nil {
		return err
	}
	h, tune, err := o.lesson(a)
	switch {
	case err != nil:
		return err
	case o.show:
		return a.showBasses(h, tune, f)
	}
	b := freely.NewBasses(h, tune)
	return fileWillDo(a.listen(ctx, b, &b.Opening, o.file, o.in, f), "undersong bass "+shell.File(o.chart))
}

// lesson checks what was typed and reads the chart.
func (o *bassOptions) lesson(a *App) (h sitting.Heading, tune *score.Score, err error) {
	h.Kind, h.File = sitting.Basses, o.chart
	if err := o.words(&h); err != nil {
		return h, nil, err
	}
	c, err := a.chartOf(o.chart)
	if err != nil {
		return h, nil, err
	}
	key, err := o.key.of(a, c)
	if err != nil {
		return h, nil, err
	}
	if key != nil {
		h.Moved = *key != c.Key
		c = c.In(*key)
	}
	h.Key = c.Key
	tune, h.Title, err = tuneOf(c, o.chart, h.Span)
	return h, tune, err
}

// words checks what was typed.
func (o *bassOptions) words(h *sitting.Heading) (err error) {
	if h.Voicing, err = parseVoicing(o.voicing); err != nil {
		return err
	}
	if h.Choice, err = parseBasses(o.with); err != nil {
		return err
	}
	if err = o.key.read(); err != nil {
		return err
	}
	if h.Span, err = parseBars(o.bars); err != nil {
		return err
	}
	if err := onlyLive(o.file, o.in); err != nil {
		return err
	}
	if o.show && (o.file != "" || o.in != "") {
		return usagef("--show tells what fits and does not listen: leave out the recording and --in")
	}
	return nil
}

func parseVoicing(s string) (firstbass.Voicing, error) {
	for i, name := range firstbass.Voicings() {
		if s == name {
			return firstbass.Voicing(i), nil
		}
	}
	return 0, usagef("--voicing %q is not one of %s", s, strings.Join(firstbass.Voicings(), ", "))
}

// parseBasses reads how many basses there are to choose from.
func parseBasses(s string) (int, error) {
	text := strings.ToLower(s)
	words := strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == ',' || r == '+' })
	most := 0
	for _, w := range words {
		switch w {
		case "2", "two", "i", "v", "tonic", "dominant":
			most = max(most, 2)
		case "3", "three", "iv", "subdominant":
			most = 3
		case "and", "too", "also", "the", "basses":
		default:
			return 0, unknownBasses(s)
		}
	}
	if most == 0 {
		return 0, unknownBasses(s)
	}
	return most, nil
}

func unknownBasses(s string) error {
	return usagef("--with %q: choose 2 (tonic and dominant) or 3 (the subdominant too)", s)
}
