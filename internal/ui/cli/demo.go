package cli

import (
	"context"
	"time"

	"github.com/spf13/cobra"

	"undersong/internal/judge/rules"
	"undersong/internal/midi/event"
	"undersong/internal/midi/port"
	"undersong/internal/music/meter"
	"undersong/internal/session/demo"
	"undersong/internal/session/practice"
	"undersong/internal/session/sitting"
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
typical mistakes, in half a minute. Nothing needs to be plugged in. Where a chart is
wanted, demo is the tune of it.`,
		Example: `  undersong demo
  undersong demo --plain --tempo 90`,
		Args: noArgs,
		RunE: func(c *cobra.Command, _ []string) error { return a.demo(c.Context(), o) },
	}
	c.Flags().StringVar(&o.tempo, "tempo", "", "beats a minute (`BPM`)")
	c.Flags().Uint64Var(&o.seed, "seed", 1, "another `NUMBER` plays a little differently")
	o.output.bind(c.Flags())
	return c
}

// demoPort is the name of the simulated keyboard.
const demoPort = demo.Student + "'s piano (simulated)"

func (a *App) demo(ctx context.Context, o *demoOptions) error {
	format, err := o.output.format()
	if err != nil {
		return err
	}
	ctx, stop := a.Stops(ctx)
	defer stop()
	k, session, err := a.simulated(o)
	if err != nil {
		return err
	}
	defer k.close()
	if err := a.watched(ctx, k, practice.New(session), format); err != nil || format == jsonLines {
		return err
	}
	return a.writeText("\nThat was a simulation. At your own keyboard, this tune or yours:\n  undersong practice " + demo.ChartName +
		"\n  undersong practice YOUR.chart --pattern NAME")
}

// simulated is the lesson and the keyboard that the student plays it on.
func (a *App) simulated(o *demoOptions) (*keyboard, practice.Options, error) {
	var none practice.Options
	var tempo meter.Tempo
	var err error
	if o.tempo != "" {
		if tempo, err = meter.ParseTempo(o.tempo); err != nil {
			return nil, none, asUsage(err)
		}
	}
	lesson, err := demo.NewLesson(tempo)
	if err != nil {
		return nil, none, err
	}
	events, err := lesson.Play(o.seed)
	if err != nil {
		return nil, none, err
	}
	clock := a.Clock()
	student := newStudent(clock, a.After, events)
	h := sitting.HeadingOf(lesson.Score, rules.Steady.Name)
	h.Title += " - " + demo.Student + ", simulated"
	h.File = demo.ChartName
	k := &keyboard{driver: student.driver, clock: clock, after: student.after, in: demoPort}
	return k, practice.Options{
		Score: lesson.Score, Level: rules.Steady, Heading: h, CountIn: 1, Fixed: true,
		Opening: sitting.Notice{Kind: sitting.SimulatedOnly, Port: demo.Student},
		Music:   student.begin,
	}, nil
}

// student plays on a scripted keyboard while the loop waits: it plays what is
// due and sees to it that the loop wakes for the next stroke.
type student struct {
	driver *port.Script
	clock  clock
	wait   func(time.Duration) <-chan time.Time
	events []event.Event // still to be played; they count from the music's start
	music  time.Duration // its start on the clock
	begun  bool
}

func newStudent(c clock, wait func(time.Duration) <-chan time.Time, events []event.Event) *student {
	s := &student{driver: port.NewScript(c), clock: c, wait: wait, events: events}
	s.driver.Plug(demoPort)
	return s
}

func (s *student) begin(music time.Duration) { s.music, s.begun = music, true }

// after is time.After for the loop.
func (s *student) after(d time.Duration) <-chan time.Time {
	if !s.begun {
		return s.wait(d)
	}
	now := s.clock()
	for len(s.events) > 0 && s.music+s.events[0].At <= now {
		if b, err := s.events[0].Bytes(); err == nil {
			s.driver.Play(demoPort, b...)
		}
		s.events = s.events[1:]
	}
	if len(s.events) > 0 {
		d = min(d, s.music+s.events[0].At-now)
	}
	return s.wait(d)
}
