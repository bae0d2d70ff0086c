package cli

import (
	"github.com/spf13/cobra"

	"undersong/internal/intake/sheets"
	"undersong/internal/session/review"
	"undersong/internal/session/sitting"
	"undersong/internal/text/file"
	"undersong/internal/text/visible"
	"undersong/internal/ui/lines"
)

type reviewOptions struct {
	piece  pieceOptions
	output formatFlags
	skip   int
	file   string
}

func (a *App) reviewCommand() *cobra.Command {
	o := &reviewOptions{}
	c := &cobra.Command{
		Use:   "review CHART PERFORMANCE.mid",
		Short: "Judge a recording: what was right, and what to change",
		Long: `Review listens to a MIDI file as if it were played now. The file's first tick is
beat 1 of bar 1, or of the intro or upbeat where the chart has one, and its tempo
map is the beat. A file without notes is an error (exit code 1).`,
		Example: `  undersong review red-river-valley.chart lesson.mid --pattern two-beat
  undersong review clementine.chart lesson.mid --pattern waltz --skip-bars 1 --json
  undersong review clementine.chart lesson.mid --pattern waltz --follow`,
		Args: takes("a chart", "a MIDI file"),
		RunE: func(_ *cobra.Command, args []string) error {
			o.piece.chart, o.file = args[0], args[1]
			return a.review(o)
		},
	}
	o.piece.bind(c)
	c.Flags().BoolVar(&o.output.json, "json", false, "JSON lines (undersong manual json)")
	c.Flags().BoolVar(&o.output.plain, "plain", false, "plain lines of text, as without it")
	c.Flags().IntVar(&o.skip, "skip-bars", 0, "pass over a count-in of `N` bars")
	return c
}

// mostSkipped is more count-in than any file has.
const mostSkipped = 10000

func (a *App) review(o *reviewOptions) error {
	format, err := o.output.format()
	if err != nil {
		return err
	}
	if o.skip < 0 || o.skip > mostSkipped {
		return usagef("--skip-bars %d is not a number of bars from 0 up", o.skip)
	}
	if o.piece.follow && o.skip > 0 {
		return usagef("--skip-bars counts bars of the file's tempo; with --follow nothing has to be passed over")
	}
	p, err := o.piece.load(a)
	if err != nil {
		return err
	}
	performance, err := readNotes(o.file)
	if err != nil {
		return inOrder(err, o.piece.chart)
	}
	r, err := review.New(performance, review.Options{
		Chart: p.chart, Pattern: p.pattern, Others: p.others, Parts: p.parts, Key: p.key, Tempo: p.tempo, Span: p.span, Only: p.only, Level: p.level, SkipBars: o.skip, Follow: p.follow, Keyboard: p.keyboard,
	})
	if err != nil {
		return err
	}
	to := a.lines(format)
	if plain, ok := to.(*lines.Plain); ok {
		plain.All = true
	}
	return r.Run(p.heading(r.Score), func(told sitting.Record) error { return to.Record(told) })
}

// inOrder adds to the error of a recording that its sheet is one: they were named the
// wrong way round.
func inOrder(err error, sheet string) error {
	if src, e := file.Read(sheet, 64); e == nil && sheets.KindOf(src, sheet) == sheets.MIDI {
		return errorf("%w; is %s the recording? The chart comes first, and a MIDI file after it", err, visible.Name(sheet))
	}
	return err
}

// lines is the face that writes in a format.
func (a *App) lines(f format) face {
	if f == jsonLines {
		return lines.NewJSON(a.Out)
	}
	return a.plainWriter()
}

// plainWriter breaks long lines where a terminal would, but between words.
func (a *App) plainWriter() *lines.Plain {
	w := lines.NewPlain(a.Out)
	if a.Terminal() {
		w.Width = a.Columns()
	}
	return w
}
