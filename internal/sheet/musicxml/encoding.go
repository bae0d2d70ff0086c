package musicxml

import (
	"bytes"
	"regexp"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"

	"undersong/internal/text/decode"
)

// declared finds the encoding that an XML declaration names.
var declared = regexp.MustCompile(`^<\?xml[^>]*?encoding\s*=\s*["']([A-Za-z0-9._-]+)["']`)

// toUTF8 is a document as UTF-8, by its byte order mark, its declaration or its
// bytes; ok is false where it declares an encoding that is not known here.
func toUTF8(src []byte) (text []byte, ok bool) {
	if m := declared.FindSubmatch(bytes.TrimSpace(src[:min(len(src), 200)])); m != nil {
		name := plainName(string(m[1]))
		if c := singleByte(name); c != nil {
			text, err := c.NewDecoder().Bytes(src)
			return text, err == nil
		}
		if !strings.HasPrefix(name, "utf") && name != "usascii" && name != "ascii" {
			return src, false
		}
	}
	src = bytes.TrimPrefix(src, []byte("\xEF\xBB\xBF"))
	if utf8.Valid(src) && !bytes.ContainsRune(src, 0) {
		return src, true
	}
	out, _ := decode.Text(src)
	return []byte(out), true
}

// singleByte is the encoding of a name, where each byte is a character.
func singleByte(name string) encoding.Encoding {
	other := map[string]string{"latin1": "iso88591", "l1": "iso88591", "latin2": "iso88592", "latin9": "iso885915", "cp1252": "windows1252", "macroman": "macintosh", "xmacroman": "macintosh"}
	if o := other[name]; o != "" {
		name = o
	}
	for _, e := range charmap.All {
		if c, ok := e.(*charmap.Charmap); ok && plainName(c.String()) == name {
			return c
		}
	}
	return nil
}

// plainName is an encoding's name without what its writers differ in.
func plainName(name string) string {
	return strings.NewReplacer("-", "", "_", "", " ", "", ".", "").Replace(strings.ToLower(name))
}
