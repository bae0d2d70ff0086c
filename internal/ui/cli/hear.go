package cli

import (
	"context"
	"slices"

	"github.com/spf13/cobra"

	"undersong/internal/listen/chordid"
	"undersong/internal/listen/transcribe"
	"undersong/internal/midi/event"
	"undersong/internal/midi/smf"
	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
	"undersong/internal/text/file"
)

type hearOptions struct {
	file, in, chartOut string
	keyName, splitName string
	force              bool
	how                hearForm
	key                *pitch.Key // nil: to be found
	split              pitch.Num  // 0: to be found
}

func (a *App) hearCommand() *cobra.Command {
	o := &hearOptions{}
	c := &cobra.Command{
		Use:   "hear [FILE.mid]",
		Short: "Name the chords that are played",
		Long: `Hear names what you hold on the keyboard as it changes, fingers and pedal
together; or, given a MIDI file, writes down its chords. A file without notes is an
error (exit code 1).`,
		Example: `  undersong hear
  undersong hear --key F --roman --why
  undersong hear lesson.mid --chart-out lesson.chart`,
		Args: takesAndFile(),
		RunE: func(c *cobra.Command, args []string) error {
			o.file = fileAfter(0, args)
			return a.hear(c.Context(), o)
		},
	}
	o.bind(c)
	return c
}

func (o *hearOptions) bind(c *cobra.Command) {
	f := c.Flags()
	f.StringVar(&o.keyName, "key", "", "hear and spell chords in this `KEY`; without it the key is found")
	bindKeyboard(f, &o.in)
	f.StringVar(&o.splitName, "split", "", "the lowest `KEY` of the right hand, such as C4 or F#3; without it the hands are found")
	f.BoolVar(&o.how.roman, "roman", false, "the Roman numeral in the key as well")
	f.BoolVar(&o.how.why, "why", false, "what else it might be, and what speaks for each")
	f.BoolVar(&o.how.json, "json", false, "one JSON object for each chord")
	f.StringVar(&o.chartOut, "chart-out", "", "write what is heard in a file as a chart, to this `FILE`")
	f.BoolVar(&o.force, "force", false, "write over the file that --chart-out names")
}

// words checks what was typed.
func (o *hearOptions) words() (err error) {
	switch {
	case o.file == "" && o.chartOut != "":
		return usagef("--chart-out writes down a MIDI file; name one, as in undersong hear lesson.mid --chart-out lesson.chart")
	case o.force && o.chartOut == "":
		return usagef("--force belongs to --chart-out FILE")
	case o.file != "" && o.splitName != "":
		return usagef("--split is for live playing; in a file bass and chords are found without it")
	}
	if err := onlyLive(o.file, o.in); err != nil {
		return err
	}
	if o.split, err = parseSplit(o.splitName); err != nil {
		return err
	}
	o.key, err = parseKey("key", o.keyName)
	return err
}

// parseSplit is 0 for "".
func parseSplit(s string) (pitch.Num, error) {
	if s == "" {
		return 0, nil
	}
	p, err := pitch.ParsePitch(s)
	if err != nil {
		return 0, usagef("--split %q: %w", s, err)
	}
	if n := p.Num(); n > pitch.PianoLow && n <= pitch.PianoHigh {
		return n, nil
	}
	return 0, usagef("--split %s leaves one hand no keys: the piano's keys are A0 to C8, and C4 is its middle", p)
}

func (a *App) hear(ctx context.Context, o *hearOptions) error {
	if err := o.words(); err != nil {
		return err
	}
	if o.file != "" {
		return a.hearFile(o)
	}
	err := a.withKeyboard(ctx, o.in, func(ctx context.Context, k *keyboard) error { return a.hearLive(ctx, k, o) })
	return fileWillDo(err, "undersong hear")
}

// readNotes reads a MIDI file in which something is played.
func readNotes(path string) (*smf.Performance, error) {
	f, err := file.Open(path)
	if err != nil {
		return nil, err
	}
	defer func() { _ = f.Close() }() // opened for reading: nothing to lose
	p, err := smf.Read(f, path)
	if err != nil {
		return nil, err
	}
	for _, e := range p.Events {
		if e.IsNoteOn() && e.Channel() != event.Percussion {
			return p, nil
		}
	}
	return nil, errorf("no notes in %s: record again, or choose another file", path)
}

func (a *App) hearFile(o *hearOptions) error {
	p, err := readNotes(o.file)
	if err != nil {
		return err
	}
	segments, grid := transcribe.Chords(transcribe.FromFile(p), transcribe.Options{Key: o.key})
	if !slices.ContainsFunc(segments, func(s transcribe.Segment) bool { return len(s.Notes) > 0 }) {
		return errorf("%s: every note in it ends at the moment it begins, so that no chord can be named; record it again, or write it from its program with the lengths of the notes", o.file)
	}
	if o.chartOut != "" {
		if err := o.writeChart(segments, grid); err != nil {
			return err
		}
	}
	return a.writeSegments(o.how, segments)
}

func (a *App) writeSegments(how hearForm, segments []transcribe.Segment) error {
	ear := chordid.New()
	var before chordid.Candidate
	for i := range segments {
		s := &segments[i]
		h := heardChord{start: s.Start, end: s.End, chord: s.Chord, key: &s.Key, keys: s.Notes}
		if how.why {
			h.readings = readingsOf(ear, s, before)
		}
		if err := a.writeHeard(how, h); err != nil {
			return err
		}
		before = readingOf(s.Chord)
	}
	return nil
}

// readingsOf weighs the notes of a span by themselves, over the bass that was
// found.
func readingsOf(ear *chordid.Recognizer, s *transcribe.Segment, before chordid.Candidate) []chordid.Weighed {
	if len(s.Notes) == 0 {
		return nil
	}
	var set chord.Set
	for _, k := range s.Notes {
		set = set.With(k.Class())
	}
	bass := s.Notes[0].Class()
	if !s.Chord.IsNone() {
		bass = s.Chord.Bass.Class()
	}
	return ear.Explain(set, bass, &chordid.Context{Key: &s.Key, Before: before})
}

func readingOf(c chord.Chord) chordid.Candidate {
	if c.IsNone() {
		return chordid.Candidate{}
	}
	return chordid.Candidate{Root: c.Root.Class(), Type: c.Type, Bass: c.Bass.Class()}
}
