// Package source is text as users write it: its lines and words, and errors with
// their place in it.
package source

import (
	"fmt"
	"strings"
	"unicode"

	"undersong/internal/text/visible"
)

// Error is a mistake in a text file, told so that its writer can mend it.
type Error struct {
	File   string
	Line   int    // from 1; 0 where the whole file is meant
	Col    int    // in characters, from 1; 0 where the whole line is meant
	Text   string // the line as written
	Reason string // what is wrong
	Hint   string // what would be right; may be empty
}

// Error is "file:line:col: reason; hint", leaving out what is not known.
func (e *Error) Error() string {
	var b strings.Builder
	if e.File != "" {
		b.WriteString(visible.Name(e.File) + ":")
	}
	if e.Line > 0 {
		fmt.Fprintf(&b, "%d:", e.Line)
		if e.Col > 0 {
			fmt.Fprintf(&b, "%d:", e.Col)
		}
	}
	if b.Len() > 0 {
		b.WriteByte(' ')
	}
	b.WriteString(Brief(e.Reason))
	if e.Hint != "" {
		b.WriteString("; " + Brief(e.Hint))
	}
	return b.String()
}

// widest is the longest source line that Show prints, in characters.
const widest = 100

// Show is the source line with a caret under the place, or "" where there is
// no line to show.
func (e *Error) Show() string {
	runes := []rune(e.Text)
	if e.Line == 0 || e.Col == 0 || len(runes) == 0 {
		return ""
	}
	from := 0
	if e.Col > widest {
		from = e.Col - widest/2
	}
	from = min(from, len(runes))
	shown := runes[from:min(len(runes), from+widest)]
	caret := strings.Repeat(" ", max(0, e.Col-1-from))
	return "  " + printable(shown) + "\n  " + caret + "^"
}

func printable(runes []rune) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\t':
			return ' '
		case unicode.IsPrint(r):
			return r
		}
		return '·'
	}, string(runes))
}

// Lines splits text at line ends, LF, CRLF or CR, dropping a byte order mark.
func Lines(text string) []string {
	text = strings.TrimPrefix(text, "\uFEFF")
	text = strings.ReplaceAll(text, "\r\n", "\n")
	text = strings.ReplaceAll(text, "\r", "\n")
	return strings.Split(text, "\n")
}

// Column is the character column, from 1, of a byte offset in a line.
func Column(line string, offset int) int {
	return len([]rune(line[:min(offset, len(line))])) + 1
}

// Word is a run of characters without spaces, with its byte offset in its line.
type Word struct {
	Text   string
	Offset int
}

// Words splits a line at spaces and tabs.
func Words(line string) []Word {
	var words []Word
	start := -1
	for i := 0; i <= len(line); i++ {
		space := i == len(line) || line[i] == ' ' || line[i] == '\t'
		switch {
		case space && start >= 0:
			words = append(words, Word{line[start:i], start})
			start = -1
		case !space && start < 0:
			start = i
		}
	}
	return words
}

// Nearest is the candidate that a mistyped word most likely meant, or "" where
// none is within two single-letter edits of it.
func Nearest(word string, candidates []string) string {
	best, bestDistance := "", 3
	for _, c := range candidates {
		if d := Edits(strings.ToLower(word), strings.ToLower(c)); d < bestDistance {
			best, bestDistance = c, d
		}
	}
	return best
}

// longestWord is the longest word whose edits are counted; of longer ones all
// letters count.
const longestWord = 64

// Edits counts the letters to change, add or drop to make b of a (the Levenshtein
// distance).
func Edits(a, b string) int {
	x, y := []rune(a), []rune(b)
	if len(x) > longestWord || len(y) > longestWord {
		return len(x) + len(y)
	}
	row := make([]int, len(y)+1)
	for j := range row {
		row[j] = j
	}
	for i := range x {
		diagonal := row[0]
		row[0] = i + 1
		for j := range y {
			cost := diagonal
			if x[i] != y[j] {
				cost = 1 + min(diagonal, row[j+1], row[j])
			}
			diagonal, row[j+1] = row[j+1], cost
		}
	}
	return row[len(y)]
}
