package cli

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"undersong/internal/music/meter"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/score"
)

// noArgs refuses words that are no command, naming the nearest one.
func noArgs(c *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	c.SuggestionsMinimumDistance = 2 // letters, as cobra has it
	text := fmt.Sprintf("there is no command %q", args[0])
	if near := c.SuggestionsFor(args[0]); len(near) > 0 {
		text += fmt.Sprintf("; did you mean %q?", near[0])
	}
	return usagef("%s (%s --help lists what there is)", text, c.CommandPath())
}

// helpCommand is cobra's, but for words that are no command: they may be a topic of
// the manual.
func (a *App) helpCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "help [COMMAND]",
		Short: "Help about any command",
		RunE: func(c *cobra.Command, args []string) error {
			about, rest, err := c.Root().Find(args)
			if err != nil {
				return err
			}
			if len(args) == 1 && about == c.Root() && isTopic(args[0]) {
				return a.showTopic(args[0])
			}
			if err := noArgs(about, rest); err != nil {
				return err
			}
			return about.Help()
		},
	}
}

// takes wants certain words after the command, such as a chart.
func takes(names ...string) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		switch {
		case len(args) < len(names):
			return usagef("%s wants %s; %s --help shows how", c.CommandPath(), strings.Join(names[len(args):], " and "), c.CommandPath())
		case len(args) > len(names):
			return usagef("%s does not take %q; %s", c.CommandPath(), args[len(names)], remedy(args[len(names)]))
		}
		return nil
	}
}

// remedy is what to do about a word too many.
func remedy(word string) string {
	switch strings.ToLower(word) {
	case "yes", "no", "on", "off", "true", "false":
		return "a flag alone is yes, --loop=false is no"
	}
	return "put names with spaces in quotes"
}

// takesAndFile wants those words too, and takes a MIDI file after them.
func takesAndFile(names ...string) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		if len(args) > len(names) {
			return takes(append(names, "a MIDI file")...)(c, args)
		}
		return takes(names...)(c, args)
	}
}

// fileAfter is the file after n other words; "" where none is named.
func fileAfter(n int, args []string) string {
	if len(args) > n {
		return args[n]
	}
	return ""
}

// parseBars reads "5-8" or "5". Empty is the whole chart.
func parseBars(s string) (score.Span, error) {
	if s == "" {
		return score.Span{}, nil
	}
	if s == "intro" {
		return score.IntroBars, nil
	}
	first, last, isRange := strings.Cut(s, "-")
	if !isRange {
		last = first
	}
	from, err1 := strconv.Atoi(strings.TrimSpace(first))
	to, err2 := strconv.Atoi(strings.TrimSpace(last))
	if err1 == nil && err2 == nil && 1 <= to && to < from {
		return score.Span{}, usagef("--bars %q: bar %d comes before bar %d; say %d-%d", s, to, from, to, from)
	}
	if err1 != nil || err2 != nil || from < 1 || to < from {
		return score.Span{}, usagef("--bars %q is not a run of bars such as 5-8, nor intro", s)
	}
	return score.Span{From: from, To: to}, nil
}

// parseRamp reads "72:96:4".
func parseRamp(s string) (*sitting.Ramp, error) {
	wrong := func(why string) (*sitting.Ramp, error) {
		return nil, usagef("--ramp %q %s; --ramp 72:96:4 goes from 72 to 96 in steps of 4 beats a minute", s, why)
	}
	parts := strings.Split(s, ":")
	if len(parts) != 3 {
		return wrong("is not FROM:TO:STEP")
	}
	from, err := meter.ParseTempo(parts[0])
	if err != nil {
		return wrong("begins wrong: " + err.Error())
	}
	to, err := meter.ParseTempo(parts[1])
	if err != nil {
		return wrong("ends wrong: " + err.Error())
	}
	step, err := strconv.ParseFloat(strings.TrimSpace(parts[2]), 64)
	switch {
	case to <= from:
		return wrong("does not rise")
	case err != nil || !(step >= leastStep && step <= float64(to-from)):
		return wrong(fmt.Sprintf("has no step from %g to %g", leastStep, float64(to-from)))
	}
	return &sitting.Ramp{From: from, To: to, Step: meter.Tempo(step)}, nil
}

// leastStep is the smallest step of a ramp, in beats a minute.
const leastStep = 0.5

// format is how findings are written.
type format uint8

const (
	usual format = iota
	plain
	jsonLines
)

// plainIf is for commands that know --plain alone.
func plainIf(asked bool) format {
	if asked {
		return plain
	}
	return usual
}

// formatFlags are --plain and --json.
type formatFlags struct{ plain, json bool }

func (f *formatFlags) bind(flags *pflag.FlagSet) {
	flags.BoolVar(&f.plain, "plain", false, "lines of text instead of the screen")
	flags.BoolVar(&f.json, "json", false, "JSON lines (undersong manual json)")
}

// bindKeyboard binds --in.
func bindKeyboard(f *pflag.FlagSet, in *string) {
	f.StringVar(in, "in", "", "the keyboard: any part of its `PORT`'s name")
}

func (f *formatFlags) format() (format, error) {
	switch {
	case f.plain && f.json:
		return usual, usagef("--plain and --json exclude each other")
	case f.plain:
		return plain, nil
	case f.json:
		return jsonLines, nil
	}
	return usual, nil
}
