package musicxml

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/sheet/mxml"
	"undersong/internal/test/material"
)

// sing hangs syllables on a note: "1:begin:cav" is verse 1; verses with a space
// between.
func sing(note, syllables string) string {
	var w strings.Builder
	for _, f := range strings.Fields(syllables) {
		p := strings.SplitN(f, ":", 3)
		w.WriteString(`<lyric number="` + p[0] + `"><syllabic>` + p[1] + `</syllabic><text>` + p[2] + `</text></lyric>`)
	}
	return strings.Replace(n(note), "</note>", w.String()+"</note>", 1)
}

func TestLyrics(t *testing.T) {
	for _, c := range []struct {
		name, text string
		want       [][]string // by bar
	}{
		{"a word of two syllables", score(four + sing("C4:1", "1:begin:cav") + sing("C4:1", "1:end:ern,") + sing("C4:2", "1:single:in")), [][]string{{"cavern, in"}}},
		{"a word over the barline", score(four+sing("C4:4", "1:begin:exca"), sing("C4:4", "1:end:vating")), [][]string{{"exca-"}, {"vating"}}},
		{"its hyphen is there already", score(four+sing("C4:4", "1:begin:exca-"), sing("C4:4", "1:end:vating")), [][]string{{"exca-"}, {"vating"}}},
		{"a word that is held through a bar", score(four+sing("C4:4", "1:begin:day"), n("C4:4"), sing("C4:4", "1:end:light")), [][]string{{"day-"}, nil, {"light"}}},
		{"two verses", score(four+sing("C4:4", "1:single:dog 2:single:cat"), sing("C4:4", "2:single:mouse")), [][]string{{"dog", "cat"}, {"", "mouse"}}},
		{"only the third", score(four + sing("C4:4", "3:single:hen")), [][]string{{"", "", "hen"}}},
		{"verses that have names", score(four + sing("C4:4", "part1verse1:single:dog part1verse2:single:cat")), [][]string{{"dog", "cat"}}},
		{"a verse and a chorus", score(four+sing("C4:4", "1:single:dog"), sing("C4:4", "chorus:single:la")), [][]string{{"dog"}, {"", "la"}}},
		{"nothing about syllables", score(four + strings.Replace(n("C4:4"), "</note>", "<lyric><text>dog</text></lyric></note>", 1)), [][]string{{"dog"}}},
		{"an elision between words", score(four + strings.Replace(n("C4:4"), "</note>", "<lyric><syllabic>end</syllabic><text>qu'il</text><elision>‿</elision><syllabic>single</syllabic><text>est</text><extend/></lyric></note>", 1)), [][]string{{"qu'il est"}}},
		{"an elision within a word", score(four + strings.Replace(n("C4:4"), "</note>", "<lyric><syllabic>begin</syllabic><text>mi</text><elision/><syllabic>end</syllabic><text>o</text></lyric></note>", 1)), [][]string{{"mio"}}},
		{"a line that is drawn on", score(four + sing("C4:2", "1:single:dog") + strings.Replace(n("C4:2"), "</note>", "<lyric><extend/></lyric></note>", 1)), [][]string{{"dog"}}},
		{"on another note of the chord", score(four + n("E4:4") + strings.Replace(n("C4:4+"), "</note>", "<lyric><text>dog</text></lyric></note>", 1)), [][]string{{"dog"}}},
		{"out of order", score(four + n("r:2v1 C4:2v1=two") + backup(4) + n("E4:2v1=one")), [][]string{{"one two"}}},
		{"the lower voice's are not sung", score(four + n("E5:4v1=high") + backup(4) + n("C4:4v2=low")), [][]string{{"high"}}},
		{"the lower voice has them alone", score(four + n("E5:4v1") + backup(4) + n("C4:4v2=low")), [][]string{{"low"}}},
	} {
		bars := read(t, c.text).Bars()
		for i, want := range c.want {
			if want == nil {
				want = []string{}
			}
			assert.Equal(t, want, bars[i].Lyrics, c.name)
		}
	}
}

// Where English words are cut: common practice, no source.
func TestSyllables(t *testing.T) {
	for word, want := range map[string]string{
		"cavern": "ca vern", "canyon,": "can yon,", "darling": "dar ling", "table": "ta ble", "home": "home", "loved": "loved", "wanted": "wan ted",
		"Louisi-": "Loui si", "antelope": "an te lope", "people": "peo ple", "quiet": "quiet", "to-night": "to night", "rhythm": "rhythm", "you": "you",
		"mother": "mo ther", "Jacques": "Jacques", "roses": "ro ses", "-": "", "3": "3", "ÉTÉ": "É TÉ",
	} {
		assert.Equal(t, want, strings.Join(syllables(word), " "), word)
	}
}

// under is what stands under each note of what is written: a hyphen before and
// behind where a word goes on, - for nothing.
func under(t *testing.T, text string) string {
	t.Helper()
	var all []string
	for _, note := range strings.Split(string(Write(material.Chart(t, text))), "<note>")[1:] {
		_, rest, ok := strings.Cut(note, "<syllabic>")
		if !ok {
			all = append(all, "-")
			continue
		}
		syllabic, rest, _ := strings.Cut(rest, "<")
		_, rest, _ = strings.Cut(rest, "<text>")
		word, _, _ := strings.Cut(rest, "<")
		all = append(all, syllabic+":"+word)
	}
	return strings.Join(all, " ")
}

func TestWordsUnderNotes(t *testing.T) {
	head := "key: C\nmeter: 4/4\n\n| C | C |\n"
	for _, c := range []struct{ name, text, want string }{
		{"a syllable a note", head + "m: | C4 D4 | E4 F4 |\nw: | darling | oh my |\n", "begin:dar end:ling single:oh single:my"},
		{"over the barline", head + "m: | C4 D4 | E4 F4 |\nw: | in Ala- | bama |\n", "single:in begin:Ala middle:ba end:ma"},
		{"spread over four", head + "m: | C2 D2 E2 F2 | Z |\nw: | auld lang |\n", "single:auld - single:lang - -"},
		{"not under ties and rests", head + "m: | C8- | C4 z2 D2 |\nw: | one | two |\n", "single:one - - single:two"},
	} {
		assert.Equal(t, c.want, under(t, c.text), c.name)
		assert.NotContains(t, string(Write(material.Chart(t, c.text))), "<words>", c.name)
	}
}

// sungTo writes what stands under each of so many quarters.
func sungTo(words string, notes int) string {
	units, on := spread(strings.Fields(words), notes)
	var all []string
	for _, u := range units {
		text := u.text
		if u.on {
			text += "-"
		}
		all = append(all, text)
	}
	if on {
		all = append(all, "...")
	}
	return strings.Join(all, "|")
}

func TestSpread(t *testing.T) {
	for _, c := range []struct {
		words string
		notes int
		want  string
	}{
		{"cavern, in a", 4, "ca-|vern,|in|a"},
		{"cavern, in a", 3, "cavern,|in|a"},
		{"cavern, in a", 2, "cavern, in|a"},
		{"auld lang", 4, "auld|lang"},
		{"vating for a", 4, "va-|ting|for|a"},
		{"canyon, exca-", 4, "can-|yon,|ex-|ca-|..."},
		{"canyon, exca-", 1, "canyon, exca-|..."},
		{"", 2, ""},
	} {
		assert.Equal(t, c.want, sungTo(c.words, c.notes), c.words)
	}
	assert.Empty(t, struck([]mxml.Note{{FromTie: true}, {Piece: mxml.Piece{Rest: true}}}))
}
