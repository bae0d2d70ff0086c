package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"

	"github.com/spf13/cobra"

	"undersong/internal/event"
	"undersong/internal/meter"
	"undersong/internal/midiio"
	demonstrate "undersong/internal/perform"
	"undersong/internal/score"
)

type playOptions struct {
	piece   pieceOptions
	out     string
	to      string
	force   bool
	human   bool
	click   bool
	countIn int
	times   int
}

func (a *App) playCommand() *cobra.Command {
	o := &playOptions{}
	c := &cobra.Command{
		Use:   "play CHART",
		Short: "Hear how a pattern goes",
		Long: `Play sounds the chart's accompaniment on the instrument itself, or writes it to a
MIDI file: in any key and at any tempo, both hands or one. What it plays is what
practice accepts.`,
		Example: `  undersong play red-river-valley.chart --pattern two-beat --tempo 60
  undersong play clementine.chart --pattern waltz --key G --hand left --to waltz.mid`,
		Args: takes("a chart"),
		RunE: func(c *cobra.Command, args []string) error {
			o.piece.chart = args[0]
			return a.playDemonstration(c.Context(), o)
		},
	}
	o.piece.bindMusic(c)
	f := c.Flags()
	f.StringVar(&o.out, "out", "", "the instrument: any part of its `PORT`'s name")
	f.StringVar(&o.to, "to", "", "write a MIDI `FILE` instead")
	f.BoolVar(&o.force, "force", false, "write over a file that is there")
	f.BoolVar(&o.human, "human", false, "with a player's small unevenness")
	f.BoolVar(&o.click, "click", false, "with a click through the music")
	f.IntVar(&o.countIn, "count-in", 0, "`BARS` to count before the music")
	f.IntVar(&o.times, "times", 1, "how `OFTEN` it is played, 1 to 100")
	return c
}

// mostTimes bounds a file's length.
const mostTimes = 100

func (a *App) playDemonstration(ctx context.Context, o *playOptions) error {
	if o.countIn < 0 || o.countIn > mostCountIn {
		return usagef("--count-in %d is not a number of bars from 0 to %d", o.countIn, mostCountIn)
	}
	if o.times < 1 || o.times > mostTimes {
		return usagef("--times %d is not a number from 1 to %d", o.times, mostTimes)
	}
	o.piece.level = "steady"
	p, err := o.piece.load(a)
	if err != nil {
		return err
	}
	s, err := score.Build(p.chart, p.pattern, score.Options{Key: p.key, Tempo: p.tempo, Span: p.span, Only: p.only})
	if err != nil {
		return err
	}
	parts, err := demonstrate.Parts(s, demonstrate.Options{Human: o.human, Seed: 1, CountIn: o.countIn, Click: o.click, Times: o.times})
	if err != nil {
		return err
	}
	if o.to != "" {
		return o.writeParts(s, parts)
	}
	return a.sound(ctx, o.out, demonstrate.Merged(parts))
}

// writeParts writes a MIDI file of format 1, a track for each hand.
func (o *playOptions) writeParts(s *score.Score, parts []demonstrate.Part) error {
	signature := midiio.MeterChange{Num: s.Meter.Num, Den: s.Meter.Den}
	key := midiio.KeyChange{Sharps: s.Key.Fifths(), Minor: s.Key.Minor}
	layout := midiio.WriteOptions{
		Tempos: o.tempos(s),
		Meters: []midiio.MeterChange{signature},
		Keys:   []midiio.KeyChange{key},
	}
	var tracks []midiio.Track
	for _, p := range parts {
		tracks = append(tracks, midiio.Track{Name: p.Name, Events: p.Events})
	}
	var file bytes.Buffer
	if err := midiio.Write(&file, layout, tracks...); err != nil {
		return err
	}
	err := writeNew(o.to, file.String(), o.force)
	if errors.Is(err, fs.ErrExist) {
		return fmt.Errorf("%s is there already; --force writes over it", o.to)
	}
	if err != nil {
		return fmt.Errorf("the file cannot be written: %w", err)
	}
	return nil
}

// tempos is the tempo map of the file: its beats lie on those of the music, a
// ritardando included.
func (o *playOptions) tempos(s *score.Score) []midiio.TempoChange {
	const step = meter.Sixteenth
	perQuarter := int(s.Tempo.Duration(meter.Quarter, s.Meter).Microseconds())
	all := []midiio.TempoChange{{MicrosPerQuarter: perQuarter}}
	if !s.Slows() {
		return all
	}
	set := func(at meter.Ticks, micros int) {
		if at > 0 && all[len(all)-1].MicrosPerQuarter != micros {
			all = append(all, midiio.TempoChange{Tick: int64(at * midiio.DefaultTicks / meter.Quarter), MicrosPerQuarter: micros})
		}
	}
	for n := range meter.Ticks(o.times) {
		start := meter.Ticks(o.countIn)*s.Meter.Bar() + n*s.Length
		for at := meter.Ticks(0); at < s.Length; at += step {
			set(start+at, int(float64(perQuarter)*s.Stretch(at, at+step)+0.5))
		}
	}
	return all
}

// instrument is the output asked for, or the remembered one, or the only one.
func (a *App) instrument(d midiio.Driver, asked string) (string, error) {
	names, err := d.Outputs()
	if err != nil {
		return "", &noKeyboardError{err}
	}
	if asked == "" {
		known, err := a.readPorts()
		if err != nil {
			return "", err
		}
		if name, err := midiio.Choose(names, known.out); known.out != "" && err == nil {
			return name, nil
		}
	}
	name, err := midiio.Choose(names, asked)
	if err != nil {
		return "", fmt.Errorf("no instrument to play on: %w\n--out NAME chooses one; --to FILE writes a MIDI file instead", err)
	}
	return name, nil
}

// sound plays events on an instrument, each at its time. Whatever ends it, no
// note is left sounding.
func (a *App) sound(ctx context.Context, port string, events []event.Event) error {
	ctx, stop := a.Stops(ctx)
	defer stop()
	clock := a.Clock()
	driver := a.Driver(clock)
	defer driver.Close()
	name, err := a.instrument(driver, port)
	if err != nil {
		return err
	}
	out, err := driver.OpenOut(name)
	if err != nil {
		return err
	}
	defer out.Close()
	start := clock()
	for _, e := range events {
		for left := e.At - (clock() - start); left > 0; left = e.At - (clock() - start) {
			select {
			case <-a.After(left):
			case <-ctx.Done():
				return nil
			}
		}
		if err := out.Send(e); err != nil {
			return err
		}
	}
	return nil
}
