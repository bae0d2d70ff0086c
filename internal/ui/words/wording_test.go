package words

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/judge/finding"
	"undersong/internal/listen/chordid"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
)

// built is a score of bars in C, or with a heading of their own, and a pattern: a
// shipped one, or rows such as "right: ch/left: 1".
func built(t testing.TB, bars, rows string) *score.Score {
	t.Helper()
	heading := "key: C\nmeter: 4/4\n"
	if h, rest, ok := strings.Cut(bars, "/ "); ok {
		heading, bars = strings.ReplaceAll(h, "; ", "\n")+"\n", rest
	}
	c := material.Chart(t, heading+"\n"+strings.ReplaceAll(bars, "; ", "\n")+"\n")
	p, err := material.Catalogue(t).Find(rows)
	if err != nil {
		p, err = pattern.Parse([]byte("name: own\nmeter: 4/4\ngrid: quarters\n"+strings.ReplaceAll(rows, "/", "\n")+"\n"), "own.pattern")
	}
	require.NoError(t, err)
	s, err := score.Build(c, p, score.Options{})
	require.NoError(t, err)
	return s
}

// keysOf reads keys such as "C4 E4".
func keysOf(t testing.TB, names string) (k finding.Keys) {
	t.Helper()
	for _, n := range strings.Fields(names) {
		p, err := pitch.ParsePitch(n)
		require.NoError(t, err)
		k.Add(p.Num())
	}
	return k
}

// at is a finding about a hand's stroke, by the printed bar and beat.
func at(t testing.TB, s *score.Score, h pattern.Hand, bar int, beat float64, f finding.Finding) *finding.Finding {
	t.Helper()
	for i := range s.Wants {
		if w := &s.Wants[i]; w.Hand == h && s.Bars[w.Bar].Number == bar && w.Beat == beat {
			f.Part, f.Bar, f.Beat, f.Want, f.Second = finding.Part(h), w.Bar, beat, i, -1
			return &f
		}
	}
	t.Fatalf("no stroke of the %s hand in bar %d, beat %g", h, bar, beat)
	return nil
}

const left, right = pattern.Left, pattern.Right

func TestWhatIsSaidOfStrokes(t *testing.T) {
	const twoBeat = "right: . ch . ch/left: 1 . 5,? ."
	for name, c := range map[string]struct {
		bars, rows  string
		hand        pattern.Hand
		bar         int
		beat        float64
		f           finding.Finding
		heard, goal string
		want        string // the whole line
	}{
		"a right chord": {"| C | F |", "block-whole", right, 2, 1, finding.Finding{Kind: finding.Right},
			"C4 F4 A4", "", "bar 2, beat 1: F, right"},

		"another bass": {"| C | F |", "block-whole", left, 2, 1, finding.Finding{Kind: finding.WrongBass},
			"G2", "F2", "bar 2, beat 1: bass G, this is F - go down to F"},
		"the third where the root is wanted": {"| C | F |", "block-whole", left, 2, 1, finding.Finding{Kind: finding.WrongBass},
			"A2", "F2", "bar 2, beat 1: bass A, the root is wanted here - go down to F"},
		"the root where the fifth is wanted": {"| G | C |", twoBeat, left, 1, 3, finding.Finding{Kind: finding.WrongBass},
			"G2", "D2", "bar 1, beat 3: bass G, the fifth is wanted here - go down to D"},
		"a foreign note where the fifth is wanted": {"| G | C |", twoBeat, left, 1, 3, finding.Finding{Kind: finding.WrongBass},
			"E2", "D2", "bar 1, beat 3: bass E, the fifth of G is wanted here - go down to D"},
		"no tone where any will do": {"| C | C |", "walking-quarters", left, 1, 2, finding.Finding{Kind: finding.WrongBass},
			"F3", "E3", "bar 1, beat 2: bass F, this is C - go down to E"},
		"no step to the next bass": {"| C | F |", "walking-quarters", left, 1, 4, finding.Finding{Kind: finding.WrongBass},
			"C3", "E3", "bar 1, beat 4: bass C, this is C - go up to E"},
		"a bass beside the chord": {"| C/D | C |", "block-whole", left, 1, 1, finding.Finding{Kind: finding.WrongBass},
			"C3", "D3", "bar 1, beat 1: bass C, this is C/D - go up to D"},
		"two notes for the bass": {"| C | F |", "block-whole", left, 2, 1, finding.Finding{Kind: finding.WrongBass},
			"G2 A2", "F2", "bar 2, beat 1: bass G A, this is F - play F"},
		"a bass an octave too high": {"| C | F |", "block-whole", left, 2, 1, finding.Finding{Kind: finding.WrongBass},
			"F3", "F2", "bar 2, beat 1: bass F, an octave too high - go down an octave"},
		"a bass two octaves too high": {"| C | F |", "block-whole", left, 2, 1, finding.Finding{Kind: finding.WrongBass},
			"F4", "F2", "bar 2, beat 1: bass F, two octaves too high - go down two octaves"},
		"a bass three octaves too low": {"| C | F |", "block-whole", left, 2, 1, finding.Finding{Kind: finding.WrongBass},
			"F1", "F4", "bar 2, beat 1: bass F, 3 octaves too low - go up 3 octaves"},
		"a figure's note an octave too low": {"| C | C |", "broken-up", left, 1, 2, finding.Finding{Kind: finding.WrongNote},
			"E2", "E3", "bar 1, beat 2: E, an octave too low - go up an octave"},

		"another chord that shares a note": {"| C | C7 |", "block-whole", right, 2, 1, finding.Finding{Kind: finding.WrongChord},
			"C4 F4 A4", "C4 E4 G4 Bb4", "bar 2, beat 1: F/C, wanted C7 - keep C, let go of F and A, add E G Bb"},
		"another chord that shares none": {"| C | F |", "block-whole", right, 2, 1, finding.Finding{Kind: finding.WrongChord},
			"D4 G4 B4", "C4 F4 A4", "bar 2, beat 1: G/D, wanted F - play C F A"},
		"a fourth between": {"| C | F |", "block-whole", right, 2, 1, finding.Finding{Kind: finding.WrongNote},
			"C4 F4 G4", "C4 F4 A4", "bar 2, beat 1: Csus4, wanted F - keep C F, G up to A"},
		"two notes too low": {"| C | F |", "block-whole", right, 2, 1, finding.Finding{Kind: finding.WrongChord},
			"C4 E4 G4", "C4 F4 A4", "bar 2, beat 1: C, wanted F - keep C, up to F and A"},
		"two notes too high": {"| F | C |", "block-whole", right, 2, 1, finding.Finding{Kind: finding.WrongChord},
			"C4 F4 A4", "C4 E4 G4", "bar 2, beat 1: F/C, wanted C - keep C, down to E and G"},
		"one up, one down": {"| C | F |", "block-whole", right, 2, 1, finding.Finding{Kind: finding.WrongChord},
			"C4 E4 B4", "C4 F4 A4", "bar 2, beat 1: Cmaj7, wanted F - keep C, E up to F, B down to A"},
		"more than an octave away": {"| C | F |", "block-whole", right, 2, 1, finding.Finding{Kind: finding.WrongChord},
			"C4 F4 B5", "C4 F4 A4", "bar 2, beat 1: C F B, wanted F - keep C F, let go of B, add A"},
		"an octave away is a movement": {"| C | F |", "block-whole", right, 2, 1, finding.Finding{Kind: finding.WrongChord},
			"C4 F4 G#5", "C4 F4 G#4", "bar 2, beat 1: Fm/C, wanted F - keep C F, down to Ab"},
		"one more note than the chord has": {"| C | F |", "block-whole", right, 2, 1, finding.Finding{Kind: finding.WrongChord},
			"C4 D4 F4 A4", "C4 F4 A4", "bar 2, beat 1: Dm7/C, wanted F - leave out D"},
		"a wrong note beside a doubled one": {"| C | F |", "block-whole", right, 2, 1, finding.Finding{Kind: finding.WrongNote},
			"C4 F4 G4 C5", "C4 F4 A4", "bar 2, beat 1: Csus4, wanted F - keep C F, G up to A"},
		"the right keys, told wrong all the same": {"| C | F |", "block-whole", right, 2, 1, finding.Finding{Kind: finding.WrongChord},
			"C4 F4 A4", "C4 F4 A4", "bar 2, beat 1: F/C, wanted F - play C F A"},
		"a lone note of a chord": {"| C | C |", "broken-up", left, 1, 2, finding.Finding{Kind: finding.WrongNote},
			"F3", "E3", "bar 1, beat 2: F, wanted E - go down to E"},

		"another inversion than the nearest": {"| C | F |", "block-near", right, 2, 1, finding.Finding{Kind: finding.WrongInversion},
			"F4 A4 C5", "C4 F4 A4", "bar 2, beat 1: F, wanted the nearest F - play C F A, C lowest"},
		"another inversion than the one asked for": {"| C | F |", "right: ch1 - - -/left: 1 - - -", right, 2, 1, finding.Finding{Kind: finding.WrongInversion},
			"F4 A4 C5", "A4 C5 F5", "bar 2, beat 1: F, wanted F/A - play A C F, A lowest"},

		"a bass that never came": {"| C | F |", "block-whole", left, 2, 1, finding.Finding{Kind: finding.Missing},
			"", "F2", "bar 2, beat 1: no bass - strike F"},
		"a chord that never came": {"| C | F |", "block-whole", right, 2, 1, finding.Finding{Kind: finding.Missing},
			"", "C4 F4 A4", "bar 2, beat 1: no chord - strike F"},
		"a figure's note that never came": {"| C | C |", "broken-up", left, 1, 2, finding.Finding{Kind: finding.Missing},
			"", "E3", "bar 1, beat 2: no note - strike E"},
		"a step that never came": {"| C | F |", "walking-quarters", left, 1, 4, finding.Finding{Kind: finding.Missing},
			"", "E3", "bar 1, beat 4: no bass - strike E, a step from the next bass"},
		"a forgotten seventh": {"| C | G7 |", "block-whole", right, 2, 1, finding.Finding{Kind: finding.Missing},
			"G4 B4 D5", "G4 B4 D5 F5", "bar 2, beat 1: G7 without its seventh - add F"},
		"two forgotten notes": {"| C | G7 |", "block-whole", right, 2, 1, finding.Finding{Kind: finding.Missing},
			"G4 B4", "G4 B4 D5 F5", "bar 2, beat 1: G7 without its fifth and seventh - add D F"},
		"a forgotten octave": {"| C | F |", "block-whole", right, 2, 1, finding.Finding{Kind: finding.Missing},
			"F4 A4 C5", "F4 A4 C5 F5", "bar 2, beat 1: F without its octave - add F"},
		"a note of its own, forgotten": {"| C/D | F |", "block-whole", right, 1, 1, finding.Finding{Kind: finding.Missing},
			"C4 E4 G4", "C4 D4 E4 G4", "bar 1, beat 1: missing D of C/D - add D"},
		"nothing lacks by the goal": {"| C | F |", "block-whole", right, 2, 1, finding.Finding{Kind: finding.Missing},
			"C4 F4 A4", "C4 F4 A4", "bar 2, beat 1: missing F - strike F"},

		"too early": {"| C | F |", "block-whole", right, 2, 1, finding.Finding{Kind: finding.Early, Offset: -124600 * time.Microsecond},
			"C4 F4 A4", "", "bar 2, beat 1: F/C 125 ms early - wait for beat 1"},
		"too late": {"| C | F |", "block-whole", left, 2, 1, finding.Finding{Kind: finding.Late, Offset: 98 * time.Millisecond},
			"F2", "", "bar 2, beat 1: F 98 ms late - sooner, on beat 1"},
		"one after another": {"| C | F |", "block-whole", right, 2, 1, finding.Finding{Kind: finding.Spread, Offset: 300 * time.Millisecond},
			"C4 F4 A4", "C4 F4 A4", "bar 2, beat 1: C F A one after another - strike the notes together"},
		"let go of": {"| C | F |", "block-whole", right, 2, 1, finding.Finding{Kind: finding.Short, Share: 0.254},
			"C4 F4 A4", "", "bar 2, beat 1: let go at 25% of its length - hold C F A longer"},
		"a note too many in the chord": {"| C | F |", "block-whole", right, 2, 1, finding.Finding{Kind: finding.Extra},
			"C4 D4 A4", "", "bar 2, beat 1: D does not belong here - leave out D"},
		"the chord once more": {"| C | F |", "block-whole", right, 2, 1, finding.Finding{Kind: finding.Extra},
			"F4 A4", "", "bar 2, beat 1: F A do not belong here - leave out F A"},
		"flat keys are spelled by the chord": {"key: Db; meter: 4/4/ | Db | Gbm |", "block-whole", right, 2, 1, finding.Finding{Kind: finding.WrongNote},
			"Db4 Gb4 Bb4", "Db4 Gb4 A4", "bar 2, beat 1: Gb/Db, wanted Gbm - keep Db Gb, Bb down to Bbb"},
	} {
		s := built(t, c.bars, c.rows)
		f := at(t, s, c.hand, c.bar, c.beat, c.f)
		f.Heard, f.Goal = keysOf(t, c.heard), keysOf(t, c.goal)
		v := &Wording{Score: s, Ear: chordid.New()}
		assert.Equal(t, c.want, v.Line(f), name)
		if f.Kind != finding.Right {
			assert.True(t, strings.HasSuffix(v.Line(f), " - "+v.Fix(f)), "%s: %s", name, v.Fix(f))
		}
	}
}

// A tune with chords under it in one hand.
const sung = "key: C; meter: 4/4; unit: 1/4/ | C | F |; m: E2 D2 | c4 |"

func TestWhatIsSaidOfATune(t *testing.T) {
	for name, c := range map[string]struct {
		bar         int
		beat        float64
		f           finding.Finding
		heard, goal string
		want        string
	}{
		"a note that never came": {2, 1, finding.Finding{Kind: finding.Missing}, "", "A4 C5", "bar 2, beat 1: no note of the tune - strike C over F A"},
		"the tune's note of a chord": {2, 1, finding.Finding{Kind: finding.Missing}, "F4 A4", "F4 A4 C5",
			"bar 2, beat 1: missing the tune's C over F A - add C"},
		"another note on top": {2, 1, finding.Finding{Kind: finding.WrongInversion}, "C4 F4 A4", "F4 A4 C5",
			"bar 2, beat 1: A on top, wanted the tune's C on top - play F A C, C on top"},
		"another note": {2, 1, finding.Finding{Kind: finding.WrongNote}, "D5", "C5", "bar 2, beat 1: D, wanted the tune's C over F A - go down to C"},
	} {
		s := built(t, sung, "right: tu+ch - tu+ch -/left: 1 - - -")
		f := at(t, s, right, c.bar, c.beat, c.f)
		f.Heard, f.Goal = keysOf(t, c.heard), keysOf(t, c.goal)
		assert.Equal(t, c.want, (&Wording{Score: s, Ear: chordid.New()}).Line(f), name)
	}
}

func TestWhatIsSaidOfBars(t *testing.T) {
	s := built(t, "| C | F |", "block-whole")
	v := &Wording{Score: s, Ear: chordid.New()}
	for name, c := range map[string]struct {
		f    finding.Finding
		want string // line; wanted
	}{
		"chords too loud":  {finding.Finding{Kind: finding.Balance}, "bar 2, beat 1: chords too loud - lighter chords, firmer bass; chords under the bass"},
		"accents too soft": {finding.Finding{Kind: finding.Balance, Accent: true}, "bar 2, beat 1: accent too soft - lean on beat 1; beat 1 louder"},
		"tune too soft":    {finding.Finding{Kind: finding.Balance, Sung: true}, "bar 2, beat 1: chords louder than the tune - lighter chords, let the tune sing; the tune over its chords"},
		"lost":             {finding.Finding{Kind: finding.Lost}, "lost after bar 2 - begin again at the start of a bar; a place in the chart"},
		"a beat too many":  {finding.Finding{Kind: finding.LostBeat, Flow: finding.FlowDetail{Beats: 1}}, "bar 2, beat 1: 1 beat too many - keep the beat going; music that goes on"},
		"beats too few":    {finding.Finding{Kind: finding.LostBeat, Flow: finding.FlowDetail{Beats: -2}}, "bar 2, beat 1: 2 beats too few - keep the beat going; music that goes on"},
		"went back":        {finding.Finding{Kind: finding.WentBack}, "bar 2, beat 1: back to bar 1 - never go back: leave out what went wrong; music that goes on"},
		"stopped":          {finding.Finding{Kind: finding.Stopped, Offset: 3210 * time.Millisecond}, "bar 2, beat 1: silence for 3.2 s - play on: hold the chord, or strike it again; music that goes on"},
		"blurred":          {finding.Finding{Kind: finding.Blurred, Heard: keysOf(t, "E3 G3 E4")}, "bar 2, beat 1: E G still in the pedal - new pedal with F; only F"},
		"nothing asks for": {finding.Finding{Kind: finding.Extra, Heard: keysOf(t, "E4")}, "bar 2, beat 1: E does not belong here - leave out E; nothing here"},
	} {
		c.f.Bar, c.f.Beat, c.f.Want, c.f.Second = 1, 1, -1, -1
		assert.Equal(t, c.want, v.Line(&c.f)+"; "+v.Wanted(&c.f), name)
	}
	both := at(t, s, left, 2, 1, finding.Finding{Kind: finding.WrongChord, Heard: keysOf(t, "C3 C4 E4 G4"), Goal: keysOf(t, "F2 C4 F4 A4")})
	both.Part, both.Second = finding.BothHands, both.Want+1
	assert.Equal(t, "bar 2, beat 1: C, wanted F - keep C, C down to F, E up to F, G up to A", v.Line(both))
}

func TestWhatWasWantedAndHeard(t *testing.T) {
	s := built(t, "| C | F |", "block-whole")
	v := &Wording{Score: s, Ear: chordid.New()}
	said := func(h pattern.Hand, f finding.Finding) []string {
		return []string{v.Wanted(at(t, s, h, 2, 1, f)), v.Heard(at(t, s, h, 2, 1, f))}
	}
	assert.Equal(t, []string{"bass F", "nothing"}, said(left, finding.Finding{Kind: finding.Missing}))
	assert.Equal(t, []string{"bass F", "bass G"}, said(left, finding.Finding{Kind: finding.WrongBass, Heard: keysOf(t, "G2")}))
	assert.Equal(t, []string{"beat 1", "80 ms early"}, said(right, finding.Finding{Kind: finding.Early, Offset: -80 * time.Millisecond}))
	assert.Equal(t, []string{"F", "C F"}, said(right, finding.Finding{Kind: finding.Missing, Heard: keysOf(t, "C4 F4")}))
	assert.Equal(t, []string{"a place in the chart", "other music"}, said(left, finding.Finding{Kind: finding.Lost}))
	assert.Equal(t, []string{"F", ""}, said(right, finding.Finding{Kind: finding.WrongChord}))
}

func TestBeatsAsMusiciansCountThem(t *testing.T) {
	s := built(t, "| C |", "block-whole")
	six := built(t, "key: C; meter: 6/8/ | C |", "block-whole")
	for beat, want := range map[float64]string{1: "1", 2.5: "2 and", 2.46: "2 and", 2.44: "2.44", 4.3333333: "4.33", 3.005: "3", 3.995: "4", 2.75: "2.75"} {
		assert.Equal(t, want, BeatName(beat, s.Meter), beat)
	}
	assert.Equal(t, "1.5", BeatName(1.5, six.Meter), "no and in six eight")
}

func TestWhereTheFirstNoteIs(t *testing.T) {
	for name, c := range map[string]struct{ bars, rows, want string }{
		"at the beginning":                  {"| C | F |", "block-whole", ""},
		"after an upbeat of the tune alone": {"key: C; meter: 4/4; upbeat: 1/ | C | F |; m: G2 | C8 | F8 |", "block-whole", "an upbeat of 1 beat comes before bar 1; the first note is on beat 1 of bar 1"},
		"a long upbeat":                     {"key: C; meter: 4/4; upbeat: 1.5/ | C | F |; m: G3 | C8 | F8 |", "block-whole", "an upbeat of 1.5 beats comes before bar 1; the first note is on beat 1 of bar 1"},
		"on the upbeat":                     {"key: C; meter: 4/4; upbeat: 1/ | C | F |; m: G2 | C8 | F8 |", "right: tu - - -/left: 1 - - -", "the first note is on beat 4 of the upbeat"},
		"on the second beat":                {"| C | F |", "right: . ch . ch/left: . . . .", "the first note is on beat 2 of bar 1"},
		"after a bar of silence":            {"| N.C. | F |", "block-whole", "the first note is on beat 1 of bar 2"},
	} {
		assert.Equal(t, c.want, FirstNote(built(t, c.bars, c.rows)), name)
	}
	s := *built(t, "| C | F |", "right: . ch . ch/left: 1 . . .")
	s.Only = score.RightAlone
	assert.Equal(t, "the first note is on beat 2 of bar 1", FirstNote(&s), "of the hand that plays alone")
	s.Wants = nil
	assert.Empty(t, FirstNote(&s))
}
