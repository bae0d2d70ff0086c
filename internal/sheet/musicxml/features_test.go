package musicxml

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// What scores have besides a tune is passed over without a word, and changes
// nothing: it stands around the tune C4 D4.
func TestWhatIsNoTuneIsPassedOver(t *testing.T) {
	direction := func(kind string) string {
		return "<direction><direction-type>" + kind + "</direction-type></direction>"
	}
	attribute := func(kind string) string { return attributes(kind) }
	for name, text := range map[string]string{
		"clefs":              attribute(`<clef><sign>C</sign><line>3</line></clef>`) + attribute(`<clef><sign>G</sign><line>2</line><clef-octave-change>-1</clef-octave-change></clef>`),
		"a clef for drums":   attribute(`<clef><sign>percussion</sign></clef>`),
		"several staves":     attribute(`<staves>2</staves><part-symbol>brace</part-symbol><clef number="2"><sign>F</sign><line>4</line></clef>`),
		"lines of a staff":   attribute(`<staff-details><staff-lines>6</staff-lines><staff-tuning line="1"><tuning-step>E</tuning-step><tuning-octave>2</tuning-octave></staff-tuning><capo>2</capo></staff-details>`),
		"slashes":            attribute(`<measure-style><slash type="start" use-stems="no"/></measure-style>`),
		"repeated beats":     attribute(`<measure-style><beat-repeat type="start"/></measure-style>`),
		"instruments":        attribute(`<instruments>2</instruments>`),
		"dynamics":           direction(`<dynamics><fff/></dynamics>`),
		"wedges":             direction(`<wedge type="crescendo"/>`),
		"words":              direction(`<words>with feeling</words>`),
		"octave lines":       direction(`<octave-shift type="down" size="8"/>`),
		"pedals":             direction(`<pedal type="start" line="yes"/>`),
		"dashes":             direction(`<dashes type="start"/>`),
		"brackets":           direction(`<bracket type="start" line-end="none"/>`),
		"strings to tune":    direction(`<scordatura><accord string="1"><tuning-step>E</tuning-step><tuning-octave>2</tuning-octave></accord></scordatura>`),
		"percussion":         direction(`<percussion><glass>wind chimes</glass></percussion>`),
		"an accordion":       direction(`<accordion-registration><accordion-high/></accordion-registration>`),
		"a page":             `<print page-number="2"><system-layout><system-distance>80</system-distance></system-layout></print>`,
		"a dashed barline":   `<barline location="middle"><bar-style>dashed</bar-style></barline>`,
		"a hold on the line": `<barline location="right"><bar-style>heavy-heavy</bar-style><fermata/></barline>`,
		"a group":            `<grouping type="start"/>`,
		"a link":             `<link xmlns:xlink="http://www.w3.org/1999/xlink" xlink:href="a"/><bookmark id="b"/>`,
		"listening":          `<listening><sync type="tempo"/></listening>`,
		"a remark":           `<!-- C5 --><?sibelius 1?>`,
	} {
		s := read(t, score(four+n("C4:2")+text+n("D4:2")))
		assert.Equal(t, "C4:2@0 D4:2@2", sung(s), name)
		assert.Empty(t, s.Notices, name)
		assert.Equal(t, []int{0}, s.Order, name)
	}
}

// So is what hangs on a note.
func TestWhatHangsOnNotesIsPassedOver(t *testing.T) {
	for name, text := range map[string]string{
		"a slur":            `<notations><slur type="start"/></notations>`,
		"a tuplet's sign":   `<notations><tuplet type="start" bracket="yes"><tuplet-actual><tuplet-number>3</tuplet-number></tuplet-actual></tuplet></notations>`,
		"articulations":     `<notations><articulations><staccato/><accent/><caesura/></articulations></notations>`,
		"ornaments":         `<notations><ornaments><trill-mark/><tremolo>3</tremolo></ornaments></notations>`,
		"a guitar's signs":  `<notations><technical><string>1</string><fret>3</fret><hammer-on type="start">H</hammer-on><bend><bend-alter>2</bend-alter></bend></technical></notations>`,
		"fingers":           `<notations><technical><fingering>2</fingering></technical></notations>`,
		"a hold":            `<notations><fermata/></notations>`,
		"a broken chord":    `<notations><arpeggiate/></notations>`,
		"a slide":           `<notations><glissando type="start"/></notations>`,
		"it rings on":       `<notations><tied type="let-ring"/></notations>`,
		"a head in diamond": `<notehead parentheses="yes">diamond</notehead>`,
		"stem and beam":     `<stem>up</stem><beam number="1">begin</beam>`,
		"an accidental":     `<accidental editorial="yes">natural</accidental>`,
		"an instrument":     `<instrument id="P1-I1"/>`,
		"how it is played":  `<play><ipa>a</ipa></play>`,
	} {
		s := read(t, score(four+strings.Replace(n("C4:2"), "</note>", text+"</note>", 1)+n("C4:2")))
		assert.Equal(t, "C4:2@0 C4:2@2", sung(s), name)
		assert.Empty(t, s.Notices, name)
	}
}

// A phrase ends where the singer breathes.
func TestBreathsEndPhrases(t *testing.T) {
	s := read(t, score(four+strings.Replace(n("C4:2"), "</note>", `<notations><articulations><breath-mark/></articulations></notations></note>`, 1)+n("D4:2")))
	assert.True(t, s.Bars()[0].Notes[0].Ends)
	assert.False(t, s.Bars()[0].Notes[1].Ends)
}
