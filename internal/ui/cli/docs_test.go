package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The README and the pages of the manual hold examples in fenced blocks. What a
// block is stands behind its fence, and all of it is tried here:
//
//	sh              commands, one a line; each must end well
//	console         commands behind "$ ", each with all that it says; "..." alone
//	                on a line stands for any lines
//	chart FILE      a chart, which is read, and may be named in later commands
//	pattern FILE    a pattern, likewise
//	sheet FILE      a song sheet of another kind, likewise
//	text            a picture of the screen
//
// A remark before a block, one a line, prepares it:
//
//	<!-- perform FILE ... -->, <!-- notes FILE ... -->, <!-- under FILE ... -->
//	                writes a recording, as the command of that name in the scripts
//	<!-- taps FILE LATE -->   writes one of taps with the clicks of ports --tap
//	<!-- played FILE -->      this recording is played on the keyboard meanwhile
//	<!-- fails -->            the commands end with an error
//	<!-- screen ... -->       where the picture comes from; see pictured
//
// With UPDATE=1 in the environment what the commands say now is written into the
// texts, but for blocks with "...".

// doc is a text with examples.
type doc struct {
	path  string
	lines []string
}

// block is an example.
type block struct {
	at      int      // its first line, from 0, behind the fence
	kind    []string // the words behind the fence
	lines   []string
	remarks [][]string
}

func docs(t *testing.T) []*doc {
	t.Helper()
	pages, err := filepath.Glob("../manual/*.md")
	require.NoError(t, err)
	var all []*doc
	for _, path := range append(pages, "../../../README.md") {
		path, err := filepath.Abs(path) // commands change folders
		require.NoError(t, err)
		text, err := os.ReadFile(path)
		require.NoError(t, err)
		all = append(all, &doc{path, strings.Split(string(text), "\n")})
	}
	require.Greater(t, len(all), 10)
	return all
}

func (d *doc) name() string { return filepath.Base(d.path) }

// where is a line as an editor counts it.
func (d *doc) where(line int) string { return fmt.Sprintf("%s:%d", d.name(), line+1) }

const fenceOf = "```"

var remarkLine = regexp.MustCompile(`^<!-- (.*) -->$`)

// blocks are the examples, each with the remarks since the one before.
func (d *doc) blocks(t *testing.T) []block {
	t.Helper()
	var all []block
	var remarks [][]string
	for i := 0; i < len(d.lines); i++ {
		if m := remarkLine.FindStringSubmatch(d.lines[i]); m != nil {
			remarks = append(remarks, asWords(m[1]))
		}
		kind, opens := strings.CutPrefix(d.lines[i], fenceOf)
		if !opens {
			continue
		}
		b := block{at: i + 1, kind: strings.Fields(kind), remarks: remarks}
		require.NotEmpty(t, b.kind, "%s: a fence that does not say what it holds", d.where(i))
		for i++; i < len(d.lines) && d.lines[i] != fenceOf; i++ {
			b.lines = append(b.lines, d.lines[i])
		}
		all, remarks = append(all, b), nil
	}
	return all
}

var shellWord = regexp.MustCompile(`"[^"]*"|\S+`)

// asWords splits a command as a shell does, as far as the texts need it.
func asWords(line string) []string {
	words := shellWord.FindAllString(line, -1)
	for i := range words {
		words[i] = strings.Trim(words[i], `"`)
	}
	return words
}

// alike reports that said is what is shown, where "..." stands for any lines.
func alike(shown, said []string) bool {
	if len(shown) == 0 {
		return len(said) == 0
	}
	if shown[0] != "..." {
		return len(said) > 0 && shown[0] == said[0] && alike(shown[1:], said[1:])
	}
	for i := range len(said) + 1 {
		if alike(shown[1:], said[i:]) {
			return true
		}
	}
	return false
}

// replace writes other lines in the place of some, in the file too. Places behind
// them move; so the last block of a text comes first.
func (d *doc) replace(t *testing.T, from, to int, lines []string) {
	t.Helper()
	d.lines = append(append(append([]string{}, d.lines[:from]...), lines...), d.lines[to:]...)
	require.NoError(t, os.WriteFile(d.path, []byte(strings.Join(d.lines, "\n")), 0o644))
}
