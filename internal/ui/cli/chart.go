package cli

import (
	"context"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"undersong/internal/sheet/abc"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/musicxml"
	"undersong/internal/sheet/song"
	"undersong/internal/text/shell"
)

type chartOptions struct {
	file    string
	key     wantedKey
	sheet   sheetFlags
	write   string
	force   bool
	json    bool
	compass bool
	in      string
}

func (a *App) chartCommand() *cobra.Command {
	o := &chartOptions{}
	c := &cobra.Command{
		Use:   "chart SHEET",
		Short: "Check and print a song sheet as a chart, in its own key or another",
		Long: `Chart reads a song sheet and prints the chart of it: a chart, a lyric sheet (words
with chord names), ABC, MusicXML or a MIDI file, told apart by what is in it. What was
assumed, or could not be carried over, is told in a line each.`,
		Example: `  undersong chart red-river-valley.chart --key G
  undersong chart tune.mid --write tune.chart
  undersong chart red-river-valley.chart --range A3-D5`,
		Args: takes("a song sheet"),
		RunE: func(c *cobra.Command, args []string) error {
			o.file = args[0]
			return a.chart(c.Context(), o)
		},
	}
	f := c.Flags()
	bindKey(f, &o.key.name)
	f.StringVar(&o.key.voice, "range", "", "the keys that suit a voice, best first: its lowest and highest easy `NOTES`, such as A3-D5, or held: two keys that you hold on the piano")
	bindKeyboard(f, &o.in)
	f.BoolVar(&o.compass, "compass", false, "how high and how low the tune lies, in each section")
	o.sheet.bind(f)
	f.StringVar(&o.write, "write", "", "write the chart to a `FILE`, to be corrected there; in another notation where it ends in .abc or .musicxml")
	f.BoolVar(&o.force, "force", false, "write over a file that is there")
	f.BoolVar(&o.json, "json", false, "one JSON object instead: bars, tune, chords and words")
	return c
}

func (a *App) chart(ctx context.Context, o *chartOptions) error {
	if err := o.check(); err != nil {
		return err
	}
	w, err := o.sheet.wish()
	if err != nil {
		return err
	}
	s, err := readSheet(o.file, w)
	if err != nil {
		return err
	}
	if o.json && o.key.name == "" {
		return a.writeSong(s)
	}
	c, told, err := s.ToChart(o.file)
	a.tellNotices(o.file, append(s.Notices, told...), len(s.Notices)+len(told))
	if err != nil {
		return err
	}
	if o.voiceHeld() {
		r, err := a.heldRange(ctx, o.in)
		if err != nil {
			return err
		}
		o.key.rng = &r
	}
	return a.showChart(c, o)
}

// voiceHeld reports a range that is to be shown on the keyboard.
func (o *chartOptions) voiceHeld() bool { return o.key.voice == held }

// check looks at what was typed.
func (o *chartOptions) check() error {
	ways := 0
	for _, asked := range []bool{o.write != "", o.json, o.compass, o.key.voice != ""} {
		if asked {
			ways++
		}
	}
	if ways > 1 {
		return usagef("--write, --json, --compass and --range each print something else: choose one")
	}
	if o.force && o.write == "" {
		return usagef("--force belongs to --write")
	}
	if end := strings.ToLower(filepath.Ext(o.write)); slices.Contains(printedKinds, end) {
		return usagef("--write %s: a chart is written as .chart, .abc or .musicxml; undersong print %s --out %s makes %s", o.write, shell.File(o.file), shell.File(o.write), end)
	}
	if o.in != "" && !o.voiceHeld() {
		return usagef("--in belongs to --range held")
	}
	if o.voiceHeld() {
		if o.key.name != "" {
			return usagef("--key and --range both say which key: choose one")
		}
		return nil
	}
	return o.key.read()
}

// printedKinds are ends of files that print writes, and no notation of charts.
var printedKinds = strings.Fields(".pdf .html .svg .ly .mid")

// showChart prints a chart in the way that was asked for.
func (a *App) showChart(c *chart.Chart, o *chartOptions) error {
	if o.key.rng != nil {
		return a.writeKeys(c, *o.key.rng, o.file)
	}
	key, err := keyFor(thisChart, c.Key, o.key.move)
	if err != nil {
		return err
	}
	moved := c
	if key != nil {
		moved = c.In(*key)
	}
	switch {
	case o.json:
		return a.writeSong(song.FromChart(moved))
	case o.compass:
		return a.writeCompass(moved)
	case o.write != "":
		if err := save("the chart", o.write, notated(moved, o.write), o.force); err != nil {
			return err
		}
		return a.writeLine("written: " + o.write)
	}
	if err := a.writeText(moved.Text()); err != nil {
		return err
	}
	return a.checkAsked(c, o.file)
}

// notated is a chart in the notation that a file's name asks for: the chart's own, or
// one that other programs read and from which it comes back whole.
func notated(c *chart.Chart, path string) string {
	switch strings.ToLower(filepath.Ext(path)) {
	case ".abc":
		return string(abc.Write(c))
	case ".musicxml", ".xml":
		return string(musicxml.Write(c))
	}
	return c.Text()
}

func (a *App) writeSong(s *song.Song) error {
	out, err := s.Dump().JSON()
	if err != nil {
		return err
	}
	return a.writeText(string(out))
}
