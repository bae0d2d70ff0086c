package cli

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"undersong/internal/chart"
	"undersong/internal/firstbass"
	"undersong/internal/pitch"
	"undersong/internal/practice"
	"undersong/internal/report"
	"undersong/internal/score"
)

type bassOptions struct {
	chart, file, in string
	rung, with      string
	key, bars       string
	show            bool
	output          formatFlags
}

func (a *App) bassCommand() *cobra.Command {
	o := &bassOptions{}
	c := &cobra.Command{
		Use:   "bass CHART [FILE.mid]",
		Short: "Put basses of your own choice under a tune",
		Long: `Bass listens while you play the chart's tune and put one bass note at a time under
it, chosen by you from two or three: tonic and dominant, and with --with 3 the
subdominant. It knows which of them fit the tune, and why, and takes every one
that does. It goes with you: there is no click, and you may begin again anywhere,
with the tune in any octave. Or it hears a MIDI file.

A bass fits where its chord has the tune's notes on the strong beats and most of
the others; passing and neighbour notes may be foreign to it, and the dominant may
have its seventh. At least one bass a bar is wanted; the last one is the tonic.

Then up the ladder: --rung fifth wants the fifth above each bass too, in any
register, at any time in the bar; --rung triad also the third, between bass and
tune.

--show tells what fits in each bar, and why, instead of listening; one good
solution is marked with *. Choose for yourself first.

Take a break after some 25 minutes. Stop if it hurts, and keep headphones low.`,
		Example: `  undersong bass clementine.chart
  undersong bass clementine.chart --rung fifth --key C
  undersong bass red-river-valley.chart --with 3 --show
  undersong bass clementine.chart take1.mid`,
		Args: func(c *cobra.Command, args []string) error {
			if len(args) == 2 {
				return nil
			}
			return takes("a chart")(c, args)
		},
		RunE: func(c *cobra.Command, args []string) error {
			o.chart = args[0]
			if len(args) == 2 {
				o.file = args[1]
			}
			return a.bass(c.Context(), o)
		},
	}
	o.bind(c)
	return c
}

func (o *bassOptions) bind(c *cobra.Command) {
	f := c.Flags()
	f.StringVar(&o.rung, "rung", firstbass.BassAlone.String(), "how much is put under the tune: `bass, fifth or triad`")
	f.StringVar(&o.with, "with", "2", "the basses to choose from: `2 or 3`, or \"tonic and dominant\", \"subdominant too\"")
	f.StringVar(&o.key, "key", "", "play in another `KEY`, such as G, or Am for a chart in minor")
	f.StringVar(&o.bars, "bars", "", "only these `BARS`, such as 5-8; their first time, where they repeat")
	f.StringVar(&o.in, "in", "", "the keyboard: any part of its `PORT`'s name")
	f.BoolVar(&o.show, "show", false, "what fits in each bar, and why, instead of listening")
	f.BoolVar(&o.output.plain, "plain", false, "lines of text instead of the screen")
	f.BoolVar(&o.output.json, "json", false, "JSON lines (undersong help json-lines)")
}

func (a *App) bass(ctx context.Context, o *bassOptions) error {
	f, err := o.output.format()
	if err != nil {
		return err
	}
	l, err := o.lesson()
	switch {
	case err != nil:
		return err
	case o.show:
		return a.showBasses(l.Heading, f)
	case o.file != "":
		return a.bassFile(l, o.file, f)
	}
	return a.bassLive(ctx, l, o.in, f)
}

// lesson checks what was typed and reads the chart.
func (o *bassOptions) lesson() (*practice.FirstBass, error) {
	h := report.BassHeading{File: o.chart}
	basses, key, err := o.words(&h)
	if err != nil {
		return nil, err
	}
	c, err := chart.ReadFile(o.chart)
	if err != nil {
		return nil, err
	}
	if err := checkKey(thisChart, c.Key, key); err != nil {
		return nil, err
	}
	if key != nil {
		h.Moved = *key != c.Key
		c = c.In(*key)
	}
	h.Score, err = score.Tune(c, score.Options{Span: h.Span})
	if errors.Is(err, score.ErrNoTune) {
		return nil, fmt.Errorf("%w, %s: write one with m: lines, as in m: C2 D2 | E4 |", err, o.chart)
	}
	if err != nil {
		return nil, err
	}
	h.Title, h.Stock = c.Title, firstbass.Stock(c.Key, basses)
	if h.Title == "" {
		h.Title = o.chart
	}
	return &practice.FirstBass{Heading: h, Chart: c}, nil
}

// words checks what was typed.
func (o *bassOptions) words(h *report.BassHeading) (basses int, key *pitch.Key, err error) {
	if h.Rung, err = parseRung(o.rung); err != nil {
		return 0, nil, err
	}
	if basses, err = parseBasses(o.with); err != nil {
		return 0, nil, err
	}
	if key, err = parseKey(o.key); err != nil {
		return 0, nil, err
	}
	if h.Span, err = parseBars(o.bars); err != nil {
		return 0, nil, err
	}
	switch {
	case o.file != "" && o.in != "":
		err = usagef("--in is for live playing; the file %s is heard as it is", o.file)
	case o.show && (o.file != "" || o.in != ""):
		err = usagef("--show tells what fits and does not listen: leave out the recording and --in")
	}
	return basses, key, err
}

func parseRung(s string) (firstbass.Rung, error) {
	for i, name := range firstbass.Rungs() {
		if s == name {
			return firstbass.Rung(i), nil
		}
	}
	return 0, usagef("--rung %q is not one of %s", s, strings.Join(firstbass.Rungs(), ", "))
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

// bassFile lets the same ear hear a file.
func (a *App) bassFile(l *practice.FirstBass, path string, f format) error {
	p, err := readNotes(path)
	if err != nil {
		return err
	}
	l.Writer = a.bassWriter(f)
	if err := l.Begin(0); err != nil {
		return err
	}
	for _, e := range p.Events {
		if err := l.Event(e); err != nil {
			return err
		}
	}
	return l.Stop(p.End)
}

func (a *App) bassLive(ctx context.Context, l *practice.FirstBass, in string, f format) error {
	ctx, stop := a.Stops(ctx)
	defer stop()
	k, err := a.openKeyboard(in)
	if err != nil {
		return err
	}
	defer k.close()
	if ctx.Err() != nil {
		return errInterrupted
	}
	l.Opening = "listening to " + k.in
	program := a.screenFor(f)
	kept := &bassAfterwards{}
	l.Writer = a.bassWriter(f)
	if program != nil {
		l.Writer = kept
	}
	if err := k.run(ctx, a, practice.NewLoop(l, k.clock, k.after), program); err != nil {
		return err
	}
	return kept.print(a.plainWriter())
}

func (a *App) bassWriter(f format) report.BassWriter {
	if f == jsonLines {
		return report.NewJSON(a.Out)
	}
	return a.plainWriter()
}

// bassAfterwards keeps the summary, which is printed when the screen is off.
type bassAfterwards struct {
	session report.BassSession
	over    bool
}

func (*bassAfterwards) StartBass(report.BassHeading) error { return nil }
func (*bassAfterwards) BassFinding(report.BassItem) error  { return nil }
func (*bassAfterwards) Notice(time.Duration, string) error { return nil }

// BassSummary keeps the session.
func (w *bassAfterwards) BassSummary(s report.BassSession) error {
	w.session, w.over = s, true
	return nil
}

func (w *bassAfterwards) print(to report.BassWriter) error {
	if !w.over {
		return nil
	}
	if err := to.StartBass(w.session.BassHeading); err != nil {
		return err
	}
	return to.BassSummary(w.session)
}
