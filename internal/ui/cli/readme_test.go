package cli

import (
	"context"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/ui/manual"
)

// mostLines is how long a README may be that is read.
const mostLines = 150

func TestTheReadmeIsOneThatIsRead(t *testing.T) {
	for _, d := range docs(t) {
		if d.name() != "README.md" {
			continue
		}
		assert.LessOrEqual(t, len(d.lines)-1, mostLines)
		for _, topic := range manual.Topics() {
			assert.Contains(t, strings.Join(d.lines, "\n"), "["+topic.Name+"](internal/ui/manual/"+topic.Name+".md)")
		}
	}
}

func TestEveryLinkLeadsSomewhere(t *testing.T) {
	for _, d := range docs(t) {
		for _, link := range regexp.MustCompile(`\]\(([^)#]*)\)`).FindAllStringSubmatch(strings.Join(d.lines, "\n"), -1) {
			_, err := os.Stat(filepath.Join(filepath.Dir(d.path), link[1]))
			assert.NoError(t, err, d.name())
		}
	}
}

// Commands within sentences may leave something out, but not the right words.
func TestEveryCommandInASentenceIsUnderstood(t *testing.T) {
	for _, d := range docs(t) {
		for _, span := range regexp.MustCompile("`undersong ([^`]+)`").FindAllStringSubmatch(strings.Join(d.lines, "\n"), -1) {
			words := asWords(strings.TrimPrefix(span[1], "help "))
			started := false
			a := newWorld(t).App
			c, rest, err := a.root(&started).Find(words)
			require.NoError(t, err, "%s: %q", d.name(), words)
			require.True(t, c.HasParent(), "%s: %q names no command", d.name(), words)
			assert.NoError(t, c.ParseFlags(rest), "%s: %q", d.name(), words)
		}
	}
}

// everyCommand walks through all of them.
func everyCommand(c *cobra.Command, do func(*cobra.Command)) {
	do(c)
	for _, sub := range c.Commands() {
		everyCommand(sub, do)
	}
}

// Each flag is told on the page about its command, and no page tells of another.
func TestThePagesTellEveryFlag(t *testing.T) {
	started := false
	a := newWorld(t).App
	flags := map[string]bool{"--help": true, "--version": true}
	everyCommand(a.root(&started), func(c *cobra.Command) {
		topic := topics[strings.TrimPrefix(c.CommandPath(), "undersong ")]
		page, _ := manual.Find(topic)
		c.LocalFlags().VisitAll(func(f *pflag.Flag) {
			flags["--"+f.Name] = true
			if topic != "" && f.Name != "help" && f.Name != "version" {
				told := regexp.MustCompile(`--` + f.Name + `\b`).MatchString(page.Text(80))
				assert.True(t, told, "%s does not tell --%s of %s", topic, f.Name, c.CommandPath())
			}
		})
	})
	for _, d := range docs(t) {
		for _, flag := range regexp.MustCompile(`--[a-z][a-z-]*`).FindAllString(strings.Join(d.lines, "\n"), -1) {
			assert.True(t, flags[flag], "%s: %s", d.name(), flag)
		}
	}
}

// Every command has a page but those that are plain enough.
func TestEveryCommandHasItsPage(t *testing.T) {
	started := false
	a := newWorld(t).App
	plain := []string{"undersong", "undersong help", "undersong manual"}
	known := map[string]bool{}
	everyCommand(a.root(&started), func(c *cobra.Command) {
		name := strings.TrimPrefix(c.CommandPath(), "undersong ")
		_, found := manual.Find(topics[name])
		assert.True(t, found || slices.Contains(plain, c.CommandPath()), name)
		known[name] = true
	})
	for name := range topics {
		assert.True(t, known[name], "%s is no command", name)
	}
}

func TestTheExamplesOfHelpWork(t *testing.T) {
	r := newReader(t)
	started := false
	a := newWorld(t).App
	everyCommand(a.root(&started), func(c *cobra.Command) {
		for _, line := range strings.Split(c.Example, "\n") {
			if line = strings.TrimSpace(line); line != "" {
				played := r.events("c.mid")
				if strings.Contains(line, "--tap") {
					played = r.events("taps.mid")
				}
				said, code := r.try(line, played)
				assert.Zero(t, code, "%s\n%s", line, said)
			}
		}
	})
}

// What nobody listens to is not tried by mistake: a block that is wrong is told.
func TestWhatIsShownIsCompared(t *testing.T) {
	for _, c := range []struct {
		shown, said string
		want        bool
	}{
		{"C\nF", "C\nF", true}, {"C\nF", "C", false}, {"C", "C\nF", false}, {"C\nF", "C\nG", false},
		{"...", "C\nF", true}, {"C\n...", "C\nF\nG", true}, {"C\n...\nG", "C\nF\nG", true}, {"C\n...\nG", "C\nG", true},
		{"C\n...\nF", "C\nF\nG", false}, {"...\nF", "C\nF\nF", true},
	} {
		assert.Equal(t, c.want, alike(strings.Split(c.shown, "\n"), strings.Split(c.said, "\n")), "%q %q", c.shown, c.said)
	}
	w := newWorld(t)
	assert.Equal(t, wrongUse, w.Run(context.Background(), []string{"hum"}))
}
