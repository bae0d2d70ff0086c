// Package shell quotes words for the commands that the program suggests, so that
// they can be copied whatever a file is called.
package shell

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"undersong/internal/text/visible"
)

const plainSigns = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789._-/+:,@%"

// Word quotes a word for a shell where it needs that. One with hidden signs is
// written with dollar and single quotes (POSIX.1-2024, Shell Command Language, 2.2.4).
func Word(s string) string {
	switch {
	case s != "" && strings.Trim(s, plainSigns) == "":
		return s
	case visible.Name(s) == s:
		return "'" + strings.ReplaceAll(s, "'", `'\''`) + "'"
	}
	var b strings.Builder
	b.WriteString("$'")
	for i := 0; i < len(s); {
		r, size := utf8.DecodeRuneInString(s[i:])
		switch {
		case r == utf8.RuneError && size == 1, visible.Hidden(r):
			for _, c := range []byte(s[i : i+size]) {
				fmt.Fprintf(&b, `\%03o`, c)
			}
		case r == '\'' || r == '\\':
			b.WriteString(`\` + string(r))
		default:
			b.WriteRune(r)
		}
		i += size
	}
	return b.String() + "'"
}

// File is Word for a file's path: one that begins with a dash is no flag.
func File(path string) string {
	if strings.HasPrefix(path, "-") {
		path = "./" + path
	}
	return Word(path)
}
