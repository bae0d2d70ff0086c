package wording

import (
	"strings"

	"github.com/rivo/uniseg"
)

// Width is how many columns of a terminal s takes.
func Width(s string) int { return uniseg.StringWidth(s) }

// Wrap breaks s between words into lines of at most width columns; a longer word has
// a line of its own. There is one line at least.
func Wrap(s string, width int) []string {
	var lines []string
	line, used := "", 0
	for _, word := range strings.Fields(s) {
		n := Width(word)
		if used > 0 && used+1+n > width {
			lines = append(lines, line)
			line, used = "", 0
		}
		if used > 0 {
			word, n = " "+word, n+1
		}
		line, used = line+word, used+n
	}
	return append(lines, line)
}
