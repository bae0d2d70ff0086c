package term

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"undersong/internal/text/visible"
)

// lineEnds become spaces: the screen breaks lines where it has room.
var lineEnds = strings.NewReplacer("\n", " ", "\t", " ")

// clean makes s fit to show: hidden signs, which could command the terminal, become
// escapes; without Unicode accents are dropped and other signs become their nearest
// letters or "?".
func (c *canvas) clean(s string) string {
	s = visible.Name(lineEnds.Replace(s))
	if c.style.Unicode {
		return s
	}
	return toASCII(s)
}

var asciiWords = strings.NewReplacer(
	"♯", "#", "♭", "b", "°", "dim", "ø", "m7b5", "Δ", "maj", "–", "-", "—", "-",
	"’", "'", "‘", "'", "“", `"`, "”", `"`, "…", "...", "→", "->", "·", ",",
	"ß", "ss", "æ", "ae", "Æ", "Ae", "œ", "oe", "Ø", "O", "ł", "l", "Ł", "L",
)

func toASCII(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r < 128:
			return r
		case unicode.Is(unicode.Mn, r):
			return -1
		}
		return '?'
	}, norm.NFD.String(asciiWords.Replace(s)))
}

// wrap breaks s at spaces into lines for which fits holds. A word that does not
// fit alone is broken inside. There is always progress, whatever fits says.
func wrap(s string, fits func(string) bool) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(s) {
		if line != "" && fits(line+" "+word) {
			line += " " + word
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		for !fits(word) {
			head := breakWord(word, fits)
			if head == word {
				break
			}
			lines = append(lines, head)
			word = word[len(head):]
		}
		line = word
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// breakWord is the longest beginning of word that fits, at least one rune.
func breakWord(word string, fits func(string) bool) string {
	best := 0
	for i := range word {
		if i == 0 {
			continue
		}
		if best > 0 && !fits(word[:i]) {
			return word[:best]
		}
		best = i
	}
	if best == 0 {
		return word
	}
	return word[:best]
}

// wrapColumns breaks s into lines of at most max columns.
func wrapColumns(s string, max int) []string {
	return wrap(s, func(line string) bool { return width(line) <= max })
}

// brokenWords reports whether lines hold more words than text: a word was
// broken inside.
func brokenWords(text string, lines []string) bool {
	n := 0
	for _, line := range lines {
		n += len(strings.Fields(line))
	}
	return n > len(strings.Fields(text))
}
