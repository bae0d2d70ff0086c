package mxml

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/chord"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
)

// flat is an element as text on one line.
func flat(e Element) string {
	_, text, _ := strings.Cut(string(Document(e)), doctype)
	var w strings.Builder
	for line := range strings.Lines(text) {
		w.WriteString(strings.TrimSpace(line))
	}
	return w.String()
}

func TestDocumentEscapes(t *testing.T) {
	doc := string(Document(Group("score-partwise", Leaf("a", `<"&`).With("b", `"<`))))
	assert.Contains(t, doc, `<a b="&#34;&lt;">&lt;&#34;&amp;</a>`)
	assert.True(t, strings.HasPrefix(doc, `<?xml version="1.0" encoding="UTF-8"?>`))
}

func TestAccidentals(t *testing.T) {
	g, err := pitch.ParseKey("G")
	require.NoError(t, err)
	for _, c := range []struct{ name, notes, want string }{
		{"in the signature", "F#4 G4", " "},
		{"a natural holds to the barline", "F4 F4 | F4", "natural  | natural"},
		{"and is taken back", "F4 F#4 F#4", "natural sharp "},
		{"the other octave is told", "C#4 C5 C#5", "sharp natural sharp"},
		{"doubles", "F##4 Bbb4", "double-sharp flat-flat"},
		{"a tied note needs none, the next does", "C#4~ | C#4 C#4", "sharp |  sharp"},
	} {
		a, tied := NewAccidentals(g), false
		var got []string
		for _, name := range strings.Fields(c.notes) {
			if name == "|" {
				a.Bar()
				got = append(got, "|")
				continue
			}
			p, err := pitch.ParsePitch(strings.TrimSuffix(name, "~"))
			require.NoError(t, err)
			got = append(got, a.Sign(p, tied))
			tied = strings.HasSuffix(name, "~")
		}
		assert.Equal(t, c.want, strings.Join(got, " "), c.name)
	}
}

// kind is MusicXML 4.0's, the degrees as its <degree-alter> says.
func TestHarmony(t *testing.T) {
	for name, want := range map[string]string{
		"F":      `<harmony><root><root-step>F</root-step></root><kind text="">major</kind></harmony>`,
		"Bbm7/F": `<harmony><root><root-step>B</root-step><root-alter>-1</root-alter></root><kind text="m7">minor-seventh</kind><bass><bass-step>F</bass-step></bass></harmony>`,
		"C7b9": `<harmony><root><root-step>C</root-step></root><kind text="7b9">dominant</kind>` +
			`<degree print-object="no"><degree-value>9</degree-value><degree-alter>-1</degree-alter><degree-type>add</degree-type></degree></harmony>`,
		"N.C.": `<harmony><root><root-step text="">C</root-step></root><kind text="N.C.">none</kind></harmony>`,
	} {
		c, err := chord.Parse(name)
		require.NoError(t, err)
		assert.Equal(t, want, flat(Harmony(c, 0)), name)
	}
	assert.Contains(t, flat(Harmony(chord.Chord{}, quarter)), "<offset>960</offset>")
}

func TestEveryChordTypeHasAKind(t *testing.T) {
	for _, ty := range chord.Types() {
		assert.NotContains(t, flat(Harmony(chord.New(pitch.Note{}, ty), 0)), "<kind/>", ty.Name())
		assert.NotContains(t, flat(Harmony(chord.New(pitch.Note{}, ty), 0)), `"/></harmony>`, ty.Name())
	}
}

func TestTempo(t *testing.T) {
	for want, m := range map[string]meter.Meter{
		`<beat-unit>quarter</beat-unit><per-minute>57.5</per-minute></metronome></direction-type><sound tempo="57.5"/>`:                  waltz,
		`<beat-unit>quarter</beat-unit><beat-unit-dot/><per-minute>57.5</per-minute></metronome></direction-type><sound tempo="86.25"/>`: jig,
		`<beat-unit>half</beat-unit><per-minute>57.5</per-minute></metronome></direction-type><sound tempo="115"/>`:                      cutC,
	} {
		assert.Contains(t, flat(Tempo(57.5, m)), want)
	}
}

func TestBarlines(t *testing.T) {
	for _, c := range []struct {
		name, side, want string
		b                Barline
	}{
		{"a double bar", "right", `<barline location="right"><bar-style>light-light</bar-style></barline>`, Barline{Style: "light-light"}},
		{"a first ending", "left", `<barline location="left"><ending number="1" type="start"/></barline>`, Barline{Ending: 1}},
		{"and its end", "right", `<barline location="right"><bar-style>light-heavy</bar-style><ending number="1" type="stop"/><repeat direction="backward"/></barline>`, Barline{Style: "light-heavy", Ending: 1, Repeat: true, Times: 2}},
		{"the end of the last", "right", `<barline location="right"><ending number="2" type="discontinue"/></barline>`, Barline{Ending: 2, Open: true}},
		{"a repeat", "left", `<barline location="left"><bar-style>heavy-light</bar-style><repeat direction="forward"/></barline>`, Barline{Style: "heavy-light", Repeat: true}},
		{"three times", "right", `<barline location="right"><repeat direction="backward" times="3"/></barline>`, Barline{Repeat: true, Times: 3}},
	} {
		assert.Equal(t, c.want, flat(c.b.On(c.side)), c.name)
	}
}

func TestNoteHasItsPartsInOrder(t *testing.T) {
	p, err := pitch.ParsePitch("F#4")
	require.NoError(t, err)
	n := Note{Piece: Piece{Value: Value{Dur: 320, Type: "eighth", Dots: 1, Actual: 3, Normal: 2}, Opens: true, Beams: []string{"begin"}},
		Pitch: p, FromTie: true, ToTie: true, Accidental: "sharp", Voice: 1, Staff: 2, Stem: "up",
		Articulations: []Element{Leaf("breath-mark", "")}, Lyrics: []Element{Lyric(1, "begin", "cav")}}
	assert.Equal(t, `<note><pitch><step>F</step><alter>1</alter><octave>4</octave></pitch><duration>320</duration><tie type="stop"/><tie type="start"/>`+
		`<voice>1</voice><type>eighth</type><dot/><accidental>sharp</accidental><time-modification><actual-notes>3</actual-notes><normal-notes>2</normal-notes></time-modification>`+
		`<stem>up</stem><staff>2</staff><beam number="1">begin</beam><notations><tied type="stop"/><tied type="start"/><tuplet type="start"/>`+
		`<articulations><breath-mark/></articulations></notations><lyric number="1"><syllabic>begin</syllabic><text>cav</text></lyric></note>`, flat(n.Element()))
	assert.Equal(t, `<note><rest measure="yes"/><duration>2880</duration><voice>1</voice></note>`,
		flat(Note{Piece: Piece{Value: Value{Dur: 2880}, Rest: true}, WholeBar: true, Voice: 1}.Element()))
	assert.Equal(t, `<key><fifths>-1</fifths><mode>minor</mode></key>`, flat(Key(pitch.Key{Tonic: pitch.Note{Letter: 1}, Minor: true})))
	assert.Equal(t, `<time><beats>6</beats><beat-type>8</beat-type></time>`, flat(Time(jig)))
	assert.Equal(t, `<clef number="2"><sign>F</sign><line>4</line></clef>`, flat(Clef("F", 4, 2)))
}
