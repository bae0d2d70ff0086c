package cli

import (
	"context"
	"time"

	"github.com/spf13/cobra"

	"undersong/internal/coach"
	"undersong/internal/demo"
	"undersong/internal/event"
	"undersong/internal/meter"
	"undersong/internal/midiio"
	"undersong/internal/practice"
	"undersong/internal/report"
)

type demoOptions struct {
	tempo  string
	seed   uint64
	output formatFlags
}

func (a *App) demoCommand() *cobra.Command {
	o := &demoOptions{}
	c := &cobra.Command{
		Use:   "demo",
		Short: "Watch a lesson without a keyboard",
		Long: `Demo lets ` + demo.Student + `, an invented and simulated student, play a short tune with a few
typical mistakes, in half a minute. Nothing needs to be plugged in.`,
		Example: `  undersong demo
  undersong demo --plain --tempo 90`,
		Args: noArgs,
		RunE: func(c *cobra.Command, _ []string) error { return a.demo(c.Context(), o) },
	}
	c.Flags().StringVar(&o.tempo, "tempo", "", "beats a minute (`BPM`)")
	c.Flags().Uint64Var(&o.seed, "seed", 1, "another `NUMBER` plays a little differently")
	c.Flags().BoolVar(&o.output.plain, "plain", false, "lines of text instead of the screen")
	c.Flags().BoolVar(&o.output.json, "json", false, "JSON lines (undersong help json-lines)")
	return c
}

// demoPort is the name of the simulated keyboard.
const demoPort = demo.Student + "'s piano (simulated)"

func (a *App) demo(ctx context.Context, o *demoOptions) error {
	format, err := o.output.format()
	if err != nil {
		return err
	}
	var tempo meter.Tempo
	if o.tempo != "" {
		if tempo, err = meter.ParseTempo(o.tempo); err != nil {
			return asUsage(err)
		}
	}
	lesson, err := demo.NewLesson(tempo)
	if err != nil {
		return err
	}
	events, err := lesson.Play(o.seed)
	if err != nil {
		return err
	}
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	clock := a.Clock()
	driver := midiio.NewScript(clock)
	driver.Plug(demoPort)
	k := &keyboard{driver: driver, clock: clock, in: demoPort}
	defer k.close()
	h := report.HeadingOf(lesson.Score, coach.Steady)
	h.Title += " - " + demo.Student + ", simulated"
	session := practice.Options{
		Score: lesson.Score, Chart: lesson.Chart, Level: coach.Steady, Heading: h, CountIn: 1,
		Opening: demo.Student + " is an invented student, simulated: nothing is plugged in.",
		Music: func(at time.Duration) {
			go a.perform(ctx, driver, clock, at, events)
		},
	}
	if err := a.play(ctx, k, session, format, a.screenFor(format)); err != nil || format == jsonLines {
		return err
	}
	return a.writeText("\nThat was a simulation. At your own keyboard: undersong practice YOUR.chart --pattern NAME")
}

// perform plays events that count from the music's start, each in its time.
func (a *App) perform(ctx context.Context, d *midiio.Script, clock clock, music time.Duration, events []event.Event) {
	for _, e := range events {
		select {
		case <-a.After(music + e.At - clock()):
		case <-ctx.Done():
			return
		}
		if b, err := midiio.Bytes(e); err == nil {
			d.Play(demoPort, b...)
		}
	}
}
