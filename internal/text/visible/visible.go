// Package visible makes text from outside fit for a terminal: names of files and
// ports, titles, words and the errors of the system may hold signs that command it
// or that nobody sees.
package visible

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf16"
	"unicode/utf8"
)

// Text writes hidden signs as the escapes that JSON has for them, \u001b for one,
// and bytes that are not UTF-8 as \xff, so that what is JSON stays the same JSON.
// Tabs and line feeds pass; text that has been made visible is left as it is.
func Text(s string) string { return escaped(s, hiddenInText) }

// Name is Text for what stands within a line, as a name does: tabs and line feeds
// are escaped too, so that no name can look like a line of the program's own.
func Name(s string) string { return escaped(s, Hidden) }

// Hidden reports a sign that commands a terminal or does not show: the control
// characters (Unicode's Cc, with tabs and line feeds), line and paragraph separators
// (Zl, Zp), and the format characters (Cf) and ignorable letters that turn the
// direction of text around or have no width. The Arabic signs that stand under their
// numbers are format characters too, but are seen.
func Hidden(r rune) bool {
	return unicode.In(r, unicode.Cc, unicode.Zl, unicode.Zp, unicode.Other_Default_Ignorable_Code_Point) ||
		unicode.Is(unicode.Cf, r) && !unicode.Is(unicode.Prepended_Concatenation_Mark, r)
}

func hiddenInText(r rune) bool { return r != '\n' && r != '\t' && Hidden(r) }

func escaped(s string, hidden func(rune) bool) string {
	if utf8.ValidString(s) && !strings.ContainsFunc(s, hidden) {
		return s
	}
	var b strings.Builder
	for i := 0; i < len(s); {
		r, size := utf8.DecodeRuneInString(s[i:])
		switch {
		case r == utf8.RuneError && size == 1:
			fmt.Fprintf(&b, `\x%02x`, s[i])
		case !hidden(r):
			b.WriteRune(r)
		case r > 0xFFFF: // two escapes, as JSON has it (RFC 8259, section 7)
			high, low := utf16.EncodeRune(r)
			fmt.Fprintf(&b, `\u%04x\u%04x`, high, low)
		default:
			fmt.Fprintf(&b, `\u%04x`, r)
		}
		i += size
	}
	return b.String()
}

// escapeLen is how long Text writes a sign of sixteen bits.
const escapeLen = len(`\u0000`)

// Read takes the escapes of Text back, so that a chart or a pattern which was printed
// is read as the same: those of hidden signs that may stand in text. Others stay,
// and so do those of control characters.
func Read(s string) string {
	if !strings.Contains(s, `\u`) {
		return s
	}
	var b strings.Builder
	for i := 0; i < len(s); {
		r, size := sign(s[i:])
		if size == 0 || unicode.IsControl(r) || !Hidden(r) {
			b.WriteByte(s[i])
			i++
			continue
		}
		b.WriteRune(r)
		i += size
	}
	return b.String()
}

// sign is the sign whose escape s begins with, and the escape's length; 0 for none.
func sign(s string) (rune, int) {
	r, ok := unit(s)
	if !ok {
		return 0, 0
	}
	if low, ok := unit(s[escapeLen:]); ok && utf16.IsSurrogate(r) {
		return utf16.DecodeRune(r, low), 2 * escapeLen
	}
	return r, escapeLen
}

// unit is the number of the escape that s begins with.
func unit(s string) (rune, bool) {
	if len(s) < escapeLen || s[:2] != `\u` {
		return 0, false
	}
	n, err := strconv.ParseUint(s[2:escapeLen], 16, 16)
	return rune(n), err == nil
}
