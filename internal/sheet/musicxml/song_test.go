package musicxml

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/song"
)

// headed is a score with elements before its parts.
func headed(head string) string {
	return strings.Replace(score(four+n("C4:4")), "<part-list>", head+"<part-list>", 1)
}

func TestTitleAndMaker(t *testing.T) {
	credits := `<credit page="1"><credit-words font-size="24" justify="center">Aura Lee</credit-words></credit>` +
		`<credit page="1"><credit-words font-size="12" justify="right">George Poulton</credit-words></credit><credit page="2"><credit-words font-size="40">2</credit-words></credit>`
	for _, c := range []struct{ name, head, title, by string }{
		{"a work", `<work><work-title>Aura Lee</work-title></work>`, "Aura Lee", ""},
		{"a movement", `<movement-title>Aura
 Lee</movement-title>`, "Aura  Lee", ""},
		{"both", `<work><work-title>Two Songs</work-title></work><movement-title>Aura Lee</movement-title>`, "Two Songs: Aura Lee", ""},
		{"both the same", `<work><work-title>Aura Lee</work-title></work><movement-title>Aura Lee</movement-title>`, "Aura Lee", ""},
		{"credits by their look", credits, "Aura Lee", "George Poulton"},
		{"credits by their kind", `<credit><credit-type>composer</credit-type><credit-words>George Poulton</credit-words></credit><credit><credit-type>title</credit-type><credit-words>Aura</credit-words><credit-words>Lee</credit-words></credit>`, "Aura Lee", "George Poulton"},
		{"makers", `<identification><creator type="lyricist">W. W. Fosdick</creator><creator type="composer">George Poulton</creator></identification>`, "", "George Poulton"},
		{"one who made something else", `<identification><creator type="translator">Nobody</creator></identification>`, "", "Nobody"},
	} {
		s := read(t, headed(c.head))
		assert.Equal(t, c.title, s.Title, c.name)
		assert.Equal(t, c.by, s.By, c.name)
	}
}

func TestKeys(t *testing.T) {
	key := func(inner string) string { return attributes("<key>" + inner + "</key>") }
	for _, c := range []struct{ name, key, want, notice string }{
		{"none", "", "C", ""},
		{"without a mode", key("<fifths>-1</fifths>"), "F", ""},
		{"major", key("<cancel>2</cancel><fifths>3</fifths><mode>major</mode>"), "A", ""},
		{"minor", key("<fifths>1</fifths><mode>minor</mode>"), "Em", ""},
		{"dorian", key("<fifths>0</fifths><mode>dorian</mode>"), "Dm", "the mode dorian is taken for D minor"},
		{"mixolydian", key("<fifths>0</fifths><mode>mixolydian</mode>"), "G", "the mode mixolydian is taken for G major"},
		{"seven sharps", key("<fifths>7</fifths>"), "C#", ""},
		{"eight sharps", key("<fifths>8</fifths>"), "Ab", ""},
		{"of its own kind", key("<key-step>F</key-step><key-alter>1</key-alter>"), "C", "a key signature that is not of a major or minor key"},
		{"another on the lower staff", attributes(`<key number="1"><fifths>2</fifths></key><key number="2"><fifths>-1</fifths></key>`), "D", ""},
		{"a transposing part", attributes("<transpose><diatonic>-1</diatonic><chromatic>-2</chromatic></transpose><key><fifths>2</fifths></key>"), "C", ""},
		{"an alto saxophone", attributes("<key><fifths>0</fifths></key><transpose><diatonic>-5</diatonic><chromatic>-9</chromatic></transpose>"), "Eb", ""},
	} {
		s := read(t, score(four+c.key+n("C4:4")))
		assert.Equal(t, c.want, s.Key.String(), c.name)
		assert.Contains(t, toldOf(s), c.notice, c.name)
	}
	g := pitch.Key{Tonic: pitch.NoteAtFifths(1)}
	bars := read(t, score(four+key("<fifths>0</fifths>")+n("C4:4"), key("<fifths>1</fifths>")+n("G4:4"), n("G4:4"))).Bars()
	assert.Equal(t, []*pitch.Key{nil, &g, nil}, []*pitch.Key{bars[0].Key, bars[1].Key, bars[2].Key})
}

func TestMeters(t *testing.T) {
	for _, c := range []struct{ name, text, want, notice string }{
		{"common time", `<time symbol="common"><beats>4</beats><beat-type>4</beat-type></time>`, "4/4", ""},
		{"cut time", `<time symbol="cut"><beats>2</beats><beat-type>2</beat-type></time>`, "2/2", ""},
		{"added", `<time><beats>3+2</beats><beat-type>4</beat-type></time>`, "5/4", ""},
		{"of two kinds", `<time><beats>3</beats><beat-type>8</beat-type><beats>1</beats><beat-type>4</beat-type></time>`, "5/8", ""},
		{"whole notes", `<time><beats>1</beats><beat-type>1</beat-type></time>`, "2/2", ""},
		{"without measure", `<time><senza-misura/></time>`, "4/4", "as long as what stands in them"},
		{"unreadable", `<time><beats>x</beats><beat-type>4</beat-type></time>`, "4/4", "a time signature is not readable"},
		{"not a power of two", `<time><beats>4</beats><beat-type>3</beat-type></time>`, "4/4", "a time signature is not readable"},
		{"none", ``, "4/4", "no time signature is written, and 4/4 is taken"},
	} {
		s := read(t, score(attributes(c.text)+n("C4:4")))
		assert.Equal(t, c.want, s.Meter.String(), c.name)
		assert.Contains(t, toldOf(s), c.notice, c.name)
	}
	s := read(t, score(four+n("C4:4"), time("3", "4")+n("C4:3"), time("3", "4")+n("C4:3")))
	assert.Equal(t, []meter.Meter{{}, {Num: 3, Den: 4}, {}}, []meter.Meter{s.Bars()[0].Meter, s.Bars()[1].Meter, s.Bars()[2].Meter})
}

func TestLengthsOfBars(t *testing.T) {
	whole := `<note><rest measure="yes"/><duration>9</duration></note>`
	pickUp := strings.Replace(score(four+n("G4:1"), n("C4:4")), `number="1"`, `number="0" implicit="yes"`, 1)
	for _, c := range []struct{ name, text, want string }{
		{"a pick-up", pickUp, "1 4"},
		{"an incomplete bar", score(four+n("C4:4"), n("C4:3"), n("C4:1")), "4 3 1"},
		{"rests for whole bars", score(four+whole, time("3", "4")+whole), "4 3"},
		{"a silent pick-up", strings.Replace(score(four+`<note><rest measure="yes"/><duration>1</duration></note>`, n("C4:4")), `number="1"`, `number="0" implicit="yes"`, 1), "1 4"},
		{"nothing at all", score(four, n("C4:4")), "4 4"},
		{"the other part has it", parts("A,B", []string{four + n("C4:2")}, []string{four + n("C4:4")}), "4"},
		{"one part is shorter", parts("A,B", []string{four + n("C4:4")}, []string{four + n("C4:4"), n("C4:3")}), "4 3"},
		{"without measure", score(attributes("<divisions>1</divisions><time><senza-misura/></time>") + n("C4:7")), "7"},
		{"rounded septuplets", score(attributes("<divisions>480</divisions>") + n("C4:69 C4:69 C4:69 C4:69 C4:69 C4:69 C4:69 C4:1440")), "4"},
		{"short by a sixty-fourth", score(attributes("<divisions>16</divisions>") + n("C4:63")), "3.9375"},
		{"forward", score(four + n("C4:1") + "<forward><duration>3</duration></forward>"), "4"},
	} {
		s := read(t, c.text)
		var all []string
		for _, b := range s.Bars() {
			all = append(all, fmt.Sprint(float64(b.Len)/float64(meter.Quarter)))
		}
		assert.Equal(t, c.want, strings.Join(all, " "), c.name)
	}
	assert.Equal(t, meter.Quarter, read(t, pickUp).Upbeat)
	assert.Zero(t, read(t, score(four+n("C4:4"))).Upbeat)
}

func TestTempos(t *testing.T) {
	mark := func(inner, sound string) string {
		return `<direction><direction-type><metronome>` + inner + `</metronome></direction-type>` + sound + `</direction>`
	}
	quarter := `<beat-unit>quarter</beat-unit>`
	for _, c := range []struct {
		name, text string
		want       meter.Tempo
		notice     string
	}{
		{"a mark", score(four + mark(quarter+`<per-minute>96</per-minute>`, "") + n("C4:4")), 96, ""},
		{"about", score(four + mark(quarter+`<per-minute>c. 96.5</per-minute>`, "") + n("C4:4")), 96.5, ""},
		{"how it sounds", score(four + `<sound tempo="90"/>` + n("C4:4")), 90, ""},
		{"how it sounds counts", score(four + mark(quarter+`<per-minute>96</per-minute>`, `<sound tempo="80"/>`) + n("C4:4")), 80, ""},
		{"dotted quarters", score(time("6", "8") + mark(quarter+`<beat-unit-dot/><per-minute>57.3</per-minute>`, `<sound tempo="85.95"/>`) + n("C4:3")), 57.3, ""},
		{"a mark in quarters in 6/8", score(time("6", "8") + mark(quarter+`<per-minute>90</per-minute>`, "") + n("C4:3")), 60, ""},
		{"halves", score(time("2", "2") + mark(`<beat-unit>half</beat-unit><per-minute>60</per-minute>`, "") + n("C4:4")), 60, ""},
		{"equal values", score(four + mark(quarter+quarter, "") + n("C4:4")), 0, ""},
		{"it changes", score(four+`<sound tempo="90"/>`+n("C4:4"), n("C4:4"), `<sound tempo="60"/>`+n("C4:4")), 90, "measure 3: the tempo changes"},
		{"late", score(four+n("C4:4"), n("C4:4"), `<sound tempo="60"/>`+n("C4:4")), 0, "measure 3: the tempo changes"},
	} {
		s := read(t, c.text)
		assert.Equal(t, c.want, s.Tempo, c.name)
		assert.Contains(t, toldOf(s), c.notice, c.name)
		if c.notice == "" {
			assert.NotContains(t, toldOf(s), "tempo", c.name)
		}
	}
	s, err := Read([]byte(score(four+`<sound tempo="90"/>`+n("C4:4"))), "a.xml", song.Wish{Tempo: 70})
	assert.NoError(t, err)
	assert.Equal(t, meter.Tempo(70), s.Tempo)
}

func TestSectionsAndLines(t *testing.T) {
	name := func(s string) string {
		return `<direction><direction-type><rehearsal>` + s + `</rehearsal></direction-type></direction>`
	}
	s := read(t, score(four+n("C4:4"), name("A")+n("C4:4"), `<print new-system="yes"/>`+n("C4:4")+`<barline><bar-style>light-light</bar-style></barline>`,
		name("Chorus")+n("C4:4")+`<barline location="right"><bar-style>light-heavy</bar-style></barline>`))
	var all []string
	for _, sec := range s.Sections {
		all = append(all, fmt.Sprintf("%s:%d", sec.Name, len(sec.Bars)))
	}
	assert.Equal(t, ":1 A:2 Chorus:1", strings.Join(all, " "))
	bars := s.Bars()
	assert.Equal(t, []bool{false, true, false, false}, []bool{bars[0].Breaks, bars[1].Breaks, bars[2].Breaks, bars[3].Breaks})
	assert.Equal(t, []chart.Barline{chart.Single, chart.Single, chart.Double, chart.Final}, []chart.Barline{bars[0].Barline, bars[1].Barline, bars[2].Barline, bars[3].Barline})
}

func TestRepeatedMeasures(t *testing.T) {
	sign := func(kind, n string) string {
		return attributes(`<measure-style><measure-repeat type="` + kind + `">` + n + `</measure-repeat></measure-style>`)
	}
	s := read(t, score(four+named("C", "")+n("C4:4"), sign("start", "1"), "", sign("stop", "")+n("D4:4")))
	assert.Equal(t, "C4:4@0 C4:4@4 C4:4@8 D4:4@12", sung(s))
	assert.Equal(t, "C@0 C@4 C@8", symbols(s))
	assert.True(t, s.Bars()[1].Simile)
	s = read(t, score(four+n("C4:4"), n("E4:4"), sign("start", "2"), "", sign("stop", "")+n("r:4")))
	assert.Equal(t, "C4:4@0 E4:4@4 C4:4@8 E4:4@12", sung(s))
	s = read(t, score(four+n("C4:4"), attributes(`<measure-style><multiple-rest>2</multiple-rest></measure-style>`)+n("r:4"), n("r:4"), n("D4:4")))
	assert.Equal(t, "C4:4@0 D4:4@12", sung(s))
}
