package musicxml

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/sheet/song"
)

// marks are what stands in and around a measure, by one sign each.
var marks = map[string]string{
	"|:":    `<barline location="left"><repeat direction="forward"/></barline>`,
	":|":    `<barline location="right"><repeat direction="backward"/></barline>`,
	":|x3":  `<barline location="right"><repeat direction="backward" times="3"/></barline>`,
	":|aj":  `<barline location="right"><repeat direction="backward" after-jump="yes"/></barline>`,
	"1[":    `<barline location="left"><ending number="1" type="start"/></barline>`,
	"2[":    `<barline location="left"><ending number="2" type="start"/></barline>`,
	"12[":   `<barline location="left"><ending number="1, 2" type="start"/></barline>`,
	"3[":    `<barline location="left"><ending number="3" type="start"/></barline>`,
	"?[":    `<barline location="left"><ending number="" type="start"/></barline>`,
	"]":     `<barline location="right"><ending number="1" type="stop"/></barline>`,
	"]open": `<barline location="right"><ending number="1" type="discontinue"/></barline>`,
	"segno": `<direction><direction-type><segno/></direction-type><sound segno="one"/></direction>`,
	"coda":  `<direction><direction-type><coda/></direction-type><sound coda="c"/></direction>`,
	"dc":    `<direction><direction-type><words>D.C.</words></direction-type><sound dacapo="yes"/></direction>`,
	"ds":    `<direction><direction-type><words>D.S.</words></direction-type><sound dalsegno="one"/></direction>`,
	"to":    `<direction><direction-type><words>To Coda</words></direction-type><sound tocoda="c"/></direction>`,
	"fine":  `<direction><direction-type><words>Fine</words></direction-type><sound fine="yes"/></direction>`,
	"dc!":   `<direction><direction-type><words>Fine</words></direction-type><sound dacapo="yes"/></direction>`,
	"ds!":   `<direction><direction-type><words>Fine</words></direction-type><sound dalsegno="one"/></direction>`,
	"to!":   `<direction><direction-type><words>D.C.</words></direction-type><sound tocoda="c"/></direction>`,
	"fine!": `<direction><direction-type><words>D.C.</words></direction-type><sound fine="yes"/></direction>`,
	"SEGNO": `<direction><direction-type><segno/></direction-type></direction>`,
	"CODA":  `<direction><direction-type><coda/></direction-type></direction>`,
}

// flowing is a score of measures that are told apart by "|"; words in them that are
// no marks are words above the staff.
func flowing(text string) string {
	var measures []string
	for _, m := range strings.Split(text, " / ") {
		body := ""
		for _, f := range strings.Fields(m) {
			if mark, ok := marks[f]; ok {
				body += mark
			} else if f != "." {
				body += `<direction><direction-type><words>` + strings.ReplaceAll(f, "_", " ") + `</words></direction-type></direction>`
			}
		}
		measures = append(measures, body+n("C4:4"))
	}
	measures[0] = four + measures[0]
	return score(measures...)
}

// The order of playing follows <repeat>, <ending> and <sound> of MusicXML 4.0;
// words alone mean what they do in print (common practice, no source).
func TestOrder(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"no repeat", ". / . / .", "0 1 2"},
		{"from a sign", ". / |: / :|", "0 1 2 1 2"},
		{"from the beginning", ". / :| / .", "0 1 0 1 2"},
		{"one measure", "|: :| / .", "0 0 1"},
		{"two in a row", "|: / :| / :| / .", "0 1 0 1 2 2 3"},
		{"three times", "|: :|x3 / .", "0 0 0 1"},
		{"two endings", "|: / 1[ ] :| / 2[ ]open / .", "0 1 0 2 3"},
		{"two endings that both repeat", "|: / 1[ ] :| / 2[ ] :| / .", "0 1 0 2 3"},
		{"endings of two measures", "|: / 1[ / ] :| / 2[ / ]open / .", "0 1 2 0 3 4 5"},
		{"a first ending alone", "|: / 1[ ] :| / .", "0 1 0 2"},
		{"endings 1, 2 and 3", "|: / 12[ ] :| / 3[ ]open / .", "0 1 0 1 0 2 3"},
		{"three endings", "|: / 1[ ] :| / 2[ ] :| / 3[ ]open", "0 1 0 2 0 3"},
		{"endings without numbers", "|: / ?[ ] :| / ?[ ]open / .", "0 1 0 2 3"},
		{"two repeats with endings", "|: / 1[ ] :| / 2[ ]open / |: / 1[ ] :| / 2[ ]open", "0 1 0 2 3 4 3 5"},
		{"da capo al fine", ". / fine / . / dc", "0 1 2 3 0 1"},
		{"da capo without an end", ". / dc / .", "0 1 0 1 2"},
		{"da capo, repeats once", "|: / 1[ ] :| / 2[ ]open / dc", "0 1 0 2 3 0 2 3"},
		{"a repeat that is played after the jump, too", "|: :|aj / dc", "0 0 1 0 0 1"},
		{"dal segno", ". / segno / ds / .", "0 1 2 1 2 3"},
		{"dal segno al coda", ". / segno / to / ds / coda / .", "0 1 2 3 1 2 4 5"},
		{"a repeat in the coda", ". / to / dc / coda |: / :|", "0 1 2 0 1 3 4 3 4"},
		{"a repeat that ends where the jump is", "|: / :| dc / .", "0 1 0 1 0 1 2"},
		{"words alone: al fine", ". / Fine / D.C._al_Fine", "0 1 2 0 1"},
		{"words alone: al coda", "SEGNO / To_Coda / D.S._al_Coda / CODA", "0 1 2 0 1 3"},
		{"two signs of the coda", ". / CODA / D.C._al_Coda / CODA", "0 1 2 0 1 3"},
		{"da capo al coda leaves out Fine", ". / Fine / To_Coda / D.C._al_Coda / CODA", "0 1 2 3 0 1 2 4"},
		{"da capo al fine leaves out the coda", ". / To_Coda / Fine / Da_Capo_al_Fine / CODA", "0 1 2 3 0 1 2"},
		{"without full stops", ". / Fine / DC_al_Fine", "0 1 2 0 1"},
		{"chords that are written as words", ". / D_C / D_S_X / G", "0 1 2 3"},
		{"how it sounds counts: da capo", ". / dc! / .", "0 1 0 1 2"},
		{"how it sounds counts: dal segno", ". / segno / ds! / .", "0 1 2 1 2 3"},
		{"how it sounds counts: to the coda", ". / to! / dc / coda", "0 1 2 0 1 3"},
		{"how it sounds counts: the end", ". / fine! / dc / .", "0 1 2 0 1"},
		{"endings without numbers in two repeats", "|: / ?[ ] :| / ?[ ]open / . / |: / ?[ ] :| / ?[ ]open", "0 1 0 2 3 4 5 4 6"},
		{"no sign to go to", ". / ds / .", "0 1 2"},
		{"no coda to go to", ". / to / dc / .", "0 1 2 0 1 2 3"},
		{"words that only sound alike", "Fine_and_mellow / Dance / decresc.", "0 1 2"},
	} {
		got := strings.Trim(fmt.Sprint(read(t, flowing(c.text)).Order), "[]")
		assert.Equal(t, c.want, got, c.name)
	}
}

func TestBarsTellRepeats(t *testing.T) {
	bars := read(t, flowing("|: / 1[ ] :| / 2[ ]open / |: :|x3")).Bars()
	assert.True(t, bars[0].Opens)
	assert.True(t, bars[1].Closes)
	assert.Equal(t, []int{0, 1, 2, 0}, []int{bars[0].Ending, bars[1].Ending, bars[2].Ending, bars[3].Ending})
	assert.Equal(t, []int{0, 2, 0, 3}, []int{bars[0].Times, bars[1].Times, bars[2].Times, bars[3].Times})
}

func TestAsLongAsASongMayBe(t *testing.T) {
	measures := make([]string, song.MostBars/2)
	measures[len(measures)-1] = marks[":|"]
	assert.Len(t, read(t, score(measures...)).Order, song.MostBars)
}

func TestRepeatsEnd(t *testing.T) {
	for name, text := range map[string]string{
		"a million times":           strings.Replace(flowing("|: :|x3"), `times="3"`, `times="1000000"`, 1),
		"ten thousand repeats":      score(strings.Fields(strings.Repeat(strings.ReplaceAll(marks["|:"]+"<note><rest/><duration>1</duration></note>"+marks[":|"], " ", "&#32;")+" ", 9000))...),
		"more measures than a song": score(make([]string, song.MostBars+1)...),
	} {
		text = strings.ReplaceAll(text, "&#32;", " ")
		_, err := Read([]byte(text), "a.xml", song.Wish{})
		require.ErrorContains(t, err, "longer than 10000 measures", name)
	}
}
