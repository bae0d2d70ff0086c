// Package decode makes text of the bytes of a file, in whichever of the usual
// encodings they are.
package decode

import (
	"bytes"
	"encoding/binary"
	"strings"
	"unicode/utf16"
	"unicode/utf8"
)

// Text is src as UTF-8 without a byte order mark, its lines ended by "\n" alone. From
// names the encoding of src, such as "UTF-16" or "Windows-1252"; it is "" for UTF-8.
// Bytes that are no UTF-8 are Windows-1252 each for itself, so that a file pasted
// together from both is read. There is always a result: of bytes that are no text at
// all it has control characters, which IsText tells.
func Text(src []byte) (text, from string) {
	if order, body := wide(src); order != nil {
		return lineEnds.Replace(fromUTF16(body, order)), "UTF-16"
	}
	src = bytes.TrimPrefix(src, []byte("\xEF\xBB\xBF"))
	if !utf8.Valid(src) {
		return lineEnds.Replace(fromWindows(src)), "Windows-1252"
	}
	return lineEnds.Replace(string(src)), ""
}

// IsText reports whether a result of Text was text: it has no character that no
// keyboard types, such as those in the bytes of programs, pictures and archives.
func IsText(text string) bool {
	return !strings.ContainsFunc(text, func(r rune) bool {
		return r < ' ' && r != '\n' && r != '\t' || r == 0x7F || r == 0xFFFE || r == 0xFFFF
	})
}

// lineEnds are the newline functions of the Unicode Standard, section 5.8.
var lineEnds = strings.NewReplacer("\r\n", "\n", "\r", "\n", "\v", "\n", "\f", "\n",
	"\u0085", "\n", "\u2028", "\n", "\u2029", "\n")

// wide tells UTF-16 and its byte order, by its mark or by its zeros: of a text's
// letters, signs, spaces and line ends at least some are below 256, so that there are
// zeros at odd or at even places, never at both.
func wide(src []byte) (binary.ByteOrder, []byte) {
	switch {
	case bytes.HasPrefix(src, []byte("\xFF\xFE")):
		return binary.LittleEndian, src[2:]
	case bytes.HasPrefix(src, []byte("\xFE\xFF")):
		return binary.BigEndian, src[2:]
	}
	var zeros [2]int
	for i, b := range src {
		if b == 0 {
			zeros[i%2]++
		}
	}
	const oneIn = 16 // units: spaces alone are more, in words of any language
	enough := func(n int) bool { return n*oneIn*2 >= len(src) && n > 0 }
	switch {
	case zeros[0] == 0 && enough(zeros[1]) && IsText(lineEnds.Replace(fromUTF16(src, binary.LittleEndian))):
		return binary.LittleEndian, src
	case zeros[1] == 0 && enough(zeros[0]) && IsText(lineEnds.Replace(fromUTF16(src, binary.BigEndian))):
		return binary.BigEndian, src
	}
	return nil, nil
}

// fromUTF16 passes over half a unit at the end.
func fromUTF16(src []byte, order binary.ByteOrder) string {
	units := make([]uint16, len(src)/2)
	for i := range units {
		units[i] = order.Uint16(src[2*i:])
	}
	return string(utf16.Decode(units))
}

// windows are the characters 0x80 to 0x9F of Windows-1252, as the WHATWG Encoding
// Standard's index-windows-1252.txt has them; the others are those of Unicode.
var windows = []rune("€\u0081‚ƒ„…†‡ˆ‰Š‹Œ\u008DŽ\u008F\u0090‘’“”•–—˜™š›œ\u009DžŸ")

func fromWindows(src []byte) string {
	var b strings.Builder
	b.Grow(len(src) + len(src)/8)
	for len(src) > 0 {
		r, n := utf8.DecodeRune(src)
		if r == utf8.RuneError && n == 1 {
			r = rune(src[0])
			if r >= 0x80 && r < 0xA0 {
				r = windows[r-0x80]
			}
		}
		b.WriteRune(r)
		src = src[n:]
	}
	return b.String()
}
