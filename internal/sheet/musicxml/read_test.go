package musicxml

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/sheet/song"
)

// read reads a score that must be right.
func read(t testing.TB, text string) *song.Song {
	t.Helper()
	s, err := Read([]byte(text), "a.musicxml", song.Wish{})
	require.NoError(t, err, text)
	return s
}

// score is a score of one part of these measures, named Voice.
func score(measures ...string) string { return parts("Voice", measures) }

// parts are parts with their names, one list of measures each.
func parts(names string, measures ...[]string) string {
	var w strings.Builder
	w.WriteString(`<score-partwise version="4.0"><part-list>`)
	for i, name := range strings.Split(names, ",") {
		fmt.Fprintf(&w, `<score-part id="P%d"><part-name>%s</part-name></score-part>`, i+1, name)
	}
	w.WriteString(`</part-list>`)
	for i, all := range measures {
		fmt.Fprintf(&w, `<part id="P%d">`, i+1)
		for j, m := range all {
			fmt.Fprintf(&w, `<measure number="%d">%s</measure>`, j+1, m)
		}
		w.WriteString(`</part>`)
	}
	w.WriteString(`</score-partwise>`)
	return w.String()
}

// n writes notes such as "C4:2 F#4:1 r:1": pitch and quarters. Behind them may stand
// ~ for a tie, v2 for voice 2, s2 for staff 2, + for a chord with the note before,
// and "=word" for a syllable.
func n(text string) string {
	var w strings.Builder
	for _, f := range strings.Fields(text) {
		w.WriteString("<note>")
		f, word, _ := strings.Cut(f, "=")
		name, rest, _ := strings.Cut(f, ":")
		if strings.HasSuffix(rest, "+") {
			w.WriteString("<chord/>")
			rest = strings.TrimSuffix(rest, "+")
		}
		voice, staff := "", ""
		rest, staff, _ = strings.Cut(rest, "s")
		rest, voice, _ = strings.Cut(rest, "v")
		dur, tie := strings.CutSuffix(rest, "~")
		if name == "r" {
			w.WriteString("<rest/>")
		} else {
			alter := strings.Count(name, "#") - strings.Count(name, "b")
			fmt.Fprintf(&w, "<pitch><step>%s</step><alter>%d</alter><octave>%s</octave></pitch>", name[:1], alter, name[len(name)-1:])
		}
		fmt.Fprintf(&w, "<duration>%s</duration>", dur)
		if tie {
			w.WriteString(`<tie type="start"/>`)
		}
		if voice != "" {
			fmt.Fprintf(&w, "<voice>%s</voice>", voice)
		}
		if staff != "" {
			fmt.Fprintf(&w, "<staff>%s</staff>", staff)
		}
		if word != "" {
			fmt.Fprintf(&w, `<lyric number="1"><syllabic>single</syllabic><text>%s</text></lyric>`, word)
		}
		w.WriteString("</note>")
	}
	return w.String()
}

func attributes(inner string) string { return "<attributes>" + inner + "</attributes>" }

func time(beats, kind string) string {
	return attributes("<divisions>1</divisions><time><beats>" + beats + "</beats><beat-type>" + kind + "</beat-type></time>")
}

func backup(n int) string { return fmt.Sprintf("<backup><duration>%d</duration></backup>", n) }

// sung is the tune as played, such as "C4:1 E4:2@1": key names as sharps, length
// and onset in quarters.
func sung(s *song.Song) string {
	var all []string
	for _, n := range s.Dump().Melody {
		name := []string{"C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"}[n.Midi%12]
		all = append(all, fmt.Sprintf("%s%d:%g@%g", name, n.Midi/12-1, n.Duration, n.Onset))
	}
	return strings.Join(all, " ")
}

func symbols(s *song.Song) string {
	var all []string
	for _, c := range s.Dump().Chords {
		all = append(all, fmt.Sprintf("%s@%g", c.Symbol, c.Onset))
	}
	return strings.Join(all, " ")
}

func toldOf(s *song.Song) string {
	var all []string
	for _, n := range s.Notices {
		all = append(all, n.String())
	}
	return strings.Join(all, "; ")
}

var four = time("4", "4")

func TestTunes(t *testing.T) {
	triplet := `<time-modification><actual-notes>3</actual-notes><normal-notes>2</normal-notes></time-modification>`
	for _, c := range []struct{ name, text, want, notice string }{
		{"pitches and accidentals", score(four + n("C4:1 F#4:1 Bb3:1 C##5:1")), "C4:1@0 F#4:1@1 A#3:1@2 D5:1@3", ""},
		{"the lowest and the highest octave", score(four + n("C0:2 G9:2")), "C0:2@0 G9:2@2", ""},
		{"above all keys", score(four + n("B9:2 C4:2")), "C4:2@2", "above or below all keys"},
		{"quarter tones", score(four + `<note><pitch><step>C</step><alter>0.5</alter><octave>4</octave></pitch><duration>4</duration></note>`), "C#4:4@0", "measure 1: quarter tones are taken for the nearest semitone"},
		{"rests", score(four + n("r:1 C4:1 r:2")), "C4:1@1", ""},
		{"a chord's highest note", score(four + n("C4:4 G4:4+ E4:4+")), "G4:4@0", ""},
		{"a chord whose ties differ", score(four+n("C4:4 G4:4~+"), n("C4:4 G4:4+")), "G4:8@0", ""},
		{"two voices", score(four + n("C4:4v2") + backup(4) + n("C5:2v1 D5:2v1")), "C5:2@0 D5:2@2", "of its voices the tune is voice 1"},
		{"two staves", score(four + n("C5:4v1s1") + backup(4) + n("C3:4v5s2")), "C5:4@0", "of its voices the tune is voice 1"},
		{"one voice's name on two staves", score(four + n("C5:4v1s1") + backup(4) + n("C3:2v1s2 D3:2v1s2")), "C5:4@0", "voice 1 on staff 1"},
		{"a voice that crosses to the other staff", score(four + n("C5:2v1s1 G3:2v1s2") + backup(4) + n("r:4v5s2")), "C5:2@0 G3:2@2", "of its voices the tune is voice 1"},
		{"a bar in which the voice is left out", score(four+n("C5:4v1"), n("D5:4v2")), "C5:4@0 D5:4@4", "of its voices the tune is voice 2"},
		{"a note that lasts into the next", score(four + n("C4:4v1") + backup(2) + n("D4:2v1")), "C4:2@0 D4:2@2", ""},
		{"notes that stand out of order", score(four + n("r:2v1 C4:2v1") + backup(4) + n("E4:2v1")), "E4:2@0 C4:2@2", ""},
		{"a note that lasts into the next, later", score(four + n("r:1v1 C4:3v1") + backup(2) + n("D4:2v1")), "C4:1@1 D4:2@2", ""},
		{"grace notes", score(four + `<note><grace/><pitch><step>D</step><octave>4</octave></pitch></note>` + n("C4:4")), "C4:4@0", "measure 1: grace notes are left out"},
		{"cue notes", score(four + `<note><cue/><pitch><step>D</step><octave>4</octave></pitch><duration>2</duration></note>` + n("C4:2")), "C4:2@2", "cue notes are left out"},
		{"unpitched notes", score(four + `<note><unpitched/><duration>2</duration></note>` + n("C4:2")), "C4:2@2", "unpitched notes are left out"},
		{"a note without a pitch", score(four + "<note><duration>2</duration></note>" + n("C4:2")), "C4:2@2", "measure 1: notes without a pitch are left out"},
		{"slashes", score(four + `<note><pitch><step>B</step><octave>4</octave></pitch><duration>2</duration><notehead>slash</notehead></note>` + n("C4:2")), "C4:2@2", "slashes are left out"},
		{"triplets", score(attributes("<divisions>3</divisions>") + n("C4:2 D4:2 E4:2")), "C4:0.6667@0 D4:0.6667@0.6667 E4:0.6667@1.3333", ""},
		{"septuplets", score(attributes("<divisions>7</divisions>") + n("C4:1 D4:1 E4:1 F4:1 G4:1 A4:1 B4:1 C5:7")),
			"C4:0.1427@0 D4:0.1427@0.1427 E4:0.1427@0.2854 F4:0.1438@0.4281 G4:0.1427@0.5719 A4:0.1427@0.7146 B4:0.1427@0.8573 C5:1@1", ""},
		{"a length by its value alone", score(four + `<note><pitch><step>C</step><octave>4</octave></pitch><type>half</type><dot/></note><note><pitch><step>D</step><octave>4</octave></pitch><type>quarter</type>` + triplet + `</note>`), "C4:3@0 D4:0.6667@3", ""},
		{"divisions that change", score(four+n("C4:4"), attributes("<divisions>4</divisions>")+n("D4:8")+attributes("<divisions>2</divisions>")+n("E4:4")), "C4:4@0 D4:2@4 E4:2@6", ""},
		{"ties over a barline", score(four+n("C4:4~"), n("C4:2 D4:2")), "C4:6@0 D4:2@6", ""},
		{"a tie that is only drawn", score(four + strings.Replace(n("C4:2"), "</note>", `<notations><tied type="start"/></notations></note>`, 1) + n("C4:2")), "C4:4@0", ""},
		{"a tie to another note", score(four + n("C4:2~ D4:2")), "C4:2@0 D4:2@2", ""},
		{"a tie to the same key by another name", score(four + n("C#4:2~ Db4:2")), "C#4:4@0", ""},
		{"forward", score(four + "<forward><duration>3</duration></forward>" + n("C4:1")), "C4:1@3", ""},
		{"the clarinet in B flat", score(four + attributes("<transpose><diatonic>-1</diatonic><chromatic>-2</chromatic></transpose>") + n("D4:4")), "C4:4@0", ""},
		{"a piccolo", score(four + attributes("<transpose><chromatic>0</chromatic><octave-change>1</octave-change></transpose>") + n("D4:4")), "D5:4@0", ""},
		{"doubled an octave above", score(four + attributes(`<transpose><chromatic>0</chromatic><double above="yes"/></transpose>`) + n("D4:4")), "D5:4@0", ""},
	} {
		s := read(t, c.text)
		assert.Equal(t, c.want, sung(s), c.name)
		if c.notice == "" {
			assert.NotContains(t, toldOf(s), "left out", c.name)
			assert.NotContains(t, toldOf(s), "of its voices", c.name)
		}
		assert.Contains(t, toldOf(s), c.notice, c.name)
	}
}

func TestWhichPart(t *testing.T) {
	piano, voice := []string{four + n("C3:4")}, []string{four + n("C5:4")}
	words := []string{four + n("E4:4=la")}
	for _, c := range []struct{ name, text, want, notice string }{
		{"the only one with notes", parts("Drums,Flute", []string{four + `<note><unpitched/><duration>4</duration></note>`}, voice), "C5:4@0", ""},
		{"the first", parts("Flute,Oboe", voice, piano), "C5:4@0", `the tune is taken from the part "Flute", one of 2 parts with notes`},
		{"one by its name", parts("Piano,Lead vocals", piano, voice), "C5:4@0", `the part "Lead vocals"`},
		{"one with words, whatever others are called", parts("Melody,Choir", piano, words), "E4:4@0", `the part "Choir"`},
		{"a singer rather than others with words", parts("Choir,Voice", words, []string{four + n("F4:4=la")}), "F4:4@0", `the part "Voice"`},
		{"none", parts("Drums", []string{four + `<note><unpitched/><duration>4</duration></note>`}), "", "there are no notes for a tune"},
	} {
		s := read(t, c.text)
		assert.Equal(t, c.want, sung(s), c.name)
		assert.Contains(t, toldOf(s), c.notice, c.name)
		assert.Equal(t, c.notice == "", !strings.Contains(toldOf(s), "tune"), c.name)
	}
	for wish, want := range map[string]string{"1": "C3:4@0", "P2": "C5:4@0", "lead": "C5:4@0"} {
		s, err := Read([]byte(parts("Piano,Lead", piano, voice)), "a.xml", song.Wish{Tune: wish})
		require.NoError(t, err)
		assert.Equal(t, want, sung(s), wish)
	}
	_, err := Read([]byte(parts("Piano,Lead", piano, voice)), "a.xml", song.Wish{Tune: "harp"})
	assert.EqualError(t, err, `a.xml: the score has no part "harp"; its parts are 1 Piano, 2 Lead`)
}

func TestTimewise(t *testing.T) {
	s := read(t, `<?xml version="1.0"?><!DOCTYPE score-timewise PUBLIC "-//Recordare//DTD MusicXML 2.0 Timewise//EN" "timewise.dtd">
<score-timewise><part-list><score-part id="A"><part-name>Flute</part-name></score-part><score-part id="B"><part-name>Voice</part-name></score-part></part-list>
<measure number="1"><part id="A">`+four+n("C4:4")+`</part><part id="B">`+four+n("E4:4")+`</part></measure>
<measure number="2"><part id="B">`+n("F4:4")+`</part></measure></score-timewise>`)
	assert.Equal(t, "E4:4@0 F4:4@4", sung(s))
	assert.Equal(t, []int{0, 1}, s.Order)
}
