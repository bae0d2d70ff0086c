package abc

import (
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/sheet/song"
)

// sung are the words of the bars with | between, verses with / between.
func sung(s *song.Song) string {
	var bars []string
	for _, b := range s.Bars() {
		bars = append(bars, strings.Join(b.Lyrics, "/"))
	}
	return strings.Join(bars, "|")
}

func TestWords(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"a word a note", "CD|EF|\nw: oh my dar ling", "oh my|dar ling"},
		{"syllables are joined", "CDE|F|\nw: dar-ling Cle-men", "darling Cle-|men"},
		{"over a barline the hyphen stays", "CD|EF|\nw: oh Cle-men-tine", "oh Cle-|mentine"},
		{"three notes, standard 5.1", "CDEF|\nw: syll-a-ble x", "syllable x"},
		{"four notes, standard", "CDEFG|\nw: syll-a--ble x", "syllable x"},
		{"equivalent, standard", "CDEFG|\nw: syll-a -ble x", "syllable x"},
		{"held, standard", "CDEF|\nw: time__ x", "time x"},
		{"held over the barline", "CDE|FG|\nw: time_ and_ tide", "time and|tide"},
		{"held, with its full stop", "CDEF|\nw: mi-o_. x", "mio. x"},
		{"a barline that is passed twice", "CD|EF|GA|\nw: a | | b", "a||b"},
		{"a hyphen at the beginning", "CD|\nw: -a b", "a"},
		{"no number", "CD|\nw: 3rd man", "3rd man"},
		{"one note, standard", "CD|\nw: of~the~day x", "of the day x"},
		{"a hyphen that is seen", "CD|\nw: dor\\-mez vous", "dor-mez vous"},
		{"skipped", "CDE|\nw: a * b", "a b"},
		{"to the next bar", "CDE|FG|\nw: a|b c", "a|b c"},
		{"a barline where the bar is full", "CD|EF|\nw: a b|c d", "a b|c d"},
		{"two barlines", "CD|EF|GA|\nw: a b||c d", "a b||c d"},
		{"at the beginning", "CD|EF|GA|\nw: ||c d", "||c d"},
		{"a bar of rest between", "CD|z4|GA|\nw: a b|c d", "a b||c d"},
		{"a bar of rest, counted", "CD|z4|GA|\nw: a b||c d", "a b||c d"},
		{"rests and grace notes have none", "C{g}zD|yE|\nw: a b c", "a b|c"},
		{"tied notes have, as they are notes", "C-C|D|\nw: a b c", "a b|c"},
		{"verses 5.2", "CD|EF|\nw: a b c d\nw: e f g h", "a b/e f|c d/g h"},
		{"verses continued, standard", "CDEF|FEDC|\nw: these are the lyr-ics\n+:  for verse one\nw: these are the lyr-ics\n+:  for verse two", "these are the lyr-/these are the lyr-|ics for verse one/ics for verse two"},
		{"lines follow one another, standard 5.1", "C D E F|\nw: doh re mi fa\nG A B c|\nw: sol la ti doh", "doh re mi fa|sol la ti doh"},
		{"or stand together, standard 5.1", "C D E F|\nG A B c|\nw: doh re mi fa sol la ti doh", "doh re mi fa|sol la ti doh"},
		{"a line without, standard 5.1", "C D E F|\nw: doh re mi fa\nG G G G|\nw:\nF E F C|\nw: fa mi re doh", "doh re mi fa||fa mi re doh"},
		{"the old way, standard 10.6", "CDEF|\nFEDC|\ncdef|]\nw:these are lyr-ics", "||these are lyrics"},
		{"numbers, standard 5.3", "CDE|\nw: 1.~Three blind mice", "Three blind mice"},
		{"numbers with a hyphen, standard 10.6", "CD|\nw: 1\\-~Si les", "Si les"},
		{"numbers that are words", "CD|\nw: 99 bot", "bot"},
		{"too few", "CDEF|GA|\nw: a b", "a b|"},
		{"accents 8.2", "CD|\nw: Fr\\`ere &eacute;t\\u00e9", "Frère été"},
		{"chords are notes", "[CE]D|\nw: a b", "a b"},
		{"a word over two lines", "CD|\nw: dar-\nEF|\nw: ling Cle", "dar-|ling Cle"},
		{"a line that breaks a bar", "CD\nw: a b\nEF|\nw: c d", "a b c d"},
		{"of two voices", "[V:1]CD|\nw: a b\n[V:2]EF|\nw: c d\n[V:1]GA|\nw: e f", "a b|e f"},
	} {
		s := read(t, c.text)
		assert.Equal(t, c.want, strings.TrimRight(sung(s), " "), c.name)
	}
}

func TestStrictWords(t *testing.T) {
	s, err := Read([]byte("%abc-2.1\nX:1\nM:4/4\nK:C\nCDEF|\nFEDC|\ncdef|]\nw:these are lyr-ics\n"), "", song.Wish{})
	require.NoError(t, err)
	assert.Equal(t, "these are lyrics||", sung(s), "standard 10.6: under abc 2.1 they begin with the tune")
}

func TestWordsAstrayAreTold(t *testing.T) {
	assert.Contains(t, told(read(t, "CD|\nw: a b c")), "line 7: words are left over where the notes end")
	assert.Contains(t, told(read(t, "w: a b\nK:C\nCD|")), "line 5: words (w:) stand above the notes, and are left out")
	assert.Contains(t, told(read(t, "CD|"+strings.Repeat("\nw: a b", mostVerses+1))), "line 27: further verses are left out")
}

func TestPlainText(t *testing.T) {
	for text, want := range map[string]string{
		`plain`:                    "plain",
		"\\`A \\'e \\^o \\~n":      "À é ô ñ", // standard 8.2 and 14.1, as those that follow
		`\"a \cC \AA \aa \/O`:      "ä Ç Å å Ø",
		`\ua \vs \Ho \ss \AE \oe`:  "ă š ő ß Æ œ",
		`\DH \dh \TH \th \OE`:      "Ð ð Þ þ Œ",
		`\u00e9 \U000000e9 \uE`:    "é é Ĕ",
		`\\ \% \& \- "`:            `\ % & - "`,
		`gin & tonic, G\&T`:        "gin & tonic, G&T",
		`&quot;&eacute;&nothing;&`: `"é&nothing;&`,
		`B\u266d \`:                "B♭",
		`\u0000\u0009x`:            "u0000u0009x",
	} {
		assert.Equal(t, want, plainText(text), text)
	}
	for _, text := range []string{`a\b 100% R&B &amp; \u00e9 C'est "`, "Skye Boat Song"} {
		assert.Equal(t, text, plainText(escape(text)))
	}
}

func TestChordSymbols(t *testing.T) {
	for text, want := range map[string]string{
		"Am":      "Am Am",
		"Am;":     "Am Am",
		"D7 ":     "D7 D7",
		"(Am)":    "Am Am",
		"G/B":     "G/B G/B",
		"G/b":     "G/B G/B", // 4.18: the case of the bass does not matter
		"Gm/bb":   "Gm/Bb Gm/Bb",
		"D/f+":    "D/F# D/F#",
		"G(Em)":   "G G", // standard 4.18: for print alone
		"Em7(b5)": "Em7(b5) Em7b5",
		"F♯m":     "F♯m F#m",
		"B♭":      "B♭ Bb",
		"Cmin":    "Cmin Cm",
		"Caug":    "Caug Caug",
		"C+":      "C+ Caug",
		"Bdim":    "Bdim Bdim",
		"Esus":    "Esus Esus4",
		"am":      "Am Am",
		"d7/f#":   "D7/F# D7/F#",
		"a":       "",
		"add":     "",
		"N.C.":    "N.C. N.C.",
		"C7b13x":  "", // no chord at all
		"Cmaj99":  "Cmaj99 ?",
		"H7":      "H7 ?",
		"Fine":    "",
		"Coda":    "",
		"D.C.":    "",
		"segno":   "",
	} {
		s := read(t, `"`+text+`"C4|`)
		got := ""
		for _, c := range s.Bars()[0].Chords {
			got = c.Text + " ?"
			if c.Known {
				got = c.Text + " " + c.Chord.String()
			}
		}
		assert.Equal(t, want, got, text)
	}
}

func TestPlacesOfChords(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"before notes", `"C"C2"F"D2z2"G"z2|`, "0 C, 960 F, 2880 G"},
		{"on a spacer", `C2"F"yD2|`, "960 F"},
		{"behind the last note", `C2D2"G"|E4|`, " | 0 G"},
		{"alone in a bar", `C4|"G"|E4|`, " | 0 G"},
		{"before a repeat sign", `C4"G"|:E4:|`, " | 0 G"},
		{"two at once", `"C""G"C4|`, "0 G"},
		{"over a rest of bars", `"G"Z2|C|`, "0 G |  | "},
		{"in a tuplet", `(3"C"C2D2"G"E2|`, "0 C, 1280 G"},
		{"in an overlay", `"C"C4&"G"E4|`, "0 C"},
		{"in a line of signs, standard 4.15", "C2  C2 Ez   A2|\ns: \"C\" *  \"Am\" * |\ns: *   *  !>!  * |", "0 C, 1920 Am"},
		{"in a line of signs, by bars", "CD|EF|\ns: \"^slow\"|* \"F\"", " | 480 F"},
		{"in place of another", "\"G\"CD|\ns: \"C\" \"F\"", "0 C, 480 F"},
		{"within brackets", `["C"CEG]4|`, "0 C"},
	} {
		var bars []string
		for _, b := range read(t, c.text).Bars() {
			var all []string
			for _, s := range b.Chords {
				all = append(all, strings.TrimSpace(strings.Join([]string{strconv.Itoa(int(s.At)), s.Text}, " ")))
			}
			bars = append(bars, strings.Join(all, ", "))
		}
		assert.Equal(t, c.want, strings.Join(bars, " | "), c.name)
	}
}
