package engrave

import (
	"encoding/xml"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/chord"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
)

func scoreOf(t *testing.T, chart, name string) *score.Score {
	t.Helper()
	s, err := score.Build(material.Chart(t, chart), material.Shipped(t, name), score.Options{})
	require.NoError(t, err)
	return s
}

// names are the notes of a staff, event by event.
func (st *staff) names() string {
	var all []string
	for _, e := range st.events {
		var chord []string
		for _, p := range e.grace {
			chord = append(chord, p.String()+">")
		}
		for _, p := range e.notes {
			chord = append(chord, p.String())
		}
		all = append(all, strings.Join(chord, "+"))
	}
	return strings.Join(all, " ")
}

func TestNotesAreSpelledByChordAndKey(t *testing.T) {
	for _, c := range []struct{ what, chart, pattern, left, right string }{
		{"a leading note of a minor key", "key: C#m\n| G#7 | C#m |", "block-whole", "", "B#3+D#4+F#4+G#4"},
		{"a leading note of its dominant", "key: C#m\n| D#7 | G#7 |", "block-whole", "", "A#3+C#4+D#4+F##4"},
		{"the same far from sharps", "key: Eb\n| D7 | Gm |", "block-whole", "", "C4+D4+F#4+A4"},
		{"a fully diminished chord is read by the key", "key: Bb\n| Cdim7 |", "block-whole", "", "C4+Eb4+Gb4+A4"},
		{"a boogie's sixth and flat seventh", "key: E\n| E |", "boogie-climb", "E2 G#2 B2 C#3 D3 C#3 B2 G#2", ""},
		{"the sixth of a chord that is not the key's", "key: C\n| E |", "boogie-climb", "E2 G#2 B2 C#3 D3 C#3 B2 G#2", ""},
	} {
		d := &document{s: scoreOf(t, "meter: 4/4\n"+c.chart, c.pattern)}
		if c.left != "" {
			assert.Equal(t, c.left, d.handStaff(pattern.Left).names(), c.what)
		}
		if c.right != "" {
			assert.Equal(t, c.right, strings.Fields(d.handStaff(pattern.Right).names())[0], c.what)
		}
	}
}

// Whatever the key: no sign that a pianist stumbles over.
func TestNoStrangeSigns(t *testing.T) {
	c := material.DemoChart(t, "red-river-valley")
	for i, p := range material.Catalogue(t).Of(pattern.Accompaniment) {
		for f := -6; f <= 6; f++ {
			k := pitch.Key{Tonic: pitch.NoteAtFifths(f)}
			if !p.Fits(c.Meter) || testing.Short() && (f+6+i)%13 > 0 {
				continue
			}
			s, err := score.Build(c, p, score.Options{Key: &k})
			require.NoError(t, err)
			d := &document{s: s}
			for _, h := range []pattern.Hand{pattern.Left, pattern.Right} {
				for _, e := range d.handStaff(h).events {
					for _, n := range e.notes {
						assert.LessOrEqual(t, max(n.Alter, -n.Alter), 1+max(0, f/3), "%s in %s: %s", p.Name, k, n)
					}
				}
			}
		}
	}
}

func TestAFlatNoteSlidesAsAGraceNote(t *testing.T) {
	d := &document{s: scoreOf(t, "key: C\nmeter: 4/4\n| C |\nm: E4 G4\n", "tune-blues-slide")}
	assert.Equal(t, "Eb4>+E4 Gb4>+G4", strings.ReplaceAll(d.handStaff(pattern.Right).names(), "5", "4"))
}

func TestClefsAndOctaveSigns(t *testing.T) {
	for _, c := range []struct {
		what  string
		keys  []string // a bar each
		clefs []clef
		high  string
	}{
		{"at home", []string{"C4", "G5", "E4"}, []clef{treble, treble, treble}, ""},
		{"down where the other clef reads better", []string{"C3", "B2", "B2", "B2", "C3", "G5", "G5"}, []clef{bass, bass, bass, bass, bass, treble, treble}, ""},
		{"one low bar stays", []string{"C5", "E3", "C5"}, []clef{treble, treble, treble}, ""},
		{"high above", []string{"C5", "A6", "C7", "C6", "C5"}, []clef{treble, treble, treble, treble, treble}, "1-3 up"},
	} {
		text := "key: C\nmeter: 4/4\n" + strings.Repeat("| C ", len(c.keys)) + "|\n"
		s := scoreOf(t, text, "block-whole")
		st := &staff{home: treble}
		for i, k := range c.keys {
			p, err := pitch.ParsePitch(k)
			require.NoError(t, err)
			st.events = append(st.events, event{at: meter.Ticks(i) * meter.Whole, end: meter.Ticks(i+1) * meter.Whole, notes: []pitch.Pitch{p}})
		}
		st.lay(s)
		assert.Equal(t, c.clefs, st.clefs, c.what)
		high := ""
		for _, sh := range st.shifts {
			high += fmt.Sprintf("%d-%d %v", sh.first, sh.last, map[bool]string{true: "up", false: "down"}[sh.up])
		}
		assert.Equal(t, c.high, high, c.what)
	}
}

// laid shows the words under the notes: - within a word, _ where it is sung on.
func laid(s *score.Score) string {
	var all []string
	for _, words := range sung(s) {
		text := ""
		for _, l := range words {
			if text += l.text; l.goes {
				text += "-"
			}
			if l.drawn {
				text += "_"
			}
			text += "/"
		}
		all = append(all, strings.TrimSuffix(text, "/"))
	}
	return strings.Join(all, "|")
}

func TestWordsUnderNotes(t *testing.T) {
	for _, c := range []struct{ what, chart, want string }{
		{"a syllable a note", "| C | C |\nm: C2 D2 E2 F2 | G4 G4 |\nw: | Valley so low | so low |", "Val-|ley|so|low|so|low"},
		{"a hyphen into the next bar", "| C | C |\nm: C4 D4 | E8 |\nw: | exca- | vate |", "ex-|ca-|vate"},
		{"one syllable through two notes", "| C |\nm: C6 D2 |\nw: | lang |", "lang_|"},
		{"long notes first", "| C |\nm: C D E F G4 |\nw: | to sing |", "to_||||sing"},
		{"more words than notes", "| C |\nm: C8 |\nw: | sing it |", "sing it"},
		{"more syllables than notes in a line: the longest word keeps together", "| C | C |\nm: C2 C2 C2 C2 | C4 C4 |\nw: going to the valley low", "go-|ing|to|the|valley|low"},
		{"words of a bar in which no note begins", "| C | C |\nm: C4 D4- | D8 |\nw: | on- ly | go- ing home |", "on-|ly go-ing home"},
		{"of two such bars", "| C | C | C |\nm: C4 D4- | D8- | D8 |\nw: | one two | three | four |", "one|two three four"},
		{"of the first bar", "| C | C |\nm: z8 | D8 |\nw: | oh | home |", "oh home"},
		{"verses that stand together", "[A]\n| C |\nm: C4 D4 |\nw: | one two |\nw: | three four |", "1. one/2. three|two/four"},
		{"a verse each time", "[A]\n|: C :|\nm: |: C4 D4 :|\nw: | one two |\nw: | three four |", "one|two|three|four"},
		{"what is left the last time", "[A]\n|: C :|\nm: |: C4 D4 :|\nw: | one two |\nw: | three four |\nw: | five six |", "one|two|2. three/3. five|four/six"},
	} {
		s := scoreOf(t, "key: C\nmeter: 4/4\n"+c.chart+"\n", "block-whole")
		assert.Equal(t, c.want, laid(s), c.what)
	}
}

func TestWordsGoWithTheTuneIntoTheHand(t *testing.T) {
	s := scoreOf(t, "key: C\nmeter: 4/4\n| C |\nm: C4 D4 |\nw: | one two |\n", "tune-and-bass")
	src := string(MusicXML(s, Options{}))
	assert.NotContains(t, src, "Melody")
	assert.Equal(t, 2, strings.Count(src, "<lyric"))
}

func TestNamesAreOneEach(t *testing.T) {
	s := scoreOf(t, "key: C\nmeter: 4/4\n| C | C |\nm: C4 D4- | D8 |\n", "arpeggio-triplets")
	var seen []string
	d := xml.NewDecoder(strings.NewReader(string(MusicXML(s, Options{Names: true}))))
	for tok, err := d.Token(); err == nil; tok, err = d.Token() {
		if e, ok := tok.(xml.StartElement); ok {
			for _, a := range e.Attr {
				if a.Name.Local == "id" && a.Value[0] != 'P' {
					assert.NotContains(t, seen, a.Value)
					seen = append(seen, a.Value)
				}
			}
		}
	}
	for _, want := range []string{"m0", "m1", "t0", "t1", "t1-1", "w0-0", "w1-0"} {
		assert.True(t, slices.Contains(seen, want), "%s in %v", want, seen)
	}
	assert.NotContains(t, string(MusicXML(s, Options{})), `id="t0"`, "the schema 3.0 knows no names of notes")
}

// Rests beside triplets are counted by the beat: no bracket over half a bar.
func TestRestsBesideTriplets(t *testing.T) {
	d := &document{s: scoreOf(t, "key: C\nmeter: 4/4\n| C |\n", "harp-wave")}
	text := ""
	for _, g := range d.handStaff(pattern.Left).signs(d.s, 0) {
		text += fmt.Sprintf("%v%s%d ", map[bool]string{true: "r-"}[g.Rest], g.Type, g.Actual)
	}
	assert.Equal(t, "eighth3 eighth3 eighth3 r-quarter0 r-quarter0 r-eighth3 eighth3 eighth3 ", text)
}

func TestAnEndingIsCalledOne(t *testing.T) {
	s, err := score.Build(material.Chart(t, "key: C\nmeter: 3/4\n[A]\n|: C | G7 | C :|\n"), material.Shipped(t, "waltz"), score.Options{Parts: score.Parts{Ending: material.Shipped(t, "ending-waltz")}})
	require.NoError(t, err)
	src := string(MusicXML(s, Options{}))
	assert.Contains(t, src, ">A (2)<")
	assert.NotContains(t, src, "Ending (")
	assert.GreaterOrEqual(t, strings.Count(src, "light-light"), 1, "between the two times")
}

func TestWhatStandsOverTheMusic(t *testing.T) {
	s := scoreOf(t, "key: C\nmeter: 6/8\ntempo: 60\n[Verse]\n|: C G7 :|\n[Chorus]\n| N.C. |\n", "six-eight-rocking")
	src := string(MusicXML(s, Options{}))
	for _, want := range []string{">Verse<", ">Verse (2)<", ">Chorus<", "<beat-unit-dot/>", `tempo="90"`, ">light-light<", ">light-heavy<", ">none</kind>"} {
		assert.Contains(t, src, want)
	}
	assert.Contains(t, string(MusicXML(scoreOf(t, "key: C\nmeter: 4/4\n| C G7 |\nm: c8", "shuffle"), Options{})), "<offset>1920</offset>", "a chord within a note of the tune")
	assert.Contains(t, string(MusicXML(scoreOf(t, "key: C\nmeter: 4/4\n| C |\n", "shuffle"), Options{})), "Swing: eighths long and short, 2:1")
	assert.NotContains(t, string(MusicXML(scoreOf(t, "key: C\nmeter: 4/4\n| C |\n", "shuffle"), Options{})), "<metronome", "nobody named a tempo")
}

// The notes of a file of LilyPond are those of MusicXML, which it is made from; here
// is how they are written.
func TestLilyPond(t *testing.T) {
	text := LilyPond(scoreOf(t, "title: A \"tune\"\nkey: C#m\nmeter: 3/4\ntempo: 90\nupbeat: 1\n[A]\n(N.C.) | C#m | G#7/B# |\nm: z2 | (3c2d2e2 f2- | f6 |\nw: | one two sing- ing | |\n", "waltz"), Options{})
	for _, want := range []string{
		`title = "A \"tune\""`, "\\key cis \\minor", "\\time 3/4", "\\partial 1*960/3840", "\\tempo 4 = 90", "r1*960/3840", "cis1*2880/3840:m", "gis1*2880/3840:7/+bis",
		"\\tuplet 3/2 { cis''4", "}", "fis''4~ |", "fis''2. |", `"sing" --`, "\\clef bass", "^\\markup \\bold \"A\"", "\\bar \"|.\"", "\\new PianoStaff <<",
	} {
		assert.Contains(t, text, want)
	}
	slide := LilyPond(scoreOf(t, "key: C\nmeter: 4/4\n| C |\nm: e4 g4\n", "tune-blues-slide"), Options{})
	assert.Regexp(t, `\\grace \{ ees'+8 \} e'+2`, slide)
	assert.Equal(t, 1, strings.Count(slide, "chordNames = "))
	assert.NotContains(t, slide[strings.Index(slide, "\\midi")-200:], "ChordNames", "the MIDI has the notes alone")
	for _, c := range chord.Types() {
		_, known := modifiers[c]
		assert.True(t, known, c.Name())
	}
}
