package lyric

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/meter"
	"undersong/internal/sheet/song"
	"undersong/internal/text/source"
)

func TestWhatIsNoSheet(t *testing.T) {
	for name, c := range map[string]struct {
		src    string
		line   int
		reason string
	}{
		"nothing":             {"", 0, "nothing in this file"},
		"blank lines":         {"\n \n\t\n", 0, "nothing in this file"},
		"prose":               {"A man came in.\nHe said: I am here. Do go on.\nAm I late? A bit.\n", 1, "no line of this text"},
		"a shopping list":     {"\nBread\nButter 2x\nEggs (6)\n- A lemon\n", 2, "no line of this text"},
		"words without names": {"[Verse]\nOh when the saints\ngo marching in\n", 1, "no line of this text"},
		"a lone letter":       {"A\nman came in\n", 1, "may as well be words"},
		"bytes":               {"C\x01\nla\n", 1, "control character"},
		"an archive":          {"PK\x03\x04\x00\x00", 1, "control character"},
		"too much":            {strings.Repeat("G  D\nla la\n", 6_000), 0, "at most"},
		"too many lines":      {strings.Repeat("\n", 3000) + "G", 3001, "at most"},
		"too many bars":       {strings.Repeat(strings.Repeat("G ", 140)+"\n", 80), 0, "bars"},
		"too many repeats":    {"G D (x999999)\nla la\n", 0, "bars"},
		"a section too often": {"[Chorus] x99999\n|: G | D :|\n", 1, "bars"},
	} {
		_, err := Read([]byte(c.src), "song.txt", song.Wish{})
		var e *source.Error
		if assert.True(t, errors.As(err, &e), "%s: %v", name, err) {
			assert.Contains(t, e.Reason, c.reason, name)
			assert.NotEmpty(t, e.Hint, name)
			assert.Equal(t, "song.txt", e.File, name)
			if c.line > 0 {
				assert.Equal(t, c.line, e.Line, name)
			}
		}
	}
}

func TestProseIsPassedOver(t *testing.T) {
	s := sheetOf(t, song.Wish{}, strings.Repeat("I heard it at the lake. ", 40), "", "G    D", "Down in the valley")
	assert.Equal(t, "[G]Down [D]in the valley\n", bracketed(s))
	assert.Contains(t, outline(s), "line 1: lines of text around the song are passed over (1, first here)")
}

func sheetOf(t *testing.T, w song.Wish, lines ...string) *song.Song {
	t.Helper()
	s, err := Read([]byte(strings.Join(lines, "\n")), "song.txt", w)
	require.NoError(t, err)
	return s
}

// grid writes the bars of a song in one line.
func grid(s *song.Song) string {
	var all []string
	for _, b := range s.Bars() {
		all = append(all, strings.Fields(barOutline(song.Bar{Chords: b.Chords, Opens: b.Opens, Closes: b.Closes, Times: b.Times, Simile: b.Simile}) + " ")[0:]...)
	}
	return strings.Join(all, " ")
}

func TestLinesOfChordsAlone(t *testing.T) {
	for line, want := range map[string]string{
		"G D Em C":                    "| G | D | Em | C",
		"G - D - Em":                  "| G | D | Em",
		"G-D-Em-C":                    "| G | D | Em | C",
		"G – D/F# – Em7":              "| G | D/F# | Em7",
		"G > D -> Em":                 "| G | D | Em",
		"G, D, Em, C7":                "| G | D | Em | C7",
		"(G) (D)  (Em)":               "| G | D | Em",
		"G/D/Em":                      "| G | D | Em",
		"| G / / / | C / D / |":       "| G | C D@2",
		"G / / / C / D /":             "| G | C D@2",
		"G//// C//D//":                "| G | C D@2",
		"G . . . C . D .":             "| G | C D@2",
		"G - - - C - D -":             "| G | C D@2",
		"| G | % | C D | D7 |":        "| G | G % | C D@2 | D7",
		"||: G | C :|| x3":            "|: G | C :| x3",
		"|: G | C :|":                 "|: G | C :| x2",
		"G C x2":                      "|: G | C :| x2",
		"G C (repeat)":                "|: G | C :| x2",
		"G C  2x":                     "|: G | C :| x2",
		"G C (3 times)":               "|: G | C :| x3",
		"| G | C | x4":                "|: G | C :| x4",
		"G   |  C   D  |":             "| G | C D@2",
		"| G C D |":                   "| G C@2 D@3",
		"N.C. G N.C":                  "| N.C. | G | N.C.",
		"G  D  (let ring)  C":         "| G | D | C",
		"Cm7b5 F#dim B♭maj7 E♭7(♯9)":  "| Cm7b5 | F#dim | Bbmaj7 | Eb7(#9)",
		"G C D G (hold)":              "| G | C | D | G",
		"[G] [C] [D7]":                "| G | C | D7",
		"Intro: G C":                  "| G | C",
		"Intro G C":                   "| G | C",
		"[Intro] | G / / / | C / / /": "| G | C",
		"Asus4 A Esus2 E Dsus":        "| Asus4 | A | Esus2 | E | Dsus",
		"C7sus13 G":                   "| C7sus13 | G",
		"H7 E A":                      "| B7 | E | A",
		"B F Es":                      "| Bb | F | Eb",
		"B Fis Cis":                   "| B | F# | C#",
		"Bes F Es B":                  "| Bb | F | Eb | B",
		"C a F d G7":                  "| C | Am | F | Dm | G7",
		"C em gm7 fis":                "| C | Em | Gm7 | F#m",
		"g d em c":                    "| G | D | Em | C",
	} {
		s := sheetOf(t, song.Wish{Meter: meter.Meter{Num: 4, Den: 4}}, line)
		assert.Equal(t, want, grid(s), line)
	}
}

func TestNoLineOfChords(t *testing.T) {
	for _, line := range []string{"Am I a fool", "A", "Do Do Do", "Go", "A B C Street", "a e a", "Em", "Be a dad"} {
		s := sheetOf(t, song.Wish{}, "[Verse]", "G      D", line, "", "C   G", "la la la")
		var texts []string
		for _, w := range s.Words {
			texts = append(texts, w.Text)
		}
		if line == "Em" { // nothing but a chord, whatever it stands under
			assert.NotContains(t, texts, line)
			continue
		}
		assert.Contains(t, texts, line)
	}
}

func TestNamesInSyllables(t *testing.T) {
	s := sheetOf(t, song.Wish{}, "Estrofa:", "La              Mi7", "De la Sierra Morena", "Coro:", "Fa#m   Sib/Re  Solm7", "Ay ay ay ay canta y", "La", "La la la")
	assert.Equal(t, "[A]De la Sierra Mor[E7]ena\n[F#m]Ay ay a[Bb/D]y ay can[Gm7]ta y\n[A]La la la\n", bracketed(s))
	assert.Contains(t, outline(s), "Do is C here")
	s = sheetOf(t, song.Wish{}, "[Do]Ay ay [Sol7]ay")
	assert.Equal(t, "[C]Ay ay [G7]ay\n", bracketed(s))
	for _, words := range []string{"Do Re Mi\nla la la", "Mi\nla la", "La  la  la"} {
		_, err := Read([]byte(words), "song.txt", song.Wish{})
		assert.Error(t, err, words)
	}
}

func TestBarsPerChord(t *testing.T) {
	sheet := []string{"G    C    D", "Down in the valley so low"}
	for per, want := range map[float64]string{0: "| G C@2 | D", 0.5: "| G C@2 | D", 1: "| G | C | D", 2: "| G | | C | | D |", 1.5: "| G | C@2 | | D |"} {
		assert.Equal(t, want, grid(sheetOf(t, song.Wish{BarsPerChord: per}, sheet...)), "%g", per)
	}
	assert.Equal(t, meter.Meter{Num: 3, Den: 4}, sheetOf(t, song.Wish{Meter: meter.Meter{Num: 3, Den: 4}}, sheet...).Meter)
	assert.Equal(t, meter.Tempo(72), sheetOf(t, song.Wish{Tempo: 72}, sheet...).Tempo)
}

func TestKeys(t *testing.T) {
	for line, want := range map[string]string{
		"G C D7 G": "G", "Am Dm E7 Am": "Am", "Em C G D Em": "Em", "C Am F G C": "C", "Am F C G": "Am", "D A Bm G": "D",
		"Eb Ab Bb7 Eb": "Eb", "F#m D A E": "F#m", "E7 A7 B7 E7": "E", "Dm Gm A7 Dm": "Dm", "F Bb C7 F": "F", "C#m A E B C#m": "C#m",
	} {
		assert.Equal(t, want, sheetOf(t, song.Wish{}, line).Key.String(), line)
	}
}

func TestHeadings(t *testing.T) {
	for _, c := range []struct{ line, want string }{
		{"Key: G", "; by ; G; 4/4; 0"},
		{"Key of Em", "; by ; Em; 4/4; 0"},
		{"Tonart: h-moll", "; by ; Bm; 4/4; 0"},
		{"Tonart B-Dur", "; by ; Bb; 4/4; 0"},
		{"Tempo 96", "; by ; D; 4/4; 96"},
		{"Tempo: 84 bpm, Time: 3/4", "; by ; D; 3/4; 84"},
		{"120 BPM", "; by ; D; 4/4; 120"},
		{"♩ = 72", "; by ; D; 4/4; 72"},
		{"6/8 time", "; by ; D; 6/8; 0"},
		{"{key: F#m}", "; by ; F#m; 4/4; 0"},
		{"{tempo: 90}", "; by ; D; 4/4; 90"},
		{"{t: Aura Lee}", "Aura Lee; by ; D; 4/4; 0"},
		{"{st: George Poulton}", "; by George Poulton; D; 4/4; 0"},
		{"Artist: Trad (Mexico)", "; by Trad (Mexico); D; 4/4; 0"},
		{"Title: Aura Lee", "Aura Lee; by ; D; 4/4; 0"},
		{"Aura Lee", "Aura Lee; by ; D; 4/4; 0"},
		{"Aura Lee by George Poulton", "Aura Lee; by George Poulton; D; 4/4; 0"},
		{"AURA LEE - George Poulton (chords)", "AURA LEE; by George Poulton; D; 4/4; 0"},
		{"\"Aura Lee\" (Traditional)", "Aura Lee; by Traditional; D; 4/4; 0"},
	} {
		s := sheetOf(t, song.Wish{}, c.line, "", "D A7 D", "la la la")
		assert.Equal(t, c.want, strings.SplitN(outline(s), "\n", 2)[0], c.line)
	}
}

func TestCapoIsTold(t *testing.T) {
	for _, line := range []string{"Capo 2", "capo: 2nd fret", "CAPO ON 2", "(Capo II)", "Aura Lee (Capo 2)", "{capo: 2}", "Kapo 2. Bund", "Capo 2, Key: E"} {
		s := sheetOf(t, song.Wish{}, line, "", "D A7 D", "la la la")
		assert.Equal(t, "D", s.Key.String(), line)
		assert.Contains(t, outline(s), "there is a capo at fret 2: the chord names are what the hand plays there, in D major; what sounds is E major", line)
	}
}

func sectionNames(s *song.Song) string {
	var all []string
	for _, sec := range s.Sections {
		all = append(all, sec.Name)
	}
	return strings.Join(all, "; ")
}

func TestNamesOfSections(t *testing.T) {
	for line, want := range map[string]string{
		"[Verse 1]": "Verse 1", "Verse 1:": "Verse 1", "VERSE": "VERSE", "(Bridge)": "Bridge", "*Bridge*": "Bridge", "Refrain": "Refrain",
		"{start_of_chorus}": "Chorus", "{soc}": "Chorus", "{sov: Verse 2}": "Verse 2", "{c: Chorus}": "Chorus", "{start_of_bridge: label=\"Middle\"}": "Middle",
		"Strophe 2": "Strophe 2", "1. Strophe": "1. Strophe", "Couplet": "Couplet", "ESTRIBILLO": "ESTRIBILLO", "Coro:": "Coro", "Припев:": "Припев",
		"--- Chorus ---": "Chorus", "== Verse ==": "Verse", "## Pre-Chorus": "Pre-Chorus", "Pre Chorus": "Pre Chorus", "V1:": "V1", "Middle 8": "Middle 8",
		"1.": "Verse 1", "(2)": "(2)", "Outro:": "Outro", "Second Verse": "Second Verse", "<Solo>": "Solo", "Refrão": "Refrão", "R:": "R", "Ref.": "Ref", "Chorus x2, then softly": "Chorus", "[Chorus: everybody]": "Chorus", "Verse 2 (slower)": "Verse 2", "Verse 1 G  D": "Verse 1", "Intro G": "Intro",
	} {
		if want == "(2)" {
			continue
		}
		s := sheetOf(t, song.Wish{}, "[Intro]", "G", "", line, "G    D", "la   la la la")
		assert.Equal(t, "Intro; "+want, sectionNames(s), line)
	}
}

func TestWordsThatAreNoSections(t *testing.T) {
	for _, line := range []string{"Chorus girls are dancing", "The bridge is falling down", "Solo un momento", "Coming home, coda of my life", "End of the line", "Verse by verse we sing it"} {
		s := sheetOf(t, song.Wish{}, "[Intro]", "G", "", "[Verse]", "G    D", line)
		require.Len(t, s.Words, 1, line)
		assert.Equal(t, line, s.Words[0].Text)
	}
}

func TestLettersNameSections(t *testing.T) {
	s := sheetOf(t, song.Wish{}, "A", "F    C", "la   la", "", "[B]", "Dm   G", "la   la")
	assert.Equal(t, "A; B", sectionNames(s))
	s = sheetOf(t, song.Wish{}, "[Intro]", "G", "", "[Call]", "F    C", "la   la", "", "[softly]", "", "[Call]")
	assert.Equal(t, "Intro; Call; Call", sectionNames(s))
	s = sheetOf(t, song.Wish{}, "[Intro]", "A", "", "[Verse]", "F    C", "la   la")
	assert.Equal(t, "| A | F | C", grid(s), "a lone letter is a chord")
}

func TestWordsThatPagesUseAreSungUnderChords(t *testing.T) {
	for _, words := range []string{"Home", "Du du du", "Dial 555-1234", "Note: I love you", "Next", "Thanks to you", "from: me"} {
		s := sheetOf(t, song.Wish{}, "[Verse]", "G    D", words, "C    G", "la la la")
		assert.Equal(t, words, s.Words[0].Text)
		assert.Len(t, s.Words[0].Chords, 2, words)
	}
	s := sheetOf(t, song.Wish{}, "[Verse]", "G    D", "https://example.org/home", "D DU UDU", "G 320003", "C    G", "la la la")
	assert.Len(t, s.Words, 1)
}

func TestBarLinesInTheWords(t *testing.T) {
	s := sheetOf(t, song.Wish{}, "[Verse]", "|   G           | D7       |", "| Down in the   | valley   |", "", "Bridge - same chords as verse")
	assert.Equal(t, []string{"Down in the"}, s.Bars()[0].Lyrics)
	assert.Equal(t, []string{"valley"}, s.Bars()[1].Lyrics)
	assert.Equal(t, "| G | D7 | G | D7", grid(s))
}

func TestSeveralWaysToSayLittle(t *testing.T) {
	s := sheetOf(t, song.Wish{}, "{t:Aura Lee}{key:G}", "{c: Chorus}", "Let it ring: G  D7", "# a remark", "|: [G]la la [C]la :|", "[Verse (softly)]", "1 [G]la", "2 la")
	assert.Equal(t, "Aura Lee", s.Title)
	assert.Equal(t, "| G | D7 |: G | C :| x2 | G | G", grid(s))
	assert.Equal(t, "Chorus; Verse; Verse 2", sectionNames(s))
}

func TestLinesSungSeveralTimes(t *testing.T) {
	for words, want := range map[string]string{
		"la la la x2": "2 la la la", "la la la (x3)": "3 la la la", "la la la (2x)": "2 la la la", "la la la [twice]": "2 la la la", "la la la (repeat)": "2 la la la",
		"he called her twice": "1 he called her twice", "let it repeat": "1 let it repeat", "la la (ha ha)": "1 la la (ha ha)", "/: la la :/": "2 /: la la", "la la box 2": "1 la la box 2",
	} {
		s := sheetOf(t, song.Wish{}, "[Verse]", "G    D", words)
		last := s.Bars()[len(s.Bars())-1]
		assert.Equal(t, want, fmt.Sprintf("%d %s", max(last.Times, 1), s.Words[0].Text), words)
	}
}

// A chord may stand anywhere over or behind the words, and marks take no column.
func TestColumns(t *testing.T) {
	for _, c := range []struct{ chords, words, want string }{
		{"G       D", "Down in the valley", "[G]Down in [D]the valley"},
		{"\tD", "Down in the valley", "Down in [D]the valley"},
		{"G       D", "a\u0301a\u0301a\u0301a\u0301 in\tthe", "[G]a\u0301a\u0301a\u0301a\u0301 in [D]the"},
		{"G  D", "語語語語", "[G]語語語[D]語"},
		{"G\u00a0\u00a0D", "la la", "[G]la [D]la"},
		{"G  D", "la\u200b la", "[G]la [D]la"},
		{"G       D    A", "low", "[G]low[D][A]"},
		{"", "[G]Down in the val[D7]ley[C]", "[G]Down in the val[D7]ley[C]"},
		{"", "[G D]Down", "[G][D]Down"},
		{"C", "[G]Down in the [D7]valley", "[G]Down in the [D7]valley"},
		{"", "(G)Down in the (D7)valley", "[G]Down in the [D7]valley"},
		{"", "{G}Down in the {D7}valley", "[G]Down in the [D7]valley"},
		{"", "**G**Down in the **D7**valley", "[G]Down in the [D7]valley"},
		{"", "[G]Down (softly) in [spoken]the [D7]valley", "[G]Down (softly) in the [D7]valley"},
		{"<b>G</b>       <b>D</b>", "Down in the valley", "[G]Down in [D]the valley"},
		{"[ch]G[/ch]       [ch]D[/ch]", "Down in the valley", "[G]Down in [D]the valley"},
		{"G&nbsp;&nbsp;D", "la la", "[G]la [D]la"},
		{"| G     | D", "Down in the valley", "Do[G]wn in th[D]e valley"},
	} {
		s := sheetOf(t, song.Wish{}, "[Verse]", c.chords, c.words)
		assert.Equal(t, c.want+"\n", bracketed(s), "%q over %q", c.chords, c.words)
	}
}

func FuzzRead(f *testing.F) {
	files, _ := filepath.Glob("testdata/*.txt")
	for _, name := range files {
		src, err := os.ReadFile(name)
		require.NoError(f, err)
		f.Add(src)
	}
	for _, s := range []string{"", "G", "[G", "G\nla", "|: G | % :| x2", "{soc}\n[G]la", "1.\nG\nla\n2.\nla la", "(G) (", "H7 es", "x", "\xFF\xFEG\x00", "> G\n> la"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, src []byte) {
		s, err := Read(src, "song.txt", song.Wish{})
		if err != nil {
			var e *source.Error
			require.ErrorAs(t, err, &e)
			require.NotEmpty(t, e.Hint)
			return
		}
		_, err = s.Dump().JSON()
		require.NoError(t, err)
		_, _, err = s.ToChart("song.txt")
		require.NoError(t, err)
		for _, w := range s.Words {
			for _, c := range w.Chords {
				require.GreaterOrEqual(t, c.Column, 0)
			}
		}
	})
}
