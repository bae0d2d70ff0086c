package melody

import (
	"fmt"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/text/source"
)

// Section numbers are those of the abc music standard 2.1 (December 2011), and so
// are the examples where "standard" stands beside them.

// setting reads a key, a meter and, after them, a unit such as 1/16.
func setting(t testing.TB, text string) Setting {
	t.Helper()
	f := strings.Fields(text)
	key, err := pitch.ParseKey(f[0])
	require.NoError(t, err)
	m, err := meter.Parse(f[1])
	require.NoError(t, err)
	s := Setting{Key: key, Meter: m}
	if len(f) > 2 {
		den, err := strconv.Atoi(strings.TrimPrefix(f[2], "1/"))
		require.NoError(t, err)
		s.Unit = meter.Whole / meter.Ticks(den)
	}
	return s
}

// spell writes bars with | between: notes with their lengths as shares of a whole
// note, - for ties, ! before the end of a phrase; gaps are z.
func spell(l Line) string {
	var bars []string
	for _, b := range l.Bars {
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
		if b.Rest {
			all = append(all, "Z")
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

func TestReadingNotes(t *testing.T) {
	for _, c := range []struct{ setting, text, want string }{
		// 4.1: C is middle C, c the octave above; ' and , go on
		{"C 4/4", "C,B,CBcbc'b'", "C3 1/8, B3 1/8, C4 1/8, B4 1/8, C5 1/8, B5 1/8, C6 1/8, B6 1/8"},
		{"C 4/4", "C,',C'", "C3 1/8, C5 1/8"}, // standard: C,', is C, and C' is c
		// 4.2: accidentals
		{"C 4/4", "^F_B^^F__B=F=B", "F#4 1/8, Bb4 1/8, F##4 1/8, Bbb4 1/8, F4 1/8, B4 1/8"},
		// 11.3: they hold to the end of the bar and in every octave, and for no other letter
		{"C 4/4", "^FFfG|F", "F#4 1/8, F#4 1/8, F#5 1/8, G4 1/8 | F4 1/8"},
		{"C 4/4", "_CCc|Cc", "Cb4 1/8, Cb4 1/8, Cb5 1/8 | C4 1/8, C5 1/8"},
		// 3.1.14: the key signature; minor has the natural minor's
		{"Eb 4/4", "ABED=A", "Ab4 1/8, Bb4 1/8, Eb4 1/8, D4 1/8, A4 1/8"},
		{"Am 4/4", "GF^G", "G4 1/8, F4 1/8, G#4 1/8"},
		{"F#m 4/4", "FCG=C", "F#4 1/8, C#4 1/8, G#4 1/8, C4 1/8"},
		// 4.3: lengths; standard: with the unit 1/16, A3 is a dotted eighth, A15 a triple dotted half
		{"C 4/4 1/16", "A A1 A2 A3 A15", "A4 1/16, A4 1/16, A4 1/8, A4 3/16, A4 15/16"},
		{"C 4/4 1/8", "A/2 A3/2 A/4 A/ A//", "A4 1/16, A4 3/16, A4 1/32, A4 1/16, A4 1/32"},
		{"C 4/4 1/8", "A/16", "A4 1/128"}, // standard: to a 128th
		// 3.1.7: without a unit it is a sixteenth below 0.75 and else an eighth
		{"C 2/4", "A", "A4 1/16"},
		{"C 3/4", "A", "A4 1/8"},
		{"C 6/8", "A", "A4 1/8"},
		// 4.4: broken rhythm; standard: three ways to write the same
		{"C 4/4 1/16", "a3b cd3", "A5 3/16, B5 1/16, C5 1/16, D5 3/16"},
		{"C 4/4 1/8", "a3/2b/2 c/2d3/2", "A5 3/16, B5 1/16, C5 1/16, D5 3/16"},
		{"C 4/4 1/8", "a>b c<d", "A5 3/16, B5 1/16, C5 1/16, D5 3/16"},
		{"C 4/4", "a>>b c<<d e>>>f", "A5 7/32, B5 1/32, C5 1/32, D5 7/32, E5 15/64, F5 1/64"},
		{"C 4/4", "a2>b2", "A5 3/8, B5 1/8"},
		{"C 4/4", "A<{g}A A{g}<A", "A4 1/16, A4 3/16, A4 1/16, A4 3/16"}, // 4.12, standard
		// 4.5: rests
		{"C 4/4", "z2 A x A z", "z 1/4, A4 1/8, z 1/8, A4 1/8, z 1/8"},
		{"C 4/4", "Z4|CD EF|X", "Z | Z | Z | Z | C4 1/8, D4 1/8, E4 1/8, F4 1/8 | Z"},
		// 4.7: back quotes and spaces say nothing
		{"C 4/4", "A2``B` C", "A4 1/4, B4 1/8, C4 1/8"},
		// 4.11: ties, also over the barline; slurs change nothing
		{"C 4/4", "abc-|cba", "A5 1/8, B5 1/8, C5 1/8- | C5 1/8, B5 1/8, A5 1/8"}, // standard
		{"C 4/4", "c4-c4", "C5 1/2-, C5 1/2"},                                     // standard
		{"C 4/4", "(c (d e f) g a) .(cd.)e.-e", "C5 1/8, D5 1/8, E5 1/8, F5 1/8, G5 1/8, A5 1/8, C5 1/8, D5 1/8, E5 1/8-, E5 1/8"},
		{"C 4/4", "^C-|CC c", "C#4 1/8- | C#4 1/8, C4 1/8, C5 1/8"}, // a tie carries its accidental alone
		// 4.12: grace notes
		{"C 4/4", "{/gagab}C {GdGe}A {a3/2b/}B", "C4 1/8, A4 1/8, B4 1/8"},
		// 4.13: tuplets
		{"C 4/4", "(3abc", "A5 1/12, B5 1/12, C5 1/12"},
		{"C 4/4", "(3::abc(3:2abc(3:2:3abc", "A5 1/12, B5 1/12, C5 1/12, A5 1/12, B5 1/12, C5 1/12, A5 1/12, B5 1/12, C5 1/12"}, // standard: all the same
		{"C 4/4", "(3:2:2 G4c2 (3::2G4c2", "G4 1/3, C5 1/6, G4 1/3, C5 1/6"},                                                    // standard
		{"C 4/4", "(3:2:4 G2A2Bc", "G4 1/6, A4 1/6, B4 1/12, C5 1/12"},                                                          // standard
		{"C 4/4", "(3 D3EF2", "D4 1/4, E4 1/12, F4 1/6"},                                                                        // standard
		{"C 6/8", "(2ab(4abcd(8aaaaaaaa", "A5 3/16, B5 3/16, A5 3/32, B5 3/32, C5 3/32, D5 3/32" + strings.Repeat(", A5 3/64", 8)},
		{"C 4/4", "(5aaaaa(6aaaaaa", "A5 1/20" + strings.Repeat(", A5 1/20", 4) + strings.Repeat(", A5 1/24", 6)},
		{"C 6/8", "(5aaaaa(6aaaaaa", "A5 3/40" + strings.Repeat(", A5 3/40", 4) + strings.Repeat(", A5 1/24", 6)}, // n is 3 in compound meters
		{"C 4/4", "(3.a.b.c vAuBvA", "A5 1/12, B5 1/12, C5 1/12, A4 1/8, B4 1/8, A4 1/8"},                         // 4.14, standard
		// 4.14: decorations
		{"C 4/4", "!coda! y  !p! !trill! C   !fermata!| ~HLMOPSTA", "C4 1/8 | A4 1/8"},
		{"C 4/4", "A!breath!B!shortphrase!!f!^c !mediumphrase!(d !longphrase!) e", "A4 1/8, !B4 1/8, !C#5 1/8, !D5 1/8, !E5 1/8"},
		// ... at a rest or a barline a mark holds for the note before
		{"C 4/4", "A!breath!z B !breath!| C z | !breath!Z | D !breath!", "!A4 1/8, z 1/8, !B4 1/8 | !C4 1/8, z 1/8 | Z | !D4 1/8"},
		// 4.8 to 4.10: barlines and endings
		{"C 4/4", "[|: C D :|[1 E :|2 F :: G || A |1,3 B .| C [|] D |[| E :||: F |]", "C4 1/8, D4 1/8 | E4 1/8 | F4 1/8 | G4 1/8 | A4 1/8 | B4 1/8 | C4 1/8 | D4 1/8 | E4 1/8 | F4 1/8"},
		{"C 4/4", "|: faf gfe|[1 dfe dBA:|[2 d2e dcB|]", "F5 1/8, A5 1/8, F5 1/8, G5 1/8, F5 1/8, E5 1/8 | D5 1/8, F5 1/8, E5 1/8, D5 1/8, B4 1/8, A4 1/8 | D5 1/4, E5 1/8, D5 1/8, C5 1/8, B4 1/8"}, // standard
		// 4.19 annotations, 2.2.5 remarks, 2.2.6 and 6.1.1 line ends
		{"C 4/4", `"^slow"A "<(" ">)"B\`, "A4 1/8, B4 1/8"},
		{"C 4/4", "A B$ | C % two bars", "A4 1/8, B4 1/8 | C4 1/8"},
		{"C 4/4", "A B # | C", "A4 1/8, B4 1/8"},
		{"C 4/4", " ", ""},
	} {
		l, err := NewReader(setting(t, c.setting)).Line(c.text)
		require.NoError(t, err, c.text)
		require.Equal(t, c.want, spell(l), c.text)
	}
}

func TestWhatStandsBeforeTheFirstBarline(t *testing.T) {
	for text, begun := range map[string]bool{"A | B": false, "| A": true, "|: A": true, " [| A": true, "[1 A": false, "Z | A": false, "": false} {
		l, err := NewReader(setting(t, "C 4/4")).Line(text)
		require.NoError(t, err, text)
		assert.Equal(t, begun, l.Begun, text)
	}
}

// A tie leads on into the next line, with its accidental; what follows there may
// be another note where a repeat is played.
func TestTiesLeadIntoTheNextLine(t *testing.T) {
	r := NewReader(setting(t, "F 4/4"))
	var got []string
	for _, text := range []string{"=B8-|", "B4 B4-|", "c8 | B8-|", "z4 B4 |"} {
		l, err := r.Line(text)
		require.NoError(t, err)
		got = append(got, spell(l))
	}
	assert.Equal(t, []string{"B4 1/1-", "B4 1/2, Bb4 1/2-", "C5 1/1 | Bb4 1/1-", "z 1/2, Bb4 1/2"}, got)
}

func TestWhatIsNoTune(t *testing.T) {
	for _, c := range []struct {
		text string
		col  int
		want string
	}{
		{"A [CEG] B", 3, "a tune is one note at a time"},
		{`A "Am" B`, 3, "a chord stands in the tune"},
		{`A "" B`, 3, "a chord stands in the tune"},
		{"A [K:G] B", 3, "no fields in brackets"},
		{"A & B", 3, `'&' is no note`},
		{"A la", 3, `'l' is no note`},
		{"A 2", 3, `'2' is no note; a length stands right behind its note`},
		{"A H2", 3, `'H' is no note; the note H is called B here`},
		{"A2'", 3, `'\'' is no note; octave marks stand between`},
		{"^z", 1, "a note must follow this accidental"},
		{"A ^", 3, "a note must follow this accidental"},
		{"^^^A", 1, "a note must follow this accidental"},
		{"^=A", 1, "a note must follow this accidental"},
		{"A,,,,,", 1, "no piano has this note"},
		{"c''''", 1, "no piano has this note"},
		{"A0", 2, "no length"},
		{"A//4", 2, "no length"}, // 4.3 knows // without a number
		{"A/0", 2, "no length"},
		{"A100000/2000", 2, "no length"},
		{"A/7", 1, "no length"},
		{"A9999", 1, "no length"},
		{"A/4096", 1, "no length"},
		{"- A", 1, "this tie has no note before it"},
		{"A | -A", 5, "this tie has no note before it"}, // 4.11: not legal
		{"z- A", 2, "this tie has no note before it"},
		{"A--A", 3, "this tie has no note before it"},
		{"A-B", 3, "a tie leads from A4 to B4; a tie joins notes of one pitch"},
		{"A-|^A", 4, "a tie leads from A4 to A#4"},
		{"A-a", 3, "a tie leads from A4 to A5"},
		{"A- z", 4, "a tie leads from A4 to a rest"},
		{"A-|Z", 4, "a tie leads from A4 to a rest"},
		{"> A", 1, "a broken rhythm stands between two notes"},
		{"A > | B", 3, "nothing follows the broken rhythm"},
		{"A<", 2, "nothing follows the broken rhythm"},
		{"A<>B", 3, "a broken rhythm stands between"}, // not in both directions
		{"A>>>>B", 2, "a broken rhythm stands between"},
		{"(3AB | C", 1, "notes are missing: this tuplet is for 3, the bar has 2"},
		{"(3AB(3ABC", 5, "a tuplet begins before the last one has its 3 notes"},
		{"(1A", 1, "a tuplet has 2 to 9 notes"},
		{"(10A", 1, "a tuplet has 2 to 9 notes"},
		{"(3:0:2AB", 1, "a tuplet has 2 to 9 notes"},
		{"A Z", 3, "Z rests for a whole bar, but this one has notes"},
		{"Z0", 1, "a rest lasts 1 to 99 bars"},
		{"A | | B", 3, "this bar of the tune is empty; write Z"},
		{"|| A | |", 6, "this bar of the tune is empty"},
		{"A : B", 3, "this is no barline"},
		{"A ]", 3, `']' is no note`},
		{"A | % | B", 5, "% repeats no bar of a tune"},
		{"A !breath", 3, `this '!' never ends`},
		{"{g A", 1, `this '{' never ends`},
		{`"^slow A`, 1, `this '"' never ends`},
		{"!breath! | A", 1, "no note stands at this mark"},
		{"!breath!", 1, "no note stands at this mark"},
		{"é", 1, `'é' is no note`},
		{"(9A/960", 3, "no length"},
		{"(9" + strings.Repeat("A/480", 9), 3, "a note too short to be heard"},
	} {
		_, err := NewReader(setting(t, "C 4/4")).Line(c.text)
		var e *source.Error
		require.ErrorAs(t, err, &e, c.text)
		assert.Equal(t, c.col, e.Col, "%s: %s", c.text, e)
		assert.Contains(t, e.Error(), c.want, c.text)
		assert.NotEmpty(t, e.Hint, c.text)
	}
}

func TestNotesOfTupletsFillTheirTime(t *testing.T) {
	for p := 2; p <= 9; p++ {
		for _, m := range []string{"C 4/4", "C 6/8"} {
			s := setting(t, m)
			text := fmt.Sprintf("(%d%s|", p, strings.Repeat("A", p))
			l, err := NewReader(s).Line(text)
			require.NoError(t, err, text)
			assert.Zero(t, l.Bars[0].Len%meter.Eighth, "%s in %s", text, m)
			var sum meter.Ticks
			for _, n := range l.Bars[0].Notes {
				assert.Equal(t, sum, n.At)
				sum += n.Dur
			}
			assert.Equal(t, l.Bars[0].Len, sum)
		}
	}
}

// A large line of anything comes to an end: no step grows with the square of the
// text.
func TestHugeLines(t *testing.T) {
	for part, want := range map[string]string{
		"C": "", "C|": "", "|Z99": "more than 10000 bars", "z": "", "(3": "a tuplet begins", "(9ABCDEFGAB": "", "(": "",
		"c-": "", "!breath!z": "", "|": "is no barline", "| ": "is empty", "[1": "", "{g}": "", "{": "never ends", "\"": "a chord",
		"A>": "the broken rhythm", "/": "is no length", "C/": "", "y": "", "^": "must follow", "c'": "", "%": "", "`": "",
	} {
		text := "c" + strings.Repeat(part, 1<<18/len(part))
		_, err := NewReader(setting(t, "C 4/4")).Line(text)
		if want == "" {
			assert.True(t, err == nil, part)
		} else {
			require.Error(t, err, part)
			assert.Less(t, len(err.Error()), 200)
			assert.ErrorContains(t, err, want, part)
		}
	}
}
