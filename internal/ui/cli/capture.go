package cli

import (
	"context"
	"errors"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"undersong/internal/listen/capture"
	"undersong/internal/midi/event"
	"undersong/internal/midi/smf"
	"undersong/internal/music/chord"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/text/visible"
	"undersong/internal/ui/words"
)

type captureOptions struct {
	name, file           string
	chord, chords, key   string
	meter, tempo         string
	hand, firstBeat      string
	inversions, click    bool
	in, out, playIn      string
	to                   string
	force, plain, silent bool

	known  capture.Options
	playTo *pitch.Key
}

func (a *App) patternsCaptureCommand() *cobra.Command {
	o := &captureOptions{}
	c := &cobra.Command{
		Use:   "capture NAME [FILE.mid]",
		Short: "Play an accompaniment, and get its pattern",
		Long: `Capture listens while you play one to four bars of an accompaniment over a chord
that you name, or hears a MIDI file of it, and writes it down as a pattern. Your
first note is beat 1 of bar 1; a bar and a half of silence ends it. Then it plays
the pattern back in another key.`,
		Example: `  undersong patterns capture --chord C my-waltz
  undersong patterns capture --chords "C F G7 C" my-bass lesson.mid
  undersong practice clementine.chart --pattern my-waltz.pattern`,
		Args: takesAndFile("a name for the pattern"),
		RunE: func(c *cobra.Command, args []string) error {
			o.name, o.file = args[0], fileAfter(1, args)
			return a.capture(c.Context(), o)
		},
	}
	o.bind(c)
	return c
}

func (o *captureOptions) bind(c *cobra.Command) {
	f := c.Flags()
	f.StringVar(&o.chord, "chord", "", "the `CHORD` that it is played over, such as C or Am7")
	f.StringVar(&o.chords, "chords", "", "or several `CHORDS`, one a bar, such as \"C F G7 C\"; a chord for two bars stands twice")
	f.StringVar(&o.key, "key", "", "the `KEY`; without it that of the first chord")
	f.StringVar(&o.meter, "meter", "", "the `METER`, such as 3/4; without it it is found")
	f.StringVar(&o.tempo, "tempo", "", "about how fast it is, in beats a minute (`BPM`); without it it is found")
	f.StringVar(&o.hand, "hand", "", "who plays: `left, right or both`; without it the hands are found")
	f.StringVar(&o.firstBeat, "first-beat", "", "the `BEAT` of bar 1 that the first note falls on, such as 2 or 1.5")
	f.BoolVar(&o.inversions, "inversions", false, "whole chords ask for the inversion that was played")
	f.BoolVar(&o.click, "click", false, "a click, a bar before you and then with you; with --meter and --tempo")
	bindKeyboard(f, &o.in)
	f.StringVar(&o.out, "out", "", "where it is played back: any part of a `PORT`'s name, or a MIDI file to write, which ends in .mid")
	f.StringVar(&o.playIn, "play-in", "", "the `KEY` to play it back in, or how far away; without it a fifth higher")
	f.BoolVar(&o.silent, "silent", false, "do not play it back")
	f.StringVar(&o.to, "to", "", "the pattern's `FILE`; without it NAME.pattern in this folder")
	f.BoolVar(&o.force, "force", false, "write over a file that is there")
	f.BoolVar(&o.plain, "plain", false, "lines of text instead of the screen")
}

// words checks what was typed.
func (o *captureOptions) words() (err error) {
	o.name = strings.TrimSuffix(o.name, pattern.FileSuffix)
	if err := pattern.CheckName(o.name); err != nil {
		return asUsage(err)
	}
	o.known = capture.Options{Name: o.name, Inversions: o.inversions}
	if o.known.Chords, err = o.row(); err != nil {
		return err
	}
	if soundFile(o.out) {
		return notWritten(o.out)
	}
	if o.known.Key, err = parseKey("key", o.key); err != nil {
		return err
	}
	move, err := parseMove("play-in", o.playIn)
	if err != nil {
		return err
	}
	if move != nil {
		key := move.From(o.home())
		o.playTo = &key
	}
	if o.meter != "" {
		if o.known.Meter, err = meter.Parse(o.meter); err != nil {
			return asUsage(err)
		}
		if !capture.Knows(o.known.Meter) {
			return usagef("--meter %s: patterns are captured in %s", o.meter, capture.MeterNames())
		}
	}
	if o.tempo != "" {
		if o.known.Tempo, err = meter.ParseTempo(o.tempo); err != nil {
			return asUsage(err)
		}
	}
	if err := o.handAndBeat(); err != nil {
		return err
	}
	return o.together()
}

// row is the chords, one a bar.
func (o *captureOptions) row() ([]chord.Chord, error) {
	if (o.chord == "") == (o.chords == "") {
		return nil, usagef("name the chord that it is played over, as in --chord C, or several, one a bar, as in --chords \"C F G7 C\"")
	}
	var all []chord.Chord
	for _, name := range strings.Fields(strings.ReplaceAll(o.chord+o.chords, "|", " ")) {
		c, err := chord.Parse(name)
		if err != nil {
			return nil, asUsage(chordError(err))
		}
		if c.IsNone() {
			return nil, usagef("a pattern is played over chords: %s is none", name)
		}
		if c.Bass != c.Root {
			return nil, asUsage(&capture.SlashError{Chord: c})
		}
		all = append(all, c)
	}
	if o.chord != "" && len(all) != 1 {
		return nil, usagef("--chord is one chord; --chords names several, one a bar")
	}
	return all, nil
}

func (o *captureOptions) handAndBeat() error {
	hands := map[string]capture.Hands{"": capture.FindHands, "left": capture.LeftAlone, "right": capture.RightAlone, "both": capture.BothHands}
	var ok bool
	if o.known.Hands, ok = hands[o.hand]; !ok {
		return usagef("--hand %q is not left, right or both", o.hand)
	}
	if o.firstBeat != "" {
		beat, err := strconv.ParseFloat(o.firstBeat, 64)
		if err != nil || !(beat >= 1 && beat < 13) {
			return usagef("--first-beat %q is not a beat of the bar, such as 2 or 1.5", o.firstBeat)
		}
		o.known.OnBeat = beat
	}
	return nil
}

// together looks at flags that bear on each other.
func (o *captureOptions) together() error {
	switch {
	case o.click && (o.meter == "" || o.tempo == ""):
		return usagef("--click needs --meter and --tempo")
	case o.file != "" && (o.click || o.in != ""):
		return usagef("--click and --in are for playing; %s is heard as it is", o.file)
	case o.silent && (o.playIn != "" || o.out != "" && !o.click):
		return usagef("--silent plays nothing back: leave --play-in and --out out")
	case o.playTo != nil && o.playTo.Minor != o.home().Minor:
		return usagef("--play-in %s: it is played in %s; name a key of the same mode", o.playIn, o.home())
	}
	return nil
}

func (a *App) capture(ctx context.Context, o *captureOptions) error {
	if err := o.words(); err != nil {
		return err
	}
	if err := free("the pattern", o.path(), o.force); err != nil {
		return err
	}
	if o.toMIDI() {
		if err := free("the MIDI file", o.out, o.force); err != nil {
			return err
		}
	}
	if o.file != "" {
		return a.captureFile(ctx, o)
	}
	return a.captureLive(ctx, o)
}

// path is the pattern's file.
func (o *captureOptions) path() string {
	if o.to != "" {
		return o.to
	}
	return o.name + pattern.FileSuffix
}

// captureFile hears a MIDI file: first as its own tempo and meter have it, where
// they were not told otherwise; where that makes no sense, by ear alone.
func (a *App) captureFile(ctx context.Context, o *captureOptions) error {
	p, err := readNotes(o.file)
	if err != nil {
		return err
	}
	got, err := capture.Capture(p.Events, o.hinted(p))
	if err != nil {
		got, err = capture.Capture(p.Events, o.known)
	}
	if err != nil {
		return errorf("%s: %w", o.file, err)
	}
	if err := a.keep(o, got); err != nil {
		return err
	}
	if o.silent || o.playIn == "" && o.out == "" {
		return nil
	}
	return a.playBack(ctx, o, got)
}

// hinted adds what a file says of itself and the player did not. A file that says
// the usual tempo may say nothing: it is trusted where a note is near each beat.
func (o *captureOptions) hinted(p *smf.Performance) capture.Options {
	known := o.known
	if known.Meter == (meter.Meter{}) && len(p.Meters) == 1 {
		if m := (meter.Meter{Num: p.Meters[0].Num, Den: p.Meters[0].Den}); capture.Knows(m) {
			known.Meter = m
		}
	}
	if known.Tempo == 0 && len(p.Tempos) == 1 && p.TicksPerQuarter > 0 {
		quarter := float64(p.Tempos[0].MicrosPerQuarter) / 1e6
		if known.Meter.Compound() {
			quarter *= 1.5
		}
		tempo := meter.Tempo(60 / quarter)
		if tempo >= meter.SlowestTempo && tempo <= meter.FastestTempo && onTicks(p) {
			known.Tempo = tempo
		}
	}
	return known
}

// onTicks reports that most notes of a file, after its first stroke, lie near its
// eighths or triplets, within a twelfth of a quarter: by chance a third or more
// would not.
func onTicks(p *smf.Performance) bool {
	near, all := 0, 0
	q := int64(p.TicksPerQuarter)
	first := int64(-1)
	for i, e := range p.Events {
		if !e.IsNoteOn() || e.Channel() == event.Percussion {
			continue
		}
		if first < 0 {
			first = p.Ticks[i]
		}
		at := p.Ticks[i] - first
		if at < q/8 {
			continue // every first stroke lies on a beat
		}
		at %= q
		all++
		for _, grid := range []int64{0, q / 3, q / 2, 2 * q / 3, q} {
			if d := at - grid; d <= q/24 && d >= -q/24 {
				near++
				break
			}
		}
	}
	return all > 0 && near*10 >= all*9
}

// keep writes the pattern and prints it.
func (a *App) keep(o *captureOptions, got *capture.Captured) error {
	text := patternText(got)
	if err := save("the pattern", o.path(), text, o.force); err != nil {
		return errors.Join(err, a.writeText(text)) // it was played, and is not lost
	}
	return a.writeText(text + "\nwritten: " + visible.Name(o.path()))
}

// patternText is the pattern's file: what was guessed stands under it.
func patternText(got *capture.Captured) string {
	words.Describe(got)
	text := got.Pattern.Text() + "\n"
	for _, r := range words.CapturedLines(got) {
		text += "# " + r + "\n"
	}
	return text
}
