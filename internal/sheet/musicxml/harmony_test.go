package musicxml

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/mxml"
)

// harmonyOf is a chord symbol on C; each degree is such as "add 9 -1".
func harmonyOf(kind string, degrees ...string) string {
	text := `<harmony><root><root-step>C</root-step></root><kind>` + kind + `</kind>`
	for _, d := range degrees {
		f := strings.Fields(d)
		text += `<degree><degree-value>` + f[1] + `</degree-value><degree-alter>` + f[2] + `</degree-alter><degree-type>` + f[0] + `</degree-type></degree>`
	}
	return text + `</harmony>`
}

// The values of <kind> are those of the data type kind-value, and the degrees those
// of <degree-alter>, in MusicXML 4.0 (W3C Community Group Final Report, 2021).
func TestKinds(t *testing.T) {
	for kind, want := range map[string]string{
		"major": "C", "minor": "Cm", "augmented": "Caug", "diminished": "Cdim",
		"dominant": "C7", "major-seventh": "Cmaj7", "minor-seventh": "Cm7", "diminished-seventh": "Cdim7",
		"augmented-seventh": "Caug7", "half-diminished": "Cm7b5", "major-minor": "CmMaj7",
		"major-sixth": "C6", "minor-sixth": "Cm6",
		"dominant-ninth": "C9", "major-ninth": "Cmaj9", "minor-ninth": "Cm9",
		"dominant-11th": "C11", "major-11th": "Cmaj11", "minor-11th": "Cm11",
		"dominant-13th": "C13", "major-13th": "Cmaj13", "minor-13th": "Cm13",
		"suspended-second": "Csus2", "suspended-fourth": "Csus4", "power": "C5",
		"none": "N.C.",
		// Names of functions, and what is no chord: their text is kept.
		"Neapolitan": "?C(Neapolitan)", "Italian": "?C(Italian)", "French": "?C(French)", "German": "?C(German)",
		"pedal": "?C(pedal)", "Tristan": "?C(Tristan)", "other": "?C(other)",
	} {
		assert.Equal(t, want, symbolIn(t, harmonyOf(kind)), kind)
	}
}

// symbolIn is the one chord symbol of a measure; behind ? where it is not known.
func symbolIn(t *testing.T, text string) string {
	t.Helper()
	bar := read(t, score(four+text+n("C4:4"))).Bars()[0]
	if assert.Len(t, bar.Chords, 1, text) {
		if !bar.Chords[0].Known {
			return "?" + bar.Chords[0].Text
		}
		assert.Equal(t, bar.Chords[0].Chord.String(), bar.Chords[0].Text)
		return bar.Chords[0].Text
	}
	return ""
}

func TestDegrees(t *testing.T) {
	for _, c := range []struct {
		kind, degrees, want string
	}{
		{"dominant", "add 9 -1", "C7b9"},
		{"dominant", "add 9 1", "C7#9"},
		{"dominant", "alter 5 -1", "C7b5"},
		{"dominant", "alter 5 1", "Caug7"},
		{"major", "add 9 0", "Cadd9"},
		{"major", "add 6 0,add 9 0", "C6/9"},
		{"major", "add 7 0", "C7"}, // an added 7 is a minor seventh
		{"major", "add 7 1", "Cmaj7"},
		{"major", "subtract 3 0,add 4 0", "Csus4"},
		{"suspended-fourth", "add 7 0", "C7sus4"},
		{"dominant", "subtract 3 0,add 4 0", "C7sus4"},
		{"minor", "alter 5 -1", "Cdim"},
		{"minor-seventh", "alter 5 -1", "Cm7b5"},
		{"other", "add 3 0,add 5 0,add 7 0", "C7"},
		{"major", "subtract 3 0", "C5"},
		{"dominant", "add 9 -1,add 13 0", "?C7(b9,add13)"},
		{"dominant", "alter 9 -1", "C7b9"},
		{"major", "subtract 5 0", "?C(no5)"},
		{"dominant", "add 99 0", "?C7(add99)"},
	} {
		assert.Equal(t, c.want, symbolIn(t, harmonyOf(c.kind, strings.Split(c.degrees, ",")...)), c.kind+" "+c.degrees)
	}
}

// Every chord that is written reads back.
func TestChordsComeBack(t *testing.T) {
	for _, ty := range chord.Types() {
		for f := -9; f <= 11; f += 4 {
			c := chord.New(pitch.NoteAtFifths(f), ty)
			for _, c := range []chord.Chord{c, c.Over(pitch.NoteAtFifths(f + 3))} {
				doc := string(mxml.Document(mxml.Harmony(c, 0)))
				assert.Equal(t, c.String(), symbolIn(t, doc[strings.Index(doc, "<harmony"):]))
			}
		}
	}
}

func TestSymbols(t *testing.T) {
	root := `<root><root-step>B</root-step><root-alter>-1</root-alter></root>`
	for _, c := range []struct{ name, text, want string }{
		{"an altered root", `<harmony>` + root + `<kind>major</kind></harmony>`, "Bb"},
		{"a bass", `<harmony>` + root + `<kind>major</kind><bass><bass-step>D</bass-step></bass></harmony>`, "Bb/D"},
		{"an inversion", `<harmony>` + root + `<kind>dominant</kind><inversion>3</inversion></harmony>`, "Bb7/Ab"},
		{"a text with signs", `<harmony>` + root + `<kind use-symbols="yes" text="△7">major-seventh</kind></harmony>`, "Bbmaj7"},
		{"a text alone", `<harmony>` + root + `<kind text="m7">other</kind></harmony>`, "Bbm7"},
		{"a text that is no chord", `<harmony>` + root + `<kind text="7alt">other</kind></harmony>`, "?Bb7alt"},
		{"a kind from elsewhere", `<harmony>` + root + `<kind text="quartal">quartal</kind></harmony>`, "?Bbquartal"},
		{"a function", `<harmony><function>V</function><kind text="7">dominant</kind></harmony>`, "?V7"},
		{"a numeral", `<harmony><numeral><numeral-root>5</numeral-root></numeral><kind text="">major</kind></harmony>`, "?V"},
		{"no chord", `<harmony><root><root-step text="">C</root-step></root><kind text="N.C.">none</kind></harmony>`, "N.C."},
	} {
		assert.Equal(t, c.want, symbolIn(t, c.text), c.name)
	}
}

func named(root string, more string) string {
	return `<harmony><root><root-step>` + root + `</root-step></root><kind>major</kind>` + more + `</harmony>`
}

func TestPlacesOfChords(t *testing.T) {
	for _, c := range []struct{ name, text, want, notice string }{
		{"before notes", score(four + named("C", "") + n("C4:2") + named("F", "") + n("C4:2")), "C@0 F@2", ""},
		{"by an offset", score(four + named("C", "") + named("G", "<offset>3</offset>") + n("C4:4")), "C@0 G@3", ""},
		{"behind the last note", score(four+n("C4:4")+named("G", ""), n("C4:4")), "G@4", ""},
		{"behind all", score(four + n("C4:4") + named("G", "")), "G@3.999", ""},
		{"two at one place", score(four + named("C", "") + named("G", "") + n("C4:4")), "C@0", "measure 1: of chords at one place the first counts"},
		{"a transposing part", score(four + attributes("<transpose><diatonic>-1</diatonic><chromatic>-2</chromatic></transpose>") + named("D", "") + n("D4:4")), "C@0", ""},
		{"without a root or a kind", score(four + "<harmony><kind>major</kind></harmony><harmony/>" + n("C4:4")), "", "measure 1: chord symbols without a root or a kind are left out (2, first here)"},
		{"several parts", parts("Voice,Piano", []string{four + named("C", "") + n("C4:4")}, []string{four + named("G", "") + named("F", "<offset>2</offset>") + n("C3:4")}), "C@0", `chord symbols are taken from the part "Voice"`},
		{"only another part", parts("Voice,Piano", []string{four + n("C4:4")}, []string{four + named("G", "") + n("C3:4")}), "G@0", ""},
	} {
		s := read(t, c.text)
		assert.Equal(t, c.want, symbols(s), c.name)
		assert.Contains(t, toldOf(s), c.notice, c.name)
	}
}
