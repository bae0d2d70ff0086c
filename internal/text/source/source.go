// Package source is text as users write it: its lines and words, and errors with
// their place in it.
package source

import (
	"strings"
)

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
