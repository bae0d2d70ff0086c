package cli

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"undersong/internal/text/source"
	"undersong/internal/ui/manual"
)

// topics are the manual's pages about each command: its help points there, and
// "undersong manual COMMAND" opens the page.
var topics = map[string]string{
	"practice": "practising", "demo": "practising", "tune": "by-ear", "bass": "basses",
	"patterns": "patterns", "patterns show": "patterns", "patterns check": "writing-patterns",
	"patterns capture": "capturing", "play": "sounding", "print": "printing", "review": "reviewing", "hear": "hearing",
	"chart": "song-sheets", "ports": "keyboards", "version": "installing", "completion": "installing",
}

// pointToManual ends each command's help with the page that says the rest.
func pointToManual(root *cobra.Command) {
	for name, topic := range topics {
		c, _, err := root.Find(strings.Fields(name))
		if err != nil || c == root {
			continue
		}
		if c.Long == "" {
			c.Long = c.Short + "."
		}
		c.Long += "\n\nAll about it: undersong manual " + topic
	}
}

func (a *App) manualCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "manual [TOPIC]",
		Short: "The manual: what there is, and how it is used",
		Example: `  undersong manual
  undersong manual practising`,
		Args: func(c *cobra.Command, args []string) error {
			if len(args) == 0 {
				return nil
			}
			return takes("a topic")(c, args)
		},
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return a.listTopics()
			}
			return a.showTopic(args[0])
		},
	}
}

func (a *App) listTopics() error {
	rows := [][]string{{"TOPIC", "WHAT IT IS ABOUT"}}
	for _, t := range manual.Topics() {
		rows = append(rows, []string{t.Name, t.Summary})
	}
	var text strings.Builder
	if err := writeTable(&text, rows); err != nil {
		return err
	}
	return a.writeText(text.String() + "\nundersong manual TOPIC shows one; a command's name will do, such as undersong manual practice")
}

// mostColumns are as many as are read with ease; a wider terminal is not filled.
const mostColumns = 80

// showTopic shows the page of that name, or the one about a command.
func (a *App) showTopic(name string) error {
	if about, ok := topics[name]; ok && !isTopic(name) {
		name = about
	}
	t, ok := manual.Find(name)
	if !ok {
		return noTopic(name)
	}
	return a.writeText(t.Text(min(a.Columns(), mostColumns)))
}

func isTopic(name string) bool { _, ok := manual.Find(name); return ok }

func noTopic(name string) error {
	var names []string
	for _, t := range manual.Topics() {
		names = append(names, t.Name)
	}
	text := fmt.Sprintf("there is no topic %q", name)
	near := source.Nearest(name, names)
	for _, n := range names {
		if near == "" && len(name) > 3 && n[:min(4, len(n))] == name[:4] {
			near = n // "capture" for "capturing"
		}
	}
	if near != "" {
		text += fmt.Sprintf("; did you mean %s?", near)
	}
	return usagef("%s (undersong manual lists them)", text)
}
