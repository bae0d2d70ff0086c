package decode

import (
	"encoding/binary"
	"strings"
	"testing"
	"unicode/utf16"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
)

// wideBytes is a text in UTF-16, without a mark.
func wideBytes(text string, order binary.AppendByteOrder) []byte {
	var b []byte
	for _, u := range utf16.Encode([]rune(text)) {
		b = order.AppendUint16(b, u)
	}
	return b
}

const sheet = "C♯m      E\nFrère Jacques, 𝄞 dormez-vous?\n"

func TestEncodings(t *testing.T) {
	le, be := wideBytes(sheet, binary.LittleEndian), wideBytes(sheet, binary.BigEndian)
	for name, c := range map[string]struct{ src, text, from string }{
		"nothing":                       {"", "", ""},
		"UTF-8":                         {sheet, sheet, ""},
		"UTF-8 with a mark":             {"\xEF\xBB\xBF" + sheet, sheet, ""},
		"little-endian with a mark":     {"\xFF\xFE" + string(le), sheet, "UTF-16"},
		"big-endian with a mark":        {"\xFE\xFF" + string(be), sheet, "UTF-16"},
		"little-endian without a mark":  {string(le), sheet, "UTF-16"},
		"big-endian without a mark":     {string(be), sheet, "UTF-16"},
		"a mark and nothing else":       {"\xFF\xFE", "", "UTF-16"},
		"half a unit at the end":        {"\xFF\xFEC\x00m", "C", "UTF-16"},
		"Windows-1252":                  {"Fr\xE8re \x96 don\x92t \x85\n", "Frère – don’t …\n", "Windows-1252"},
		"its first and last":            {"\x80\x9F\xA0\xFF", "€Ÿ\u00A0ÿ", "Windows-1252"},
		"UTF-8 and Windows-1252 in one": {"Frère and fr\xE8re", "Frère and frère", "Windows-1252"},
	} {
		text, from := Text([]byte(c.src))
		assert.Equal(t, c.text, text, name)
		assert.Equal(t, c.from, from, name)
	}
}

// Greek has no zeros but those of spaces and line ends.
func TestWideLettersAreToldBySpacesAlone(t *testing.T) {
	const greek = "Στην αρχή ήταν ο λόγος και\nο λόγος ήταν εδώ\n"
	text, from := Text(wideBytes(greek, binary.BigEndian))
	assert.Equal(t, greek, text)
	assert.Equal(t, "UTF-16", from)
}

func TestLineEnds(t *testing.T) {
	for _, end := range []string{"\n", "\r\n", "\r", "\v", "\f", "\u0085", "\u2028", "\u2029"} {
		text, _ := Text([]byte("C" + end + end + "G"))
		assert.Equal(t, "C\n\nG", text, "%q", end)
	}
}

func TestBytesThatAreNoText(t *testing.T) {
	for name, src := range map[string]string{
		"a MIDI file":         "MThd\x00\x00\x00\x06\x00\x01\x00\x02\x01\xE0",
		"zeros":               strings.Repeat("\x00", 64),
		"an archive":          "PK\x03\x04\x14\x00\x08\x00\x08\x00",
		"zeros in a sheet":    "C\x00 G\n words of a song that are long enough\n",
		"zeros at odd places": "\x01\x00\x02\x00\x03\x00",
	} {
		text, _ := Text([]byte(src))
		assert.False(t, IsText(text), "%s: %q", name, text)
	}
	assert.True(t, IsText("C\tG\nla la\n"))
}

func FuzzText(f *testing.F) {
	for _, s := range []string{"", sheet, "Fr\xE8re\r\n", "\xFF\xFEC\x00", "C\x00G\x00", "\xEF\xBB\xBFC"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, src []byte) {
		text, from := Text(src)
		assert.True(t, utf8.ValidString(text))
		assert.NotContains(t, text, "\r")
		if from == "" {
			assert.True(t, utf8.Valid(src))
		}
	})
}
