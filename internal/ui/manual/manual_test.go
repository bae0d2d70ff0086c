package manual

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/text/wording"
)

func TestEveryPageIsListedWithWhatItIsAbout(t *testing.T) {
	entries, err := files.ReadDir(".")
	require.NoError(t, err)
	listed := map[string]bool{}
	for _, topic := range Topics() {
		require.NotEmpty(t, topic.page, topic.Name)
		listed[topic.Name+".md"] = true
		assert.Regexp(t, `^# `, topic.page, topic.Name)
		assert.NotContains(t, topic.Summary, "\n", topic.Name)
		assert.LessOrEqual(t, len(topic.Summary), 60, "%s: the list has 80 columns", topic.Name)
	}
	for _, e := range entries {
		assert.True(t, listed[e.Name()], "%s is in no list", e.Name())
	}
}

// copied are lines that are not for reading: JSON, and commands of a summary.
var copied = regexp.MustCompile(`^ +(\{|undersong )`)

// What a terminal cannot show must not be left over.
func TestPagesAreReadInATerminal(t *testing.T) {
	for _, topic := range Topics() {
		for _, width := range []int{20, 40, 80} {
			text := topic.Text(width)
			assert.NotRegexp(t, "`|\\]\\(|\\*\\*|<!--|(?m)^#", text, topic.Name)
			assert.NotRegexp(t, `(?m)[ \t]$`, text, topic.Name)
			assert.NotContains(t, text, "\n\n\n", topic.Name)
			if width == 80 {
				for _, line := range strings.Split(text, "\n") {
					if copied.MatchString(line) {
						continue
					}
					assert.LessOrEqual(t, wording.Width(line), width, "%s: %s", topic.Name, line)
				}
			}
		}
	}
}

// Nothing is lost on the way: every word of a page comes, in order.
func TestEveryWordOfAPageIsShown(t *testing.T) {
	for _, topic := range Topics() {
		var words []string
		for _, line := range strings.Split(topic.page, "\n") {
			if !strings.HasPrefix(line, row) && !other.MatchString(line) {
				words = append(words, strings.Fields(inline(line))...)
			}
		}
		shown := strings.Fields(topic.Text(40))
		for _, w := range words {
			at := slices.Index(shown, w)
			require.GreaterOrEqual(t, at, 0, "%s: %q", topic.Name, w)
			shown = shown[at+1:]
		}
	}
}

func TestLinksLeadToPages(t *testing.T) {
	for _, topic := range Topics() {
		for _, to := range regexp.MustCompile(`\]\(([^)]*)\)`).FindAllStringSubmatch(topic.page, -1) {
			_, found := Find(strings.TrimSuffix(to[1], ".md"))
			assert.True(t, found && strings.HasSuffix(to[1], ".md"), "%s: %s", topic.Name, to[1])
		}
		for _, to := range regexp.MustCompile(`undersong manual ([a-z-]+)`).FindAllStringSubmatch(topic.page, -1) {
			_, found := Find(to[1])
			assert.True(t, found, "%s: %s", topic.Name, to[1])
		}
	}
	_, found := Find("nothing")
	assert.False(t, found)
}

func TestRender(t *testing.T) {
	for name, c := range map[string]struct{ page, want string }{
		"headings":    {"# A tune\n\n## By ear", "A tune\n\nBy ear\n"},
		"a paragraph": {"Play what you\nhear, in `C` or in\n[G](keys.md).", "  Play what you hear,\n  in C or in G.\n"},
		"a list":      {"- bass on one\n  and chord\n- rest", "  - bass on one and\n    chord\n  - rest\n"},
		"an example":  {"Look:\n```sh\nundersong practice aura-lee.chart\n```\nso", "  Look:\n\n    undersong practice aura-lee.chart\n\n  so\n"},
		"a table":     {"| sign | meaning |\n|---|---|\n| `\\|:` | begins a repeat of bars |", "  sign  meaning\n  |:    begins a\n        repeat of bars\n"},
		"a remark":    {"<!-- heard -->\nF", "  F\n"},
	} {
		assert.Equal(t, c.want, render(c.page, 22), name)
	}
}
