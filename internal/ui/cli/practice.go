package cli

import (
	"context"
	"fmt"

	"github.com/spf13/cobra"

	"undersong/internal/session/practice"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/score"
)

type practiceOptions struct {
	piece         pieceOptions
	output        formatFlags
	in, out       string
	with          string
	withChannel   int
	ramp          string
	countIn       int
	loop, noClick bool
	wait, after   bool
	sing, words   bool
}

func (a *App) practiceCommand() *cobra.Command {
	o := &practiceOptions{}
	c := &cobra.Command{
		Use:   "practice CHART",
		Short: "Play, and hear what to change",
		Long: `Practice counts you in and listens while you play the chart's accompaniment. It
shows what it hears and what is wanted, says at most one correction a bar, and
sums up at the end. q or Ctrl-C ends it. Stop if it hurts, and ask your teacher or
a doctor.`,
		Example: `  undersong practice red-river-valley.chart --pattern two-beat --tempo 80
  undersong practice red-river-valley.chart --bars 5-8 --loop --level gentle
  undersong practice red-river-valley.chart --bars 5-8 --ramp 72:96:4 --hand left
  undersong practice red-river-valley.chart --pattern two-beat --with left --loop
  undersong practice clementine.chart --pattern waltz --follow
  undersong practice clementine.chart --pattern waltz --sing`,
		Args: takes("a chart"),
		RunE: func(c *cobra.Command, args []string) error {
			o.piece.chart = args[0]
			return a.practice(c.Context(), o)
		},
	}
	o.bind(c)
	return c
}

func (o *practiceOptions) bind(c *cobra.Command) {
	o.piece.bind(c)
	f := c.Flags()
	f.BoolVar(&o.loop, "loop", false, "play the bars round and round")
	f.StringVar(&o.ramp, "ramp", "", "after each clean pass faster, such as 72:96:4 (`FROM:TO:STEP`): until the last is clean")
	f.BoolVar(&o.after, "after", false, "corrections after the pass, none while you play")
	f.BoolVar(&o.sing, "sing", false, "you accompany a singer, or yourself: you lead, and what counts is playing on")
	f.BoolVar(&o.words, "words", false, "the words large, with the chord names over them, as with --sing")
	bindKeyboard(f, &o.in)
	f.StringVar(&o.out, "out", "", "where the click and --with sound: any part of a `PORT`'s name")
	f.StringVar(&o.with, "with", "", "what undersong plays: `left, right or melody`")
	f.IntVar(&o.withChannel, "with-channel", usualWithChannel, "the MIDI `CHANNEL` on which it does, 1 to 16 but 10")
	f.IntVar(&o.countIn, "count-in", 1, "`BARS` to count before the music")
	f.BoolVar(&o.noClick, "no-click", false, "no click is heard; it is still seen")
	f.BoolVar(&o.wait, "wait", false, "begin with the first key, as on the screen, with --plain or --json too")
	o.output.bind(f)
}

// mostCountIn is more than anybody counts.
const mostCountIn = 16

func (a *App) practice(ctx context.Context, o *practiceOptions) error {
	format, err := o.output.format()
	if err != nil {
		return err
	}
	ramp, err := o.check()
	if err != nil {
		return err
	}
	p, s, err := o.music(a, ramp)
	if err != nil {
		return err
	}
	with, err := o.accompanied(s)
	if err != nil {
		return err
	}
	if text := caution(s); text != "" {
		fmt.Fprintln(a.Err, text)
	}
	return a.withKeyboard(ctx, o.in, func(ctx context.Context, k *keyboard) error {
		if err := o.openOut(k); err != nil {
			return err
		}
		session := o.session(p, s, ramp)
		session.With, session.NoClick = with, o.noClick
		k.join(&session)
		onScreen := a.shows(format)
		session.Wait, session.Stay = o.wait || onScreen, onScreen
		return a.watched(ctx, k, practice.New(session), format)
	})
}

// music is what is played.
func (o *practiceOptions) music(a *App, ramp *sitting.Ramp) (*piece, *score.Score, error) {
	p, err := o.piece.load(a)
	if err != nil {
		return nil, nil, err
	}
	o.leaveHand(p)
	if ramp != nil {
		p.tempo = ramp.From
	}
	s, err := a.built(p, o.loop || ramp != nil)
	return p, s, err
}

// check looks at flags that bear on each other.
func (o *practiceOptions) check() (*sitting.Ramp, error) {
	o.piece.follow = o.piece.follow || o.sing // a singer waits for no click
	if o.countIn < 0 || o.countIn > mostCountIn {
		return nil, usagef("--count-in %d is not a number of bars from 0 to %d", o.countIn, mostCountIn)
	}
	if err := o.checkWith(); err != nil {
		return nil, err
	}
	if o.ramp == "" {
		return nil, nil
	}
	switch {
	case o.sing:
		return nil, usagef("--ramp sets the tempo and --sing leaves it to you: choose one")
	case o.piece.follow:
		return nil, usagef("--ramp sets the tempo and --follow leaves it to you: choose one")
	case o.piece.tempo != "":
		return nil, usagef("--ramp begins at its own tempo: leave --tempo out")
	}
	return parseRamp(o.ramp)
}

func (o *practiceOptions) session(p *piece, s *score.Score, ramp *sitting.Ramp) practice.Options {
	h := p.heading(s)
	h.With, h.Loop, h.After, h.Sing, h.Words = o.with, o.loop || ramp != nil, o.after, o.sing, o.words
	if ramp != nil {
		h.Ramp = *ramp
	}
	return practice.Options{Heading: h, Score: s, Lay: p.lay, Level: p.level, Others: p.others, CountIn: o.countIn}
}
