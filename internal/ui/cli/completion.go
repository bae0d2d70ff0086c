package cli

import (
	"io"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"undersong/internal/midi/port"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/song"
	"undersong/internal/text/visible"
	"undersong/internal/ui/manual"
)

// shells are those that completion is written for.
var shells = []string{"bash", "zsh", "fish"}

func (a *App) completionCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "completion SHELL",
		Short: "What makes the Tab key finish commands, for bash, zsh or fish",
		Long: `Completion writes what a shell needs so that the Tab key finishes commands, flags,
charts, patterns, keys, ports and topics of the manual. make install puts it where
bash, zsh and fish look for it.`,
		Example: `  undersong completion bash`,
		Args:    takes("the name of a shell"),
		RunE: func(c *cobra.Command, args []string) error {
			write := map[string]func(io.Writer) error{
				"bash": func(w io.Writer) error { return c.Root().GenBashCompletionV2(w, true) },
				"zsh":  c.Root().GenZshCompletion,
				"fish": func(w io.Writer) error { return fishCompletion(c.Root(), w) },
			}[args[0]]
			if write == nil {
				return usagef("there is no completion for %q, only for %s", args[0], strings.Join(shells, ", "))
			}
			return write(a.Out)
		},
	}
}

// Cobra's completion for fish offers every file where files of a kind are asked for.
const (
	everyFile = "        # Do full file completion instead\n        return 1\n"

	filesOfKind = `        # The files of that kind, and folders
        set -l kinds (string join '|' $__undersong_comp_results)
        set --global __undersong_comp_results (complete -C "'' "(commandline -ct) | string replace -r '\t.*' '' | string match -r ".*(?:/|\.(?:$kinds))\$")
        return 0
`
)

func fishCompletion(root *cobra.Command, w io.Writer) error {
	var b strings.Builder
	if err := root.GenFishCompletion(&b, true); err != nil {
		return err
	}
	_, err := io.WriteString(w, strings.Replace(b.String(), everyFile, filesOfKind, 1))
	return err
}

// completes lets the Tab key finish what follows commands and flags. What that may
// be is read from their help: "CHART", "FILE.mid", "left or right".
func (a *App) completes(c *cobra.Command) {
	for _, sub := range c.Commands() {
		a.completes(sub)
	}
	words := strings.Fields(strings.NewReplacer("[", "", "]", "").Replace(c.Use))[1:]
	c.ValidArgsFunction = func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
		if len(args) >= len(words) {
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		return a.values(c, words[len(args)], c.Name(), args)
	}
	c.Flags().VisitAll(func(f *pflag.Flag) {
		name, _ := pflag.UnquoteUsage(f)
		// The flag is there and has no completion yet, so that this cannot fail.
		_ = c.RegisterFlagCompletionFunc(f.Name, func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
			return a.values(c, name, f.Name, args)
		})
	})
}

// unquoteFlags takes the quotes out of what flags do: help reads the name of a value
// from between them, and a shell would show them.
func unquoteFlags(c *cobra.Command) {
	for _, sub := range c.Commands() {
		unquoteFlags(sub)
	}
	c.Flags().VisitAll(func(f *pflag.Flag) { _, f.Usage = pflag.UnquoteUsage(f) })
}

// choices is what help writes of a few words to choose from.
var choices = regexp.MustCompile(`^[a-z0-9-]+((, | or )[a-z0-9-]+)*$`)

// values are what may stand where help says what, behind a command or a flag that
// is called of.
func (a *App) values(c *cobra.Command, what, of string, args []string) ([]string, cobra.ShellCompDirective) {
	ext := strings.TrimPrefix(filepath.Ext(what), ".")
	if what == "CHART" {
		ext = "chart"
	}
	switch {
	case ext != "":
		return []string{ext}, cobra.ShellCompDirectiveFilterFileExt
	case what == "FILE":
		return nil, cobra.ShellCompDirectiveDefault
	}
	return slices.DeleteFunc(a.words(c, what, of, args), notTyped), cobra.ShellCompDirectiveNoFileComp
}

// notTyped reports a name with signs that nobody types: a shell that wrote it would
// send them to the terminal.
func notTyped(word string) bool {
	name, _, _ := strings.Cut(word, "\t")
	return visible.Name(name) != name
}

// words are values that are no files.
func (a *App) words(c *cobra.Command, what, of string, args []string) []string {
	switch {
	case choices.MatchString(what):
		return strings.Split(strings.ReplaceAll(what, " or ", ", "), ", ")
	case of == "pattern", of == "show":
		return a.patternNames(of == "show")
	case what == "KEY" && of != "split":
		return keyNames(args)
	case what == "PORT", of == "use":
		return a.portNames(of)
	case what == "TEXTURE":
		return pattern.Textures()
	case what == "PART":
		return pattern.PartWords()
	case what == "FEEL":
		return []string{"straight", "swung"}
	case what == "METER":
		return strings.Fields("2/2 2/4 3/4 4/4 5/4 6/8 9/8 12/8")
	case what == "SHELL":
		return shells
	case what == "TOPIC":
		return topicNames()
	case what == "COMMAND":
		return commandNames(c.Root())
	}
	return nil
}

// described is a word and what a shell may show beside it.
func described(word, text string) string { return word + "\t" + text }

// patternNames are the accompaniments, and the player's own in this folder; or
// those for one part of a piece too.
func (a *App) patternNames(all bool) []string {
	cat, err := a.catalogue()
	if err != nil {
		return nil
	}
	names, _ := filepath.Glob("*" + pattern.FileSuffix) // this pattern is well formed
	for _, p := range cat.All() {
		if all || p.Part == pattern.Accompaniment {
			names = append(names, described(p.Name, p.Sounds))
		}
	}
	return names
}

// keyNames are all keys, or those of a chart's mode where args begins with one.
func keyNames(args []string) []string {
	major := strings.Fields("C G D A E B F# Db Ab Eb Bb F")
	minor := strings.Fields("Am Em Bm F#m C#m G#m Ebm Bbm Fm Cm Gm Dm")
	if len(args) > 0 {
		if s, err := readSheet(args[0], song.Wish{}); err == nil && s.Key.Minor {
			return minor
		} else if err == nil {
			return major
		}
	}
	return append(major, minor...)
}

// portNames are the outputs for --out, and the inputs for others.
func (a *App) portNames(of string) []string {
	driver := a.Driver(a.Clock())
	defer func() { _ = driver.Close() }() // nothing was opened
	list := driver.Inputs
	if of == "out" {
		list = driver.Outputs
	}
	names, _ := list() // without them nothing is offered
	for i := range names {
		names[i] = port.BaseName(names[i])
	}
	return names
}

func topicNames() []string {
	var names []string
	for _, t := range manual.Topics() {
		names = append(names, described(t.Name, t.Summary))
	}
	return names
}

func commandNames(root *cobra.Command) []string {
	var names []string
	for _, c := range root.Commands() {
		if c.IsAvailableCommand() {
			names = append(names, described(c.Name(), c.Short))
		}
	}
	return append(names, topicNames()...)
}
