package cli

import (
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// shown are the commands that README.md shows, each split as a shell does it.
func shown(t *testing.T) [][]string {
	t.Helper()
	text, err := os.ReadFile("../../../README.md")
	require.NoError(t, err)
	word := regexp.MustCompile(`"[^"]*"|\S+`)
	var all [][]string
	for _, line := range regexp.MustCompile(`(?m)^    undersong (.*)$`).FindAllStringSubmatch(string(text), -1) {
		words := word.FindAllString(line[1], -1)
		for i := range words {
			words[i] = strings.Trim(words[i], `"`)
		}
		all = append(all, words)
	}
	return all
}

func TestEveryCommandOfTheReadmeIsUnderstood(t *testing.T) {
	commands := shown(t)
	require.NotEmpty(t, commands)
	for _, words := range commands {
		started := false
		a := newWorld(t).App
		c, rest, err := a.root(&started).Find(words)
		require.NoError(t, err, words)
		require.True(t, c.HasParent(), "%q names no command", words)
		require.NoError(t, c.ParseFlags(rest), words)
		assert.NoError(t, c.ValidateArgs(c.Flags().Args()), words)
	}
}

func TestEveryLinkWithinTheReadmeLeadsSomewhere(t *testing.T) {
	text, err := os.ReadFile("../../../README.md")
	require.NoError(t, err)
	places := map[string]bool{}
	for _, heading := range regexp.MustCompile(`(?m)^#+ (.*)$`).FindAllStringSubmatch(string(text), -1) {
		places[strings.ReplaceAll(strings.ToLower(heading[1]), " ", "-")] = true
	}
	for _, link := range regexp.MustCompile(`\]\(#([^)]*)\)`).FindAllStringSubmatch(string(text), -1) {
		assert.True(t, places[link[1]], link[1])
	}
}
