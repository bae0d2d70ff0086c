package abc

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/meter"
	"undersong/internal/sheet/song"
)

// Section numbers are those of the abc music standard 2.1 (December 2011), and so
// are the examples where "standard" stands beside them.

// read reads a tune of 4/4 with eighths, to which further fields of the header may
// be put before a last line with the key and the music.
func read(t testing.TB, text string) *song.Song {
	t.Helper()
	s, err := Read([]byte(sheet(text)), "tune.abc", song.Wish{})
	require.NoError(t, err)
	return s
}

func sheet(text string) string {
	if !strings.Contains("\n"+text, "\nK:") {
		text = "K:C\n" + text
	}
	return "X:1\nT:Clementine\nM:4/4\nL:1/8\n" + text + "\n"
}

// spell writes bars with | between: notes with their lengths as shares of a whole
// note, - for ties, ! before the end of a phrase; gaps are z.
func spell(s *song.Song) string {
	var bars []string
	for _, b := range s.Bars() {
		var all []string
		at := meter.Ticks(0)
		for _, n := range b.Notes {
			if n.At > at {
				all = append(all, "z "+share(n.At-at))
			}
			text := n.Pitch.String() + " " + share(n.Dur)
			if n.Ends {
				text = "!" + text
			}
			if n.Tied {
				text += "-"
			}
			all = append(all, text)
			at = n.At + n.Dur
		}
		if b.Len > at {
			all = append(all, "z "+share(b.Len-at))
		}
		bars = append(bars, strings.Join(all, ", "))
	}
	return strings.Join(bars, " | ")
}

// share is a length as a share of a whole note in its lowest terms.
func share(d meter.Ticks) string {
	a, b := int(d), int(meter.Whole)
	for b != 0 {
		a, b = b, a%b
	}
	return fmt.Sprintf("%d/%d", int(d)/a, int(meter.Whole)/a)
}

func told(s *song.Song) []string {
	var all []string
	for _, n := range s.Notices {
		all = append(all, n.String())
	}
	return all
}

func TestNotes(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"pitch 4.1", "C,B,CBcbc'b'", "C3 1/8, B3 1/8, C4 1/8, B4 1/8, C5 1/8, B5 1/8, C6 1/8, B6 1/8"},
		{"octave signs mixed, standard 4.1", "C,',C'", "C3 1/8, C5 1/8"},
		{"accidentals 4.2", "^F_B^^F__B=F=B", "F#4 1/8, Bb4 1/8, F##4 1/8, Bbb4 1/8, F4 1/8, B4 1/8"},
		{"they hold for the bar, in all octaves 11.3", "^FFf G|F", "F#4 1/8, F#4 1/8, F#5 1/8, G4 1/8 | F4 1/8"},
		{"or in one octave", "%%propagate-accidentals octave\nK:C\n^FFf|", "F#4 1/8, F#4 1/8, F5 1/8"},
		{"or for the note alone", "%%propagate-accidentals not\nK:C\n^FFf|", "F#4 1/8, F4 1/8, F5 1/8"},
		{"a tie carries them over the barline", "^F4-|F2F2", "F#4 1/2- | F#4 1/4, F4 1/4"},
		{"lengths 4.3", "A2A3A/A/2A//A/4A3/2", "A4 1/4, A4 3/8, A4 1/16, A4 1/16, A4 1/32, A4 1/32, A4 3/16"},
		{"unit 3.1.7", "L:1/16\nK:C\nA A2 A3 A7", "A4 1/16, A4 1/8, A4 3/16, A4 7/16"},
		{"broken rhythm, standard 4.4", "a>b c<d", "A5 3/16, B5 1/16, C5 1/16, D5 3/16"},
		{"twice and thrice broken", "a>>b c<<<d", "A5 7/32, B5 1/32, C5 1/64, D5 15/64"},
		{"grace notes do not disturb it, standard 4.12", "A<{g}A A{g}<A", "A4 1/16, A4 3/16, A4 1/16, A4 3/16"},
		{"nor do spaces", "A > B", "A4 3/16, B4 1/16"},
		{"rests 4.5", "z2x2A", "z 1/2, A4 1/8"},
		{"bars of rest", "Z2|A8", "z 1/1 | z 1/1 | A4 1/1"},
		{"spacers and what is kept for later, standard 8.1", `@a !pp! #bc2/3* [K:C#] de?f y |**`, "A5 1/8, B5 1/8, C5 1/12, D#5 1/8, E#5 1/8, F#5 1/8"},
		{"ties 4.11", "abc-|cba", "A5 1/8, B5 1/8, C5 1/8- | C5 1/8, B5 1/8, A5 1/8"},
		{"a tie before which a space stands is forgiven", "c4 -c4", "C5 1/2-, C5 1/2"},
		{"a tie to another note is none", "c4-d4", "C5 1/2, D5 1/2"},
		{"a tie to a rest is none", "c4-z4|c", "C5 1/2, z 1/2 | C5 1/8"},
		{"slurs, standard 4.11", "(c (d e f) g a)", "C5 1/8, D5 1/8, E5 1/8, F5 1/8, G5 1/8, A5 1/8"},
		{"triplet 4.13", "(3abc d2", "A5 1/12, B5 1/12, C5 1/12, D5 1/4"},
		{"duplet in three", "M:6/8\nK:C\n(2ab", "A5 3/16, B5 3/16"},
		{"quadruplet", "M:6/8\nK:C\n(4abcd", "A5 3/32, B5 3/32, C5 3/32, D5 3/32"},
		{"five in compound time are for three", "M:6/8\nK:C\n(5abcde", "A5 3/40, B5 3/40, C5 3/40, D5 3/40, E5 3/40"},
		{"and else for two", "(5abcde", "A5 1/20, B5 1/20, C5 1/20, D5 1/20, E5 1/20"},
		{"lengths in a triplet, standard", "(3:2:2 G4c2 (3 D2E2F2", "G4 1/3, C5 1/6, D4 1/6, E4 1/6, F4 1/6"},
		{"what is left out, standard", "(3::2 G4c2 (3:: abc", "G4 1/3, C5 1/6, A5 1/12, B5 1/12, C5 1/12"},
		{"a rest and a chord count in it", "(3az[ce]", "A5 1/12, z 1/12, E5 1/12"},
		{"of a chord the highest note 4.17", "[CEGc]2", "C5 1/4"},
		{"inner and outer lengths multiply, standard", "[C2E2G2]3", "G4 3/4"},
		{"a chord lasts as long as its first note", "[C4g2]", "G5 1/2"},
		{"a tied chord", "[CE]4-[CE]4", "E4 1/2-, E4 1/2"},
		{"a tie within a chord is its note's", "[C-E]4[CE]4", "E4 1/2, E4 1/2"},
		{"broken chords, standard 4.17", `( "^I" !f! [CEG]- > [CEG] "^IV" [F=AC]3/2"^V"[GBD]/  H[CEG]2 )`, "G4 3/16-, G4 1/16, A4 3/16, B4 1/16, G4 1/4"},
		{"an old chord 10.2.3", "+CEG+2", "G4 1/4"},
		{"decorations 4.14", "!trill!A.B~c+fermata+d vAuB", "A4 1/8, B4 1/8, C5 1/8, D5 1/8, A4 1/8, B4 1/8"},
		{"an old end of a line 10.2.1", "AB|cd!ef|", "A4 1/8, B4 1/8 | C5 1/8, D5 1/8, E5 1/8, F5 1/8"},
		{"phrases", "A4 !breath!B4|c4 !shortphrase!z4", "A4 1/2, !B4 1/2 | !C5 1/2, z 1/2"},
		{"symbols of one's own 4.16", "U: w = !breath!\nK:C\nA4 wB4", "A4 1/2, !B4 1/2"},
		{"a static macro, standard 9.1", "m: ~G3 = G{A}G{F}G\nK:C\n~G3 A", "G4 1/8, G4 1/8, G4 1/8, A4 1/8"},
		{"a moving macro, standard 9.2", "m: ~n2 = (3o/n/m/ n\nK:C\n~g2 ~D2 ~D3", "A5 1/24, G5 1/24, F5 1/24, G5 1/8, E4 1/24, D4 1/24, C4 1/24, D4 1/8, D4 3/8"},
		{"the meter and unit in the line, standard 3.2", "M:6/8\nK:C\nE2E EFE|[M:9/8] [L:1/4] A2G F2E D2|]", "E4 1/4, E4 1/8, E4 1/8, F4 1/8, E4 1/8 | A4 1/2, G4 1/4, F4 1/2, E4 1/4, D4 1/2"},
		{"lines joined, standard 6.1.1", "abc cba|\\ % end of line comment\nabc cba|", "A5 1/8, B5 1/8, C5 1/8, C5 1/8, B5 1/8, A5 1/8 | A5 1/8, B5 1/8, C5 1/8, C5 1/8, B5 1/8, A5 1/8"},
		{"remarks, standard 2.2.5", "DEF FED| % this is an end of line comment\n% this is a comment line\nDEF [r:and this is a remark] FED:|", "D4 1/8, E4 1/8, F4 1/8, F4 1/8, E4 1/8, D4 1/8 | D4 1/8, E4 1/8, F4 1/8, F4 1/8, E4 1/8, D4 1/8"},
		{"an overlay is left out, standard 7.4", "A2 | c d e f g  a  &\\\n     A A A A A  A  &\\\n     F E D C B, A, |]", "A4 1/4 | C5 1/8, D5 1/8, E5 1/8, F5 1/8, G5 1/8, A5 1/8"},
		{"an overlay of two bars, standard 7.4", "g4 f4 | e6 e2 |\n&& (d8    | c6) c2|\nA8|", "G5 1/2, F5 1/2 | E5 3/4, E5 1/4 | A4 1/1"},
		{"text between the lines", "A8|\n%%begintext\nB8|\n%%endtext\nc8|", "A4 1/1 | C5 1/1"},
		{"a barline that is not seen 4.8", "A8[|]B8|", "A4 1/1 | B4 1/1"},
		{"with a margin", "  A8|\n  [K:F]B8|\n  w: oh my\n  K:G\n  F8|", "A4 1/1 | Bb4 1/1 | F#4 1/1"},
		{"within a page 2.3", "A8|\n</pre>\n<p>Bad eggs|", "A4 1/1"},
		{"a blank line within the tune", "A8|\n\nc8|\n\nThis is free text.", "A4 1/1 | C5 1/1"},
	} {
		assert.Equal(t, c.want, spell(read(t, c.text)), c.name)
	}
}

func TestKeys(t *testing.T) {
	for _, c := range []struct{ key, name, want string }{
		{"C", "C", "C D E F G A B"},
		{"Bb", "Bb", "C D Eb F G A Bb"},
		{"F#m", "F#m", "C# D E F# G# A B"},
		{"A minor", "Am", "C D E F G A B"},
		{"G mixolydian", "G", "C D E F G A B"}, // standard 3.1.14: no sharps or flats, as the next ones
		{"D dorian", "Dm", "C D E F G A B"},
		{"E phrygian", "Em", "C D E F G A B"},
		{"F lydian", "F", "C D E F G A B"},
		{"B locrian", "Bm", "C D E F G A B"},
		{"F#MIX", "F#", "C# D# E F# G# A# B"},
		{"EDor", "Em", "C# D E F# G A B"},
		{"", "C", "C D E F G A B"},
		{"none", "C", "C D E F G A B"},
		{"D Phr ^f", "Dm", "C D Eb F# G A Bb"}, // standard: two flats and one sharp
		{"D exp _b _e ^f", "D", "C D Eb F# G A Bb"},
		{"D maj =c", "D", "C D E F# G A B"},
		{"D =c", "D", "C D E F# G A B"},
		{"Hp", "D", "C# D E F# G A B"}, // the pipes' scale: G A B ^c d e ^f g a
		{"HP", "D", "C# D E F# G A B"},
		{"G clef=bass", "G", "C D E F# G A B"},
		{"bass", "C", "C D E F G A B"},
		{"alto", "C", "C D E F G A B"},
	} {
		s := read(t, "K:"+c.key+"\nCDEFGAB")
		var names []string
		for _, n := range s.Bars()[0].Notes {
			names = append(names, n.Pitch.Note.String())
		}
		assert.Equal(t, c.want, strings.Join(names, " "), c.key)
		assert.Equal(t, c.name, s.Key.String(), c.key)
	}
}

func TestClefsAndTransposition(t *testing.T) {
	for key, want := range map[string]string{
		"C treble-8":         "C3 1/8, E3 1/8", // 4.6: the player goes one octave down
		"C clef=treble+8":    "C5 1/8, E5 1/8",
		"C octave=-1":        "C3 1/8, E3 1/8",
		"C transpose=-2":     "Bb3 1/8, D4 1/8", // standard: a clarinet in B flat
		"C bass middle=d":    "C4 1/8, E4 1/8",  // middle= does not change what is played
		"C transpose=12":     "C5 1/8, E5 1/8",
		"C t=3 stafflines=1": "Eb4 1/8, G4 1/8",
	} {
		assert.Equal(t, want, spell(read(t, "K:"+key+"\nCE")), key)
	}
	s := read(t, "K:C transpose=-2\n\"Am/C\"CE|[K:G]G")
	assert.Equal(t, "Bb", s.Key.String())
	assert.Equal(t, "Gm/Bb", s.Bars()[0].Chords[0].Text, "the chords go with the tune")
	assert.Equal(t, "F", s.Bars()[1].Key.String())
	assert.Contains(t, told(s), "the tune is moved by -2 semitones, as its clef or transpose= says")
}

func TestMetersAndTempos(t *testing.T) {
	for _, c := range []struct {
		head  string
		meter string
		tempo float64 // felt beats
	}{
		{"M:C\nQ:1/4=110", "4/4", 110},
		{"M:C|\nQ:1/2=60", "2/2", 60},
		{"M:6/8\nQ:3/8=50 \"Slowly\"", "6/8", 50}, // standard 3.1.8
		{"M:6/8\nQ:1/8=150", "6/8", 50},
		{"M:6/8\nQ:1/4=142", "6/8", 94.67},
		{"M:4/4\nQ:\"Allegro\" 1/4=120", "4/4", 120},
		{"M:5/4\nQ:1/4 3/8 1/4 3/8=40", "5/4", 200}, // standard: as if 5/4=40
		{"M:4/4\nL:1/8\nQ:120", "4/4", 60},          // 10.1: unit lengths a minute
		{"M:4/4\nL:1/4\nQ:C=120", "4/4", 120},
		{"M:4/4\nL:1/8\nQ:C3=40", "4/4", 60},
		{"M:4/4\nQ:\"Andante\"", "4/4", 0},
		{"M:4/4\nQ:1/4=9000", "4/4", 0},
		{"M:(2+3+2)/8", "7/8", 0},
		{"M:2+3/8", "5/8", 0},
		{"M:none", "4/4", 0},
		{"M:none\nL:1/16", "2/4", 0}, // which the bars fill
		{"M:3/4\nM:2/4", "2/4", 0},
	} {
		s := read(t, c.head+"\nK:C\nC8|C8|")
		assert.Equal(t, c.meter, s.Meter.String(), c.head)
		assert.InDelta(t, c.tempo, float64(s.Tempo), 1e-9, c.head)
	}
	s := read(t, "K:C\nC8|[M:3/4]C6|[K:G]F6|")
	assert.Equal(t, meter.Meter{Num: 3, Den: 4}, s.Bars()[1].Meter)
	assert.Equal(t, "G", s.Bars()[2].Key.String())
	assert.Equal(t, "4/4", s.Meter.String())
}

func TestUnits(t *testing.T) {
	for _, c := range []struct{ head, want string }{
		{"M:2/4", "C4 1/16"}, // 3.1.7: a sixteenth below 0.75
		{"M:6/8", "C4 1/8"},
		{"M:C|", "C4 1/8"},
		{"", "C4 1/8"},
		{"L:1/4\nM:2/4", "C4 1/4"},
		{"L:1", "C4 1/1"},
	} {
		s, err := Read([]byte("X:1\n"+c.head+"\nK:C\nC|"), "", song.Wish{})
		require.NoError(t, err)
		assert.Equal(t, c.want, spell(s), c.head)
	}
	s := read(t, "M:2/4\nL:1/4\nK:C\nC|")
	assert.Equal(t, meter.Quarter, s.Unit)
	s = read(t, "K:C\nC|")
	assert.Zero(t, s.Unit, "what is usual in the meter is not told")
}

func TestUpbeats(t *testing.T) {
	for text, want := range map[string]meter.Ticks{
		"D2|G8|":           meter.Quarter,
		"|:D2|G8:|":        meter.Quarter,
		"G8|G8|":           0,
		"G6|":              0, // one bar alone
		"M:none\nC2|G8|":   0,
		"M:6/8\nK:C\nD|G6": meter.Eighth,
	} {
		if strings.HasPrefix(text, "M:none") {
			text = strings.Replace(text, "\n", "\nK:C\n", 1)
		}
		assert.Equal(t, want, read(t, text).Upbeat, text)
	}
}

func TestHeads(t *testing.T) {
	src := "%abc-2.1\nC:Trad.\nM:3/4\n\nX:7\nT:Down in the Valley\nT:Bird in a Cage % too\nO:England; Gloucs\nS:a singer\nC:Percy Montrose\nN:see also \\'Etudes\nK:G\nD2G2A2|\nW:further words\n"
	s, err := Read([]byte(src), "", song.Wish{})
	require.NoError(t, err)
	assert.Equal(t, "Down in the Valley", s.Title)
	assert.Equal(t, "Trad., Percy Montrose", s.By)
	assert.Equal(t, "3/4", s.Meter.String(), "the file's header holds for each tune (2.2.2)")
	assert.Equal(t, []string{"further titles: Bird in a Cage", "line 14: the words below the tune (W:) are left out"}, told(s))
}

func TestTunesOfAFile(t *testing.T) {
	src := []byte("X:3\nT:Clementine\nK:F\nF2F2\n\nSome free text.\n\nX:5\nT:When the Saints\nT:Saints Go Marching In, The\nK:C\nC2E2\nX:12\nK:G\nG2\n")
	for wish, want := range map[string]string{"": "Clementine", "5": "When the Saints", "when the saints": "When the Saints", "marching": "When the Saints", "12": ""} {
		s, err := Read(src, "", song.Wish{Tune: wish})
		require.NoError(t, err, wish)
		assert.Equal(t, want, s.Title, wish)
		if wish == "" {
			assert.Equal(t, []string{"the first of 3 tunes is read; the others are 5 When the Saints; 12"}, told(s)[:1])
		}
	}
	_, err := Read(src, "book.abc", song.Wish{Tune: "Sakura"})
	assert.EqualError(t, err, `book.abc: the file has no tune "Sakura"; it has 3 Clementine; 5 When the Saints; 12; name one by its number or its title`)
}

func TestWhatIsNoTune(t *testing.T) {
	for name, src := range map[string]string{
		"nothing":      "",
		"plain words":  "Oh my darling Clementine\n",
		"a chart":      "title: Clementine\nkey: F\n\n| F | C7 |\n",
		"no notes":     "X:1\nT:Clementine\nK:F\n",
		"no text":      "X:1\n\x00\x01\x02\x03",
		"endless":      "X:1\nP:((((((((A99)99)99)99)99)99)99)99)\nK:C\nP:A\nC|\n",
		"too often":    "X:1\nK:C\n" + strings.Repeat("|"+strings.Repeat(":", 98)+"C8"+strings.Repeat(":", 98)+"|\n", 200),
		"a big file":   strings.Repeat("X:1\n", mostBytes/4+1),
		"many tunes":   strings.Repeat("X:1\n", mostTunes+1),
		"many lines":   "X:1\n" + strings.Repeat("%\n", mostLines+1),
		"a long head":  strings.Repeat("%\n", mostLines+1),
		"a long tune":  "X:1\nK:C\n" + strings.Repeat("CDEF", mostEvents/4+1),
		"ends in K:":   "K:",
		"many bars":    "X:1\nK:C\nZ99999\n",
		"rest forever": "X:1\nK:C\n" + strings.Repeat("Z9999|", 100),
	} {
		_, err := Read([]byte(src), "x.abc", song.Wish{})
		require.Error(t, err, name)
		assert.Contains(t, err.Error(), "x.abc:", name)
	}
	s, err := Read([]byte("T:no number\nK:G\nGABc|"), "", song.Wish{})
	require.NoError(t, err, "a file of one tune may leave X: out (10.5.1)")
	assert.Equal(t, "no number", s.Title)
}

func TestWhatIsPassedOverIsTold(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"{g}A{f}B{e}c", "line 6: grace notes are left out (3, first here)"},
		{"[CE]2", "line 6: of notes that sound together the tune has the highest"},
		{"A & B|", "line 6: voices laid over a bar with & are left out"},
		{"AqB", "line 6: 'q' in column 2 is no sign of the standard, and passed over"},
		{"CD|\ns: * * \"F\"", "line 7: signs (s:) are left over where the notes end"},
		{"m: x\nK:C\nA", "line 5: this macro (m:) is passed over"},
		{"A[q]B", "line 6: the chord in column 2 has no notes"},
		{"A99999999|", "line 6: the length in column 9 is out of reach, and read as one beat"},
		{"A(99B|", "line 6: the tuplet in column 2 is none"},
		{"A: B|", `line 6: ":" in column 2 is no barline`},
		{"A|[\"last time\" B|", "line 6: an ending without a number is read as bars like others"},
		{"A0|", "line 6: the length in column 2 is none"},
		{"AZ0|", "line 6: the rest in column 2 is for no number of bars"},
		{"A^/B|", "line 6: quarter tones are read as semitones"},
		{"m: a=bbbbbbbbbb\nm: b=aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa\nK:C\n" + strings.Repeat("a", 7000) + "c|", "line 8: macros make this line too long, and are passed over"},
		{`"^slow"A`, `line 6: annotations are left out, such as "slow"`},
		{`"slow"A`, `line 6: the text "slow" stands where chords do, and is passed over`},
		{`"C""(Am)"A`, "line 6: of two chords at one place the one in parentheses is left out"},
		{"A4 C,,,,4", "line 6: no piano has the note in column 4"},
		{"A4 ^ |", "line 6: no note follows the accidental in column 4"},
		{"A4 \"C", `line 6: '"' in column 4 never ends`},
		{"|> A4", "line 6: the broken rhythm in column 2 stands between no two notes"},
		{"M:7/q\nK:C\nA", `line 5: the meter "7/q" is not known, and passed over`},
		{"L:x\nK:C\nA", `line 5: the length "x" is not known, and passed over`},
		{"j:x\nK:C\nA", "line 5: the field j: is not known, and passed over"},
		{"A8|[Q:1/4=99]B8|", "line 6: the tempo changes, and the first one is kept"},
		{"I:abc-include my.abh\nK:C\nA", "line 5: the file my.abh is not read"},
		{"K:G mix\nA", "the key is G mixolydian, and told as G"},
		{"M:none\nK:C\nA", "the tune names no meter, and 4/4 is taken"},
	} {
		s := read(t, c.text)
		assert.Contains(t, told(s), c.want, c.text)
		assert.NotEmpty(t, s.Bars()[0].Notes, c.text)
	}
}
