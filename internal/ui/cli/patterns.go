package cli

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"undersong/internal/music/meter"
	"undersong/internal/sheet/pattern"
	"undersong/internal/text/file"
	"undersong/internal/text/visible"
)

type patternsOptions struct {
	meter, hand, texture, feel, part string
	level                            int
}

func (a *App) patternsCommand() *cobra.Command {
	o := &patternsOptions{}
	c := &cobra.Command{
		Use:   "patterns",
		Short: "List the accompaniments, show one, check your own",
		Long: `Patterns lists the accompaniments that undersong knows: name, meter, who plays,
level (1 first weeks, 5 advanced), texture, feel, and how it sounds.`,
		Example: `  undersong patterns --meter 3/4
  undersong patterns --texture arpeggio --level 3
  undersong patterns --part ending --meter 3/4
  undersong patterns show waltz --chords "C F G7 C"
  undersong patterns check mine.pattern`,
		Args: noArgs,
		RunE: func(*cobra.Command, []string) error { return a.patterns(o) },
	}
	c.Flags().StringVar(&o.meter, "meter", "", "only those that fit this `METER`, such as 3/4")
	c.Flags().IntVar(&o.level, "level", 0, "only those of this `LEVEL`, 1 to 5")
	c.Flags().StringVar(&o.hand, "hand", "", "only those played by left, right or both `HAND`s")
	c.Flags().StringVar(&o.texture, "texture", "", "only those of this `TEXTURE`: "+strings.Join(pattern.Textures(), ", "))
	c.Flags().StringVar(&o.feel, "feel", "", "only those with a straight or a swung `FEEL`")
	c.Flags().StringVar(&o.part, "part", pattern.Accompaniment.String(), "which `PART`s of a piece: "+strings.Join(pattern.PartWords(), ", "))
	c.AddCommand(a.patternsShowCommand(), a.patternsCheckCommand(), a.patternsCaptureCommand())
	return c
}

// wants says which patterns are asked for.
func (o *patternsOptions) wants() (func(*pattern.Pattern) bool, error) {
	var m meter.Meter
	if o.meter != "" {
		var err error
		if m, err = meter.Parse(o.meter); err != nil {
			return nil, asUsage(err)
		}
	}
	if o.level < 0 || o.level > 5 {
		return nil, usagef("--level %d is not a level from 1 to 5", o.level)
	}
	hands := map[string]string{"": "", "left": "left hand", "right": "right hand", "both": "both hands"}
	hand, ok := hands[o.hand]
	if !ok {
		return nil, usagef("--hand %q is not left, right or both", o.hand)
	}
	if o.texture != "" && !slices.Contains(pattern.Textures(), o.texture) {
		return nil, usagef("--texture %q is not one of %s", o.texture, strings.Join(pattern.Textures(), ", "))
	}
	if o.feel != "" && o.feel != "straight" && o.feel != "swung" {
		return nil, usagef("--feel %q is not straight or swung", o.feel)
	}
	return func(p *pattern.Pattern) bool {
		return (o.meter == "" || p.Fits(m)) && (o.level == 0 || p.Level == o.level) && (hand == "" || p.Hands() == hand) &&
			(o.texture == "" || p.Texture().String() == o.texture) && (o.feel == "" || (o.feel == "straight") == p.Swing.Straight())
	}, nil
}

func (a *App) patterns(o *patternsOptions) error {
	wanted, err := o.wants()
	if err != nil {
		return err
	}
	part, err := pattern.ParsePart(o.part)
	if err != nil {
		return asUsage(errorf("--%w", err))
	}
	cat, err := a.catalogue()
	if err != nil {
		return err
	}
	rows := [][]string{{"NAME", "METER", "HANDS", "LEVEL", "TEXTURE", "FEEL"}}
	var sounds []string
	for _, p := range cat.Of(part) {
		if wanted(p) {
			rows = append(rows, []string{p.Name, meterName(p), p.Hands(), fmt.Sprint(p.Level), p.Texture().String(), p.Swing.String()})
			sounds = append(sounds, p.Sounds)
		}
	}
	if sounds == nil {
		_, err := fmt.Fprintln(a.Out, "no pattern is like that; undersong patterns lists them all")
		return err
	}
	return a.writeListing(rows, sounds)
}

// writeListing prints a table, and under each row but the first how that one
// sounds.
func (a *App) writeListing(rows [][]string, sounds []string) error {
	var table strings.Builder
	if err := writeTable(&table, rows); err != nil {
		return err
	}
	lines := strings.SplitAfter(table.String(), "\n")
	text := lines[0]
	for i, s := range sounds {
		text += lines[i+1] + "    " + s + "\n"
	}
	_, err := fmt.Fprint(a.Out, text)
	return err
}

func meterName(p *pattern.Pattern) string {
	if p.AnyMeter() {
		return "any"
	}
	return p.Meter.String()
}

type patternsShowOptions struct {
	name, chart, chords, key string
}

func (a *App) patternsShowCommand() *cobra.Command {
	o := &patternsShowOptions{}
	c := &cobra.Command{
		Use:   "show NAME",
		Short: "Show a pattern, and its notes over chords",
		Long: `Show prints a pattern's grid and the notes that it asks for over a chart or a few
chords. C4 is middle C. Where the pattern leaves you free (any inversion, another
octave) one way is shown.`,
		Example: `  undersong patterns show waltz --chords "C F G7 C"
  undersong patterns show two-beat --chart red-river-valley.chart --key G`,
		Args: takes("a pattern's name"),
		RunE: func(_ *cobra.Command, args []string) error {
			o.name = args[0]
			return a.showPattern(o)
		},
	}
	c.Flags().StringVar(&o.chart, "chart", "", "over this `CHART`")
	c.Flags().StringVar(&o.chords, "chords", "", "over these `CHORDS`, one a bar, such as \"C F G7 C\"")
	bindKey(c.Flags(), &o.key)
	return c
}

func (a *App) patternsCheckCommand() *cobra.Command {
	return &cobra.Command{
		Use:     "check FILE.pattern",
		Short:   "Check a pattern file of your own, and show it over a few chords",
		Example: `  undersong patterns check mine.pattern`,
		Args:    takes("a pattern file"),
		RunE:    func(_ *cobra.Command, args []string) error { return a.checkPattern(args[0]) },
	}
}

func (a *App) showPattern(o *patternsShowOptions) error {
	move, err := parseMove("key", o.key)
	if err != nil {
		return err
	}
	if o.chart != "" && o.chords != "" {
		return usagef("--chart and --chords exclude each other")
	}
	p, _, err := a.findPattern(o.name)
	if err != nil {
		return err
	}
	if o.chart == "" && o.chords == "" && move == nil {
		return a.writeText(p.Text())
	}
	c, err := o.chartFor(a, p)
	if err != nil {
		return err
	}
	what := thisChart
	if o.chart == "" {
		what = "the chords are"
	}
	key, err := keyFor(what, c.Key, move)
	if err != nil {
		return err
	}
	return a.writeNotes(c, p, key, p.Text())
}

// fewChords are what a pattern is shown over unless others are asked for.
const (
	fewChords = "C F G7 C"
	fewMinor  = "Cm Fm G7 Cm"
)

func (a *App) checkPattern(path string) error {
	p, err := file.Parse(path, pattern.MaxSize, pattern.Parse)
	if err != nil {
		return err
	}
	c, err := chordChart(fewFor(p), p)
	if err != nil {
		return err
	}
	return a.writeNotes(c, p, nil, fmt.Sprintf("%s: %s, %s, level %d: in order\n\n%s", p.Name, meterName(p), p.Hands(), p.Level, p.Grids()))
}

// writeLine writes one line, whatever names stand in it.
func (a *App) writeLine(s string) error { return a.writeText(visible.Name(s)) }

func (a *App) writeText(s string) error {
	_, err := fmt.Fprint(a.Out, strings.TrimRight(s, "\n")+"\n")
	return err
}
