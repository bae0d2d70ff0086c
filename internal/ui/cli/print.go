package cli

import (
	"context"
	"errors"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"undersong/internal/play/playback"
	"undersong/internal/sheet/abc"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/engrave"
	"undersong/internal/sheet/score"
	"undersong/internal/ui/page"
)

type printOptions struct {
	piece         pieceOptions
	out           string
	sheet         string
	paper         string
	engraver      string
	noTune, force bool
}

// The kinds of file that are written, by their ends.
var (
	scoreKinds = strings.Fields(".musicxml .xml .ly .mid .svg .html .pdf")
	chartKinds = strings.Fields(".abc")
	sheetKinds = strings.Fields(".html .pdf")
)

var pages = strings.Fields("words bars outline")

func (a *App) printCommand() *cobra.Command {
	o := &printOptions{}
	c := &cobra.Command{
		Use:   "print CHART",
		Short: "A page to play from, as notes, words or chords",
		Long: `Print writes a way to play a chart as notes on a grand staff, with chord names, tune
and words; without a pattern, tune, words and chords alone. What it writes follows from
the file's name: a page that prints (.html, .pdf, .svg), or notes for other programs
(.musicxml, .ly, .mid, .abc). With --sheet it is words and chord names, the chords bar
by bar, or the tune's ups and downs.`,
		Example: `  undersong print clementine.chart --pattern waltz --out clementine.html
  undersong print red-river-valley.chart --key G --out river.musicxml
  undersong print clementine.chart --sheet words --out words.html`,
		Args: takes("a chart"),
		RunE: func(c *cobra.Command, args []string) error {
			o.piece.chart = args[0]
			return a.print(c.Context(), o)
		},
	}
	o.piece.bindMusic(c)
	f := c.Flags()
	f.StringVar(&o.out, "out", "", "the `FILE` to write; its end says what it is")
	f.StringVar(&o.sheet, "sheet", "", "a sheet without notes: `words, bars or outline`")
	f.StringVar(&o.paper, "paper", "a4", "`a4 or letter`")
	f.StringVar(&o.engraver, "engraver", "", "another engraving module in place of the one that is built in: a `FILE.wasm`")
	f.BoolVar(&o.noTune, "no-melody", false, "without a staff for the tune")
	f.BoolVar(&o.force, "force", false, "write over files that are there")
	return c
}

// kind is the end of the file's name.
func (o *printOptions) kind() string { return strings.ToLower(filepath.Ext(o.out)) }

func (o *printOptions) check() error {
	kinds := slices.Concat(scoreKinds, chartKinds)
	if o.sheet != "" {
		kinds = sheetKinds
	}
	switch {
	case o.out == "":
		return usagef("print wants --out FILE, whose name ends in one of %s", strings.Join(kinds, " "))
	case o.sheet != "" && !slices.Contains(pages, o.sheet):
		return usagef("--sheet %q is not one of %s", o.sheet, strings.Join(pages, ", "))
	case o.sheet != "" && (o.piece.pattern != "" || o.piece.hand != "" || o.piece.bars != "" || o.noTune):
		return usagef("--sheet %s shows the chart itself: --pattern, --hand, --bars and --no-melody are for notes", o.sheet)
	case !slices.Contains(kinds, o.kind()):
		return usagef("--out %s: its name ends in none of %s", o.out, strings.Join(kinds, " "))
	case o.paper != "a4" && o.paper != "letter":
		return usagef("--paper %q is neither a4 nor letter", o.paper)
	}
	if o.kind() == ".abc" && (o.piece.pattern != "" || o.piece.hand != "" || o.piece.bars != "" || o.noTune) {
		return usagef("--out %s: abc has the chart's own tune, words and chords; --pattern, --hand, --bars and --no-melody are for other notes", o.out)
	}
	return free("the page", o.out, o.force)
}

func (o *printOptions) size() page.Paper {
	if o.paper == "letter" {
		return page.Letter
	}
	return page.A4
}

func (a *App) print(ctx context.Context, o *printOptions) error {
	if err := o.check(); err != nil {
		return err
	}
	if o.sheet != "" || slices.Contains(chartKinds, o.kind()) {
		c, err := a.moved(o)
		if err != nil {
			return err
		}
		return a.printChart(ctx, o, c)
	}
	s, err := a.printed(o)
	if err != nil {
		return err
	}
	return a.printScore(ctx, o, s)
}

// moved is the chart in the key that was asked for.
func (a *App) moved(o *printOptions) (*chart.Chart, error) {
	if err := o.piece.key.read(); err != nil {
		return nil, err
	}
	c, err := a.chartOf(o.piece.chart)
	if err != nil {
		return nil, err
	}
	key, err := o.piece.key.of(a, c)
	if err != nil || key == nil {
		return c, err
	}
	return c.In(*key), nil
}

// printChart writes what needs no pattern.
func (a *App) printChart(ctx context.Context, o *printOptions, c *chart.Chart) error {
	switch o.sheet {
	case "words":
		return a.printHTML(ctx, o, page.Words(c, o.size()), nil)
	case "bars":
		return a.printHTML(ctx, o, page.Bars(c, o.size()), nil)
	case "outline":
		html, err := page.Outline(c, o.size())
		if err != nil {
			return errorf("%s: %w; write it on lines that begin with m:", o.piece.chart, err)
		}
		return a.printHTML(ctx, o, html, nil)
	}
	return a.written(o, string(abc.Write(c)))
}

// printed is what is played; the tune alone where neither the chart nor a flag names
// a pattern.
func (a *App) printed(o *printOptions) (*score.Score, error) {
	o.piece.level = "steady" // nobody is judged
	p, err := o.piece.load(a)
	var none *noPatternError
	if errors.As(err, &none) && o.piece.hand == "" {
		return o.tuneAlone(p)
	}
	if err != nil {
		return nil, err
	}
	return a.built(p, false)
}

// tuneAlone is the chart's tune and chords.
func (o *printOptions) tuneAlone(p *piece) (*score.Score, error) {
	if o.noTune {
		return nil, usagef("--no-melody leaves nothing to print, since the chart names no pattern: choose one with --pattern NAME")
	}
	s, err := score.Tune(p.chart, score.Options{Key: p.key, Tempo: p.tempo, Span: p.span})
	if errors.Is(err, score.ErrNoTune) {
		return nil, usagef("the chart names no pattern and has no tune: choose one with --pattern NAME; undersong patterns --meter %s lists what fits, and --sheet words or bars needs none", p.chart.Meter)
	}
	return s, err
}

// printScore writes notes.
func (a *App) printScore(ctx context.Context, o *printOptions, s *score.Score) error {
	options := engrave.Options{NoTune: o.noTune}
	switch o.kind() {
	case ".musicxml", ".xml":
		return a.written(o, string(engrave.MusicXML(s, options)))
	case ".ly":
		return a.written(o, engrave.LilyPond(s, options))
	case ".mid":
		return a.printMIDI(o, s)
	}
	options.Names = true
	return a.engraved(ctx, o, s.Title, engrave.MusicXML(s, options))
}

// printMIDI writes what play does.
func (a *App) printMIDI(o *printOptions, s *score.Score) error {
	p := &playOptions{piece: o.piece, out: o.out, force: o.force, noTune: o.noTune, times: 1}
	parts := []playback.Part{playback.Tune}
	if s.Pattern != nil {
		var err error
		if parts, err = p.parts(s); err != nil {
			return err
		}
	}
	return a.writeParts(p, s, playback.Options{Parts: parts, Seed: 1, Times: 1})
}

// written saves a text and says so.
func (a *App) written(o *printOptions, text string) error {
	if err := save("the page", o.out, text, o.force); err != nil {
		return err
	}
	return a.writeLine("written: " + o.out)
}
