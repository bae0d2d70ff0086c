package cli

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"time"

	"github.com/spf13/cobra"

	"undersong/internal/midiio"
	"undersong/internal/pitch"
	"undersong/internal/track"
)

type hearOptions struct {
	file, key, in string
	json          bool
}

func (a *App) hearCommand() *cobra.Command {
	o := &hearOptions{}
	c := &cobra.Command{
		Use:   "hear [FILE.mid]",
		Short: "Name the chords that are played",
		Long: `Hear names what you hold on the keyboard as it changes, fingers and pedal
together; or, given a MIDI file, writes down its chords.`,
		Example: `  undersong hear
  undersong hear lesson.mid --key F`,
		Args: func(c *cobra.Command, args []string) error {
			if len(args) == 0 {
				return nil
			}
			return takes("a MIDI file")(c, args)
		},
		RunE: func(c *cobra.Command, args []string) error {
			if len(args) == 1 {
				o.file = args[0]
			}
			return a.hear(c.Context(), o)
		},
	}
	c.Flags().StringVar(&o.key, "key", "", "spell chords in this `KEY`; without it the key is found")
	c.Flags().StringVar(&o.in, "in", "", "the keyboard: any part of its `PORT`'s name")
	c.Flags().BoolVar(&o.json, "json", false, "one JSON object for each chord")
	return c
}

func (a *App) hear(ctx context.Context, o *hearOptions) error {
	key, err := parseKey(o.key)
	if err != nil {
		return err
	}
	if o.file == "" {
		return a.hearLive(ctx, o, key)
	}
	return a.hearFile(o, key)
}

func (a *App) hearFile(o *hearOptions, key *pitch.Key) error {
	p, err := midiio.ReadFile(o.file)
	if err != nil {
		return err
	}
	for _, s := range chordsOf(p, key) {
		if err := a.writeChord(s, o.json); err != nil {
			return err
		}
	}
	return nil
}

// chordsOf are the chords of a file.
func chordsOf(p *midiio.Performance, key *pitch.Key) []track.Segment {
	segments, _ := track.Track(track.FromFile(p), track.Options{Key: key})
	return segments
}

// chordLine is a stretch of one chord.
type chordLine struct {
	StartS float64     `json:"start_s"`
	EndS   float64     `json:"end_s"`
	Label  string      `json:"label"`
	Notes  []pitch.Num `json:"notes"` // MIDI keys, low to high
}

func (a *App) writeChord(s track.Segment, asJSON bool) error {
	if asJSON {
		return a.writeChordLine(chordLine{seconds(s.Start), seconds(s.End), s.Label(), s.Notes})
	}
	_, err := fmt.Fprintf(a.Out, "%8.2f s  %s\n", s.Start.Seconds(), s.Label())
	return err
}

func (a *App) writeChordLine(l chordLine) error {
	if l.Notes == nil {
		l.Notes = []pitch.Num{}
	}
	line, err := json.Marshal(l)
	if err != nil {
		return err
	}
	_, err = a.Out.Write(append(line, '\n'))
	return err
}

// seconds are kept to the millisecond.
func seconds(d time.Duration) float64 { return math.Round(d.Seconds()*1000) / 1000 }
