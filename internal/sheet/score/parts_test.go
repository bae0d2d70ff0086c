package score

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/meter"
	"undersong/internal/sheet/pattern"
	"undersong/internal/test/material"
)

func fourFour(t *testing.T, name, rest string) *pattern.Pattern {
	t.Helper()
	return material.Pattern(t, "name: "+name+"\nmeter: 4/4\ngrid: quarters\n"+rest)
}

// shape shows the bars as played: number, chords, what is played, and its count.
func shape(s *Score) string {
	var all []string
	for i := range s.Bars {
		b := &s.Bars[i]
		var chords []string
		for _, h := range s.Harmonies {
			if h.At < b.At+b.Len && h.End > b.At {
				chords = append(chords, h.Chord.String())
			}
		}
		all = append(all, fmt.Sprintf("%d %s %s %d", b.Number, strings.Join(chords, "-"), b.Playing(), b.count))
	}
	return strings.Join(all, "\n")
}

func built(t *testing.T, text string, main *pattern.Pattern, o Options) *Score {
	t.Helper()
	s, err := Build(material.Chart(t, text), main, o)
	require.NoError(t, err)
	return s
}

const formed = `key: C
fills: f at 2
[Verse]
|: C | F | G7 | C :|
[Chorus]
| F | C |
`

func partsOf(t *testing.T) (main *pattern.Pattern, p Parts) {
	return fourFour(t, "main", "left: 1 . 5 .\nright: . ch . ch"), Parts{
		Sections:   []*pattern.Pattern{nil, fourFour(t, "chorus", "left: 1 1 1 1 | 1 . 1 .")},
		Intro:      fourFour(t, "in", "part: intro\nchords: I V7 | I\nleft: 1 . 1 . | 1 . . ."),
		Turnaround: fourFour(t, "turn", "part: turnaround\nchords: ii V7\nleft: 1 . 1 ."),
		Ending:     fourFour(t, "end", "part: ending\nchords: I | IV | I\nslowing: 2\nleft: 1 . . . | 1 . . . | 1 - . ."),
		Fills:      []*pattern.Pattern{fourFour(t, "fill", "part: fill\nleft: % % 3 ap")},
	}
}

func TestPartsHaveTheirPlaces(t *testing.T) {
	main, parts := partsOf(t)
	s := built(t, formed, main, Options{Parts: parts})
	assert.Equal(t, `-1 C-G7 in 0
-2 C in 1
1 C main 0
2 F main, fill 1
3 G7 main 2
4 Dm-G7 turn 0
1 C main 4
2 F main, fill 5
3 G7 main 6
4 C main 7
5 F chorus 0
6 C end 0
7 F end 1
8 C end 2`, shape(s))
	bar := meter.Whole
	assert.Equal(t, Slowing{From: 11 * bar, To: 13 * bar, Beat: 2}, s.Slowing)
}

func TestRoundAndRoundTheTurnaroundLeadsBack(t *testing.T) {
	main, parts := partsOf(t)
	s := built(t, formed, main, Options{Parts: parts, Round: true})
	lines := strings.Split(shape(s), "\n")
	assert.Equal(t, "1 C main 0", lines[0])
	assert.Equal(t, "6 Dm-G7 turn 0", lines[len(lines)-1])
	assert.False(t, s.Slows())

	parts.Turnaround = nil
	s = built(t, formed, main, Options{Parts: parts, Round: true})
	assert.Equal(t, -1, s.Bars[0].Number, "without a turnaround all of it goes round")
	assert.True(t, s.Slows())
}

// Bar 4 is not the same each time: the bars are written out to be seen.
func TestTheSheetShowsWhatIsPlayed(t *testing.T) {
	main, parts := partsOf(t)
	s := built(t, formed, main, Options{Parts: parts})
	var names []string
	for _, sec := range s.Chart.Sections {
		names = append(names, sec.Name)
	}
	assert.Equal(t, []string{"Intro", "Verse", "Chorus", "Ending"}, names)
	bars := s.Chart.Bars()
	require.Len(t, bars, len(s.Bars))
	for i, b := range s.Bars {
		assert.Equal(t, i, b.Printed)
		assert.Equal(t, bars[i].Number, b.Number)
		assert.False(t, bars[i].Closes)
	}

	parts.Turnaround = nil
	s = built(t, formed, main, Options{Parts: parts})
	assert.Len(t, s.Chart.Bars(), 10, "repeats stay where nothing differs")
	assert.Equal(t, s.Bars[2].Printed, s.Bars[6].Printed)

	plain := material.Chart(t, formed)
	s, err := Build(plain, main, Options{})
	require.NoError(t, err)
	assert.Same(t, plain, s.Chart)
}

func TestAnUpbeatFallsIntoTheIntro(t *testing.T) {
	main, parts := partsOf(t)
	s := built(t, "key: G\nupbeat: 1\n(D7) | G | C |\nm: d2 | g8 | e8 |\nw: Oh | sing | on |\n", main, Options{Parts: Parts{Intro: parts.Intro}})
	assert.Equal(t, "-1 G-D7 in 0\n-2 G in 1\n1 G main 0\n2 C main 1", shape(s))
	assert.Equal(t, 2*meter.Whole-meter.Quarter, s.Melody[0].At)
	assert.Equal(t, "Oh", s.Chart.Bars()[1].Lyrics[0])

	o := Options{Parts: Parts{Intro: parts.Intro}, Span: Span{1, 2}}
	assert.Equal(t, "1 G main 0\n2 C main 1", shape(built(t, "key: G\nupbeat: 1\n(D7) | G | C |\n", main, o)))
	o.Span = IntroBars
	assert.Equal(t, "-1 G-D7 in 0\n-2 G in 1", shape(built(t, "key: G\nupbeat: 1\n(D7) | G | C |\n", main, o)))
	o.Parts.Intro = nil
	_, err := Build(material.Chart(t, formed), main, o)
	assert.EqualError(t, err, "this chart has no intro")
}

func TestAnIntroWithoutChordsTakesTheTunesLastOnes(t *testing.T) {
	main, _ := partsOf(t)
	in := fourFour(t, "in", "part: intro\nleft: 1 . . . | 1 . . .")
	s := built(t, "key: C\n| C | F | G7 | C |", main, Options{Parts: Parts{Intro: in}})
	assert.Equal(t, "-1 G7 in 0\n-2 C in 1\n1 C main 0", shape(s)[:len("-1 G7 in 0\n-2 C in 1\n1 C main 0")])
	_, err := Build(material.Chart(t, "key: C\n| C |"), main, Options{Parts: Parts{Intro: in}})
	assert.ErrorContains(t, err, "takes the chords of the last 2 bars, and the chart as it is played has 1 bar")
}

func TestAnEndingWithoutChordsReplacesTheLastBars(t *testing.T) {
	main, _ := partsOf(t)
	end := fourFour(t, "end", "part: ending\nleft: 1 . . . | 1 . . .")
	s := built(t, "key: C\n| C | F | G7 | C |", main, Options{Parts: Parts{Ending: end}})
	assert.Equal(t, "1 C main 0\n2 F main 1\n3 G7 end 0\n4 C end 1", shape(s))
}

// The bars of an ending come after the last time through a repeat.
func TestSpansIntoAnEnding(t *testing.T) {
	main, parts := partsOf(t)
	s := built(t, "key: C\n|: C | F :|", main, Options{Parts: Parts{Ending: parts.Ending}, Span: Span{1, 4}})
	assert.Equal(t, "1 C main 2\n2 C end 0\n3 F end 1\n4 C end 2", shape(s))
	assert.Equal(t, Slowing{From: meter.Whole, To: 3 * meter.Whole, Beat: 2}, s.Slowing)
	s = built(t, "key: C\n|: C | F :|", main, Options{Parts: Parts{Ending: parts.Ending}, Span: Span{4, 4}})
	assert.Equal(t, Slowing{From: -2 * meter.Whole, To: 0, Beat: 2}, s.Slowing)
	assert.Equal(t, 8.0, s.Lasts(0, s.Length).Seconds()*96/60, "the last bar is twice as long")
}

func wanted(s *Score, bar int) string {
	var all []string
	for i := range s.Wants {
		if w := &s.Wants[i]; w.Bar == bar {
			all = append(all, fmt.Sprintf("%s%g %d", w.Hand.String()[:1], w.Beat, w.Tones[0].Key))
		}
	}
	return strings.Join(all, ", ")
}

func TestAFillLeavesTheOtherHandAndTheBeginningAlone(t *testing.T) {
	main, parts := partsOf(t)
	s := built(t, "key: C\nfills: f at 1\n| C | F |", main, Options{Parts: Parts{Fills: parts.Fills}})
	assert.Equal(t, "l1 48, r2 60, l3 52, l4 40, r4 60", wanted(s, 0))
	assert.True(t, s.Wants[3].Approach)
	assert.Equal(t, "l1 41, r2 60, l3 48, r4 60", wanted(s, 1))
}

func TestAFillEndsWhatTheAccompanimentHolds(t *testing.T) {
	main := material.Pattern(t, "name: main\nmeter: 4/4\ngrid: bars\nleft: 1\nright: ch\n")
	fill := fourFour(t, "fill", "part: fill\nright: % % 1' 3'")
	s := built(t, "key: C\nfills: f at 1\n| C | C |", main, Options{Parts: Parts{Fills: []*pattern.Pattern{fill}}})
	assert.Equal(t, "l1 48, r1 60, r3 72, r4 76", wanted(s, 0))
	assert.Equal(t, meter.Whole, s.Wants[0].Dur)
	assert.Equal(t, meter.Half, s.Wants[1].Dur)
}

// One voicing for both hands is whole again in the hand that goes on alone.
func TestAVoicingForBothHandsAndAFillForOne(t *testing.T) {
	main := fourFour(t, "main", "left: chd . chd .\nright: chd . chd .")
	fill := fourFour(t, "fill", "part: fill\nleft: % % 1 1")
	s := built(t, "key: C\nfills: f at 1\n| Cmaj7 | Cmaj7 |", main, Options{Parts: Parts{Fills: []*pattern.Pattern{fill}}})
	var right []int
	for _, w := range s.Wants {
		if w.Hand == pattern.Right {
			right = append(right, len(w.Tones))
		}
	}
	assert.Equal(t, []int{2, 4, 2, 2}, right)
}

// An accompaniment begins again where the chord changes at the half bar; a part
// is played as it is written.
func TestPartsAreNotBegunAgainAtTheHalfBar(t *testing.T) {
	main, _ := partsOf(t)
	in := fourFour(t, "in", "part: intro\nchords: I V7\nleft: 1 . 3 8")
	s := built(t, "key: C\n| C G7 |", main, Options{Parts: Parts{Intro: in}})
	assert.Equal(t, "l1 48, l3 47, l4 55", wanted(s, 0))
	assert.Equal(t, "l1 48, r2 60, l3 43, r4 59", wanted(s, 1))
}

func TestAHandMayPlayInOnePartOnly(t *testing.T) {
	left := fourFour(t, "left", "left: 1 . 5 .")
	in := fourFour(t, "in", "part: intro\nchords: I\nright: ch . ch .")
	o := Options{Only: RightAlone}
	_, err := Build(material.Chart(t, formed), left, o)
	var none *HandError
	require.ErrorAs(t, err, &none)
	o.Parts.Intro = in
	s := built(t, formed, left, o)
	assert.Equal(t, "r1 60, r3 60", wanted(s, 0))
	o.Span = Span{1, 4}
	_, err = Build(material.Chart(t, formed), left, o)
	require.ErrorAs(t, err, &none)
}

func TestAPartAccompaniesNoTune(t *testing.T) {
	_, parts := partsOf(t)
	_, err := Build(material.Chart(t, formed), parts.Intro, Options{})
	assert.EqualError(t, err, `pattern "in" is an intro; a chart asks for it in its headings, and another pattern accompanies the tune`)
	_, err = Build(material.Chart(t, formed), parts.Fills[0], Options{})
	assert.ErrorContains(t, err, "is a fill")
}

func TestExcerptsOfParts(t *testing.T) {
	_, parts := partsOf(t)
	c := material.Chart(t, "key: C\n| C | F |")
	s, err := Excerpt(c, parts.Ending, Options{})
	require.NoError(t, err)
	assert.Equal(t, "1 C end 0\n2 F end 1\n3 C end 2", shape(s))
	assert.True(t, s.Slows())
	s, err = Excerpt(c, parts.Fills[0], Options{})
	require.NoError(t, err)
	assert.Equal(t, "l3 52, l4 40", wanted(s, 0))
	_, err = Excerpt(material.Chart(t, "key: Am\n| Am |"), parts.Ending, Options{})
	assert.ErrorContains(t, err, "brings chords for major keys only")
}
