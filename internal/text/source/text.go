package source

import (
	"bytes"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Unreadable finds what no text holds: bytes that are not UTF-8, and control
// characters but tabs and line ends. The reason is empty where there is none.
func Unreadable(src []byte) (line, col int, reason string) {
	for i := 0; i < len(src); {
		r, size := utf8.DecodeRune(src[i:])
		switch {
		case r == utf8.RuneError && size == 1:
			reason = "this is not UTF-8 text"
		case unicode.IsControl(r) && !strings.ContainsRune("\t\n\r", r):
			reason = fmt.Sprintf("this is not text: it holds the control character %U", r)
		}
		if reason != "" {
			before := Lines(string(bytes.ToValidUTF8(src[:i], nil)))
			return len(before), 1 + utf8.RuneCountInString(before[len(before)-1]), reason
		}
		i += size
	}
	return 0, 0, ""
}

// The runes of a message that Brief keeps.
const (
	briefHead = 200
	briefTail = 300
)

// Brief takes the middle out of a message that quotes a whole page.
func Brief(message string) string {
	if len(message) <= briefHead+briefTail {
		return message
	}
	r := []rune(message)
	if len(r) <= briefHead+briefTail {
		return message
	}
	return string(r[:briefHead]) + " … " + string(r[len(r)-briefTail:])
}
