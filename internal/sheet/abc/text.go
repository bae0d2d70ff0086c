package abc

import (
	"html"
	"strconv"
	"strings"
	"unicode/utf8"
)

// plainText is what a text string says (8.2): \ before an accent and its letter, a
// code point or a sign; named entities.
func plainText(s string) string {
	if !strings.ContainsAny(s, `\&`) {
		return strings.TrimSpace(s)
	}
	var w strings.Builder
	for i := 0; i < len(s); {
		switch s[i] {
		case '\\':
			text, n := escaped(s[i:])
			w.WriteString(text)
			i += n
		case '&':
			text, n := entity(s[i:])
			w.WriteString(text)
			i += n
		default:
			w.WriteByte(s[i])
			i++
		}
	}
	return strings.TrimSpace(w.String())
}

// escaped reads what a backslash begins, and how many bytes it takes.
func escaped(s string) (string, int) {
	if len(s) < 2 {
		return "", len(s)
	}
	for _, code := range []struct {
		letter byte
		digits int
	}{{'u', 4}, {'U', 8}} {
		if end := 2 + code.digits; s[1] == code.letter && len(s) >= end {
			if n, err := strconv.ParseUint(s[2:end], 16, 32); err == nil && utf8.ValidRune(rune(n)) && n >= ' ' && n != 0x7F {
				return string(rune(n)), end
			}
		}
	}
	if len(s) > 2 {
		if r, ok := accents[s[1:3]]; ok {
			return string(r), 3
		}
	}
	if strings.IndexByte(`\%&-"`, s[1]) >= 0 {
		return s[1:2], 2
	}
	return "", 1
}

// entity reads a named entity such as &eacute;.
func entity(s string) (string, int) {
	end := strings.IndexByte(s, ';')
	if end < 2 || end > 10 {
		return "&", 1
	}
	if text := html.UnescapeString(s[:end+1]); !strings.HasSuffix(text, ";") {
		return text, end + 1
	}
	return "&", 1
}

// accents are the accents and ligatures of 14.1.
var accents = accentTable()

func accentTable() map[string]rune {
	all := map[string]rune{}
	for _, row := range []struct {
		sign    string
		letters string // pairs of a base letter and what it becomes
	}{
		{"`", "AÀaàEÈeèIÌiìOÒoòUÙuù"},
		{"'", "AÁaáEÉeéIÍiíOÓoóUÚuúYÝyý"},
		{"^", "AÂaâEÊeêIÎiîOÔoôUÛuûYŶyŷ"},
		{"~", "AÃaãNÑnñOÕoõ"},
		{`"`, "AÄaäEËeëIÏiïOÖoöUÜuüYŸyÿ"},
		{"c", "CÇcç"}, {",", "CÇcç"}, {"A", "AÅEÆ"}, {"a", "aåeæ"}, {"o", "AÅaåeœ"}, {"/", "OØoø"},
		{"u", "AĂaăEĔeĕ"}, {"v", "SŠsšZŽzž"}, {"H", "OŐoőUŰuű"},
		{"O", "EŒ"}, {"s", "sß"}, {"D", "HÐ"}, {"d", "hð"}, {"T", "HÞ"}, {"t", "hþ"},
	} {
		letters := []rune(row.letters)
		for i := 0; i+1 < len(letters); i += 2 {
			all[row.sign+string(letters[i])] = letters[i+1]
		}
	}
	return all
}

// escape writes a text so that plainText reads it back. A percent sign is a code: some
// readers take \% for a comment, and lose the bars behind it.
func escape(s string) string {
	return strings.NewReplacer(`\`, `\\`, "%", `\u0025`, "&", `\&`, "\u0085", `\u0085`, "\u2028", `\u2028`, "\u2029", `\u2029`).Replace(s)
}
