package abc

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/song"
)

// letters are the first notes of the bars as they are played.
func letters(s *song.Song) string {
	bars := s.Bars()
	var w strings.Builder
	for _, i := range s.Order {
		w.WriteString(bars[i].Notes[0].Pitch.Note.String())
	}
	return w.String()
}

func TestOrder(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"as written", "A8|B8|C8|]", "ABC"},
		{"repeated", "|:A8|B8:|C8|", "ABABC"},
		{"two repeats 4.8", "|:A8::B8:|", "AABB"},
		{"written otherwise", "|:A8:|:B8:||:C8:||:D8:|", "AABBCCDD"},
		{"liberally, standard 4.8", "[|:A8:|]C8[|B8|", "AACB"},
		{"three times 4.8", "|::A8::|B8|", "AAAB"},
		{"from the beginning where the sign is missing 4.8", "A8|B8:|C8|", "ABABC"},
		{"from the end of a repeat", "A8:|B8|C8:|", "AABCBC"},
		{"from the double barline", "A8||B8|C8:|", "ABCBC"},
		{"never closed", "|:A8|B8|]", "AB"},
		{"begun anew", "|:A8|:B8:|", "ABB"},
		{"closed on the next line", "|:A8|B8\n:|C8|", "ABABC"},
		{"endings 4.9", "|:A8|1 B8:|2 C8|]D8|", "ABACD"},
		{"with brackets", "|:A8|[1 B8:|[2 C8|]", "ABAC"},
		{"with spaces", "A8| [1 B8 :| [2 C8 |]", "ABAC"},
		{"within a bar", "A4 [1 B8:|[2 C8|]", "ABAC"},
		{"the last one closed as well", "|:A8|1 B8:|2 C8:|D8|", "ABACD"},
		{"lists 4.10", "|:A8|[1,3 B8:|[2 C8|]", "ABACAB"},
		{"ranges 4.10", "|:A8|[1-3 B8:|[4 C8|]", "ABABABAC"},
		{"lists and ranges 4.10", "|:A8|[1,3,5-7 B8:|[2,4,8 C8|]", "ABACABACABABABAC"},
		{"an ending that is not there", "|:A8|1 B8:|C8|", "ABAC"},
		{"long endings", "|:A8|1 B8|C8:|2 D8|E8||F8|", "ABCADEF"},
		{"two with endings", "A8|1 B8:|2 C8|:D8|1 E8:|2 F8|]", "ABACDEDF"},
		{"a bar of two", "A4:|B4|C8|", "AABC"},
		{"parts, standard 3.1.9", "P:A3\nK:C\nP:A\nA8|", "AAA"},
		{"in parentheses, standard", "P:(AB)3\nK:C\nP:A\nA8|\nP:B\nB8|", "ABABAB"},
		{"nested, standard", "P:((AB)3.(CD)3)2\nK:C\nP:A\nA8|\nP:B\nB8|\nP:C\nC8|\nP:D\nD8|", "ABABABCDCDCDABABABCDCDCD"},
		{"with repeats inside", "P:AABA\nK:C\nP:A\n|:A8:|\nP:B\nB8|", "AAAABAA"},
		{"inline", "P:ABA\nK:C\n[P:A]A8|[P:B]B8|", "ABA"},
		{"what stands before them comes first", "P:AB\nK:C\nG8|\nP:A\nA8|\nP:B\nB8|", "GAB"},
		{"written as played", "P:ABA\nK:C\nP:A\nA8|\nP:B\nB8|\nP:A\nC8|", "ABC"},
		{"no order", "P:A\nA8|\nP:B\nB8:|", "ABB"},
		{"no parts", "P:AB\nK:C\nA8|B8|", "AB"},
		{"a number before any", "P:2A\nK:C\nP:A\nA8|", "A"},
		{"a part that is not there", "P:ABZ\nK:C\nP:A\nA8|\nP:B\nB8|", "AB"},
		{"its endings count the times, standard 4.10", "P:A4.B\nK:C\nP:A\nA8|[1 B8:|[2 C8:|[3 D8:|[4 E8|]\nP:B\nF8|", "ABACADAEF"},
		{"from the beginning to Fine 4.14", "A8|B8!fine!|C8|D8!D.C.!|]", "ABCDAB"},
		{"in words", "A8|\"^Fine\"B8|C8|D8\"^D.C. al Fine\"|]", "ABCDAB"},
		{"behind the last barline", "A8|B8!fine!|C8|]!dacapo!", "ABCAB"},
		{"without Fine", "A8|B8!D.C.!|", "ABAB"},
		{"repeats once, with the last ending", "|:A8|1 B8:|2 C8|]D8!fine!|E8!D.C.!|]", "ABACDEACD"},
		{"from the sign", "A8|SB8|C8!fine!|D8!D.S.!|]", "ABCDBC"},
		{"to the coda", "A8|B8!dacoda!|C8!D.C.!|!coda!D8|E8|]", "ABCABDE"},
		{"the coda by its signs", "A8|SB8O|C8!D.S.!|OD8|]", "ABCBD"},
		{"with parts as well", "P:BA\nK:C\nP:A\nA8!D.C.!|\nP:B\nB8|", "BA"},
	} {
		text := c.text
		if strings.HasPrefix(text, "P:A\n") {
			text = "K:C\n" + text
		}
		assert.Equal(t, c.want, letters(read(t, text)), c.name)
	}
}

func TestPartsOutOfOrderAreTold(t *testing.T) {
	s := read(t, "P:AZ\nK:C\nP:A\nA8|\nP:B\nB8|")
	assert.Equal(t, []string{"the order of the parts names Z, which is not there", "the part B is not in the order of the parts, and not played"}, told(s))
}

func TestRepeatsAsBarsTell(t *testing.T) {
	s := read(t, "|:A8|1 B8:|2 C8||::D8::|E8|]")
	var got []string
	for _, b := range s.Bars() {
		got = append(got, fmt.Sprint(b.Opens, b.Closes, b.Times, b.Ending, b.Barline == chart.Final))
	}
	assert.Equal(t, chart.Single, read(t, "A8[|]B8|]").Bars()[0].Barline)
	assert.Equal(t, []string{"true false 0 0 false", "false true 2 1 false", "false false 0 2 false", "true true 3 0 false", "false false 0 0 true"}, got)
}

func TestSections(t *testing.T) {
	s := read(t, "K:C\nA8|\nP:Chorus\nB8|C8|\nT:Slow\nD8|")
	var got []string
	for _, p := range s.Sections {
		got = append(got, fmt.Sprintf("%s %d", p.Name, len(p.Bars)))
	}
	assert.Equal(t, []string{" 1", "Chorus 2", "Slow 1"}, got)
}

// Old Sir Simon the King and William and Nancy, both of English.abc (13.1): the
// meter changes in an ending, and parts are in another meter.
func TestEnglishTunes(t *testing.T) {
	s, err := Read([]byte(english), "", song.Wish{Tune: "2"})
	require.NoError(t, err)
	assert.Equal(t, 2*36+19+17+19+20, length(s)/480, "eighths: four bars twice, then two with endings, of which one begins in 12/8")
	s, err = Read([]byte(english), "", song.Wish{Tune: "William and Nancy"})
	require.NoError(t, err)
	assert.Equal(t, []string{"A", "B", "A", "B", "A", "C", "A", "C", "A"}, sectionsPlayed(s))
}

// length is how long the song is as played.
func length(s *song.Song) (sum int) {
	bars := s.Bars()
	for _, i := range s.Order {
		sum += int(bars[i].Len)
	}
	return sum
}

func sectionsPlayed(s *song.Song) []string {
	var names, all []string
	for _, p := range s.Sections {
		for range p.Bars {
			names = append(names, p.Name)
		}
	}
	for _, i := range s.Order {
		if n := len(all); n == 0 || all[n-1] != names[i] {
			all = append(all, names[i])
		}
	}
	return all
}

const english = `%abc-2.1
H:This file contains some example English tunes
O:England             % the origin of all tunes is England

X:2
T:Old Sir Simon the King
C:Trad.
S:Offord MSS          % from Offord manuscript
N:see also Playford   % reference note
M:9/8
R:SJ                  % slip jig
N:originally in C     % transcription note
K:G
D|GFG GAG G2D|GFG GAG F2D|EFE EFE EFG|A2G F2E D2:|
D|GAG GAB d2D|GAG GAB c2D|[1 EFE EFE EFG|A2G F2E D2:|\ % no line-break in score
M:12/8                % change of meter
[2 E2E EFE E2E EFG|\  % no line-break in score
M:9/8                 % change of meter
A2G F2E D2|]

X:3
T:William and Nancy
T:New Mown Hay
T:Legacy, The
C:Trad.
O:England; Gloucs; Bledington % place of origin
P:(AB)2(AC)2A                 % play the parts in this order
M:6/8
K:G
[P:A] D|"G"G2G GBd|"C"e2e "G"dBG|"D7"A2d "G"BAG|"C"E2"D7"F "G"G2:|
[P:B] d|"G"e2d B2d|"C"gfe "G"d2d| "G"e2d    B2d|"C"gfe    "D7"d2c|
        "G"B2B Bcd|"C"e2e "G"dBG|"D7"A2d "G"BAG|"C"E2"D7"F "G"G2:|
% changes of meter, using inline fields
[T:Slows][M:4/4][L:1/4][P:C]"G"d2|"C"e2 "G"d2|B2 d2|"Em"gf "A7"e2|"D7"d2 "G"d2|\
       "C"e2 "G"d2|[M:3/8][L:1/8] "G"B2 d |[M:6/8] "C"gfe "D7"d2c|
        "G"B2B Bcd|"C"e2e "G"dBG|"D7"A2d "G"BAG|"C"E2"D7"F "G"G2:|
`
