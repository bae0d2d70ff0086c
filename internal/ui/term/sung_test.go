package term

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/session/sitting"
	"undersong/internal/ui/words"
)

// singing is the second line of a song of two verses' length.
func singing() words.View {
	s := playing()
	s.Words, s.Correction, s.CorrectionBar, s.Title = true, "", 0, "Red River Valley"
	s.Beats, s.Current = 4, 1
	s.Bars = []words.Bar{
		{Number: 1, Section: "Verse", Lyric: "valley they say you are", Chords: []words.ChordAt{{Name: "F", Beat: 1}}},
		{Number: 2, Lyric: "going, we will miss your", Chords: []words.ChordAt{{Name: "C7", Beat: 1}, {Name: "F", Beat: 3}}},
		{Number: 3, Lyric: "bright eyes and sweet", NewLine: true, Chords: []words.ChordAt{{Name: "F7", Beat: 1}}},
		{Number: 4, Lyric: "smile", Chords: []words.ChordAt{{Name: "Bb", Beat: 1}}},
	}
	return s
}

func TestChordNamesStandOverTheWordTheyComeWith(t *testing.T) {
	c := newCanvas(80, 24, Style{})
	s := singing()
	var got []string
	for _, w := range c.wordsOf(&s, span{0, 2}) {
		got = append(got, strings.TrimPrefix(w.chord+":"+w.text, ":"))
	}
	assert.Equal(t, "F:valley they say you are C7:going, we F:will miss your", strings.Join(got, " "))
	s.Bars[1].Lyric = ""
	got = nil
	for _, w := range c.wordsOf(&s, span{1, 2}) {
		got = append(got, w.chord+":"+w.text)
	}
	assert.Equal(t, []string{"C7:", "F:"}, got, "a bar without words has its chords alone")
}

func TestWordsAreAsLargeAsThereIsRoom(t *testing.T) {
	for _, c := range []struct {
		width, height int
		chord, text   int
	}{{160, 45, mediumRows, mediumRows}, {80, 24, 1, mediumRows}, {40, 12, 1, 1}, {200, 60, mediumRows, mediumRows}} {
		can := newCanvas(c.width, c.height, Style{Unicode: true})
		s := singing()
		lines := chartLines(s.Bars, len(s.Bars))
		look, after := can.fitSung(can.wordsOf(&s, lines[0]), can.wordsOf(&s, lines[1]), c.height-6)
		assert.Equal(t, sungLook{c.chord, c.text}, look, "%dx%d", c.width, c.height)
		assert.Equal(t, c.height > 12, after.text > 0, "the next line is seen, too: %dx%d", c.width, c.height)
	}
	can := newCanvas(200, 60, Style{})
	s := singing()
	look, _ := can.fitSung(can.wordsOf(&s, span{0, 2}), nil, 50)
	assert.Equal(t, sungLook{1, 1}, look, "a plain terminal has no large letters")
}

// The picture moves by line, never within one: only the mark of the bar does.
func TestWordsStandStillWhileALineIsSung(t *testing.T) {
	plain := func(s words.View) string { return Render(s, 100, 30, Style{Unicode: true}) }
	first, second := singing(), singing()
	first.Current = 0
	assert.Equal(t, plain(first), plain(second), "without colours nothing changes")
	second.Current = 2
	assert.NotEqual(t, plain(first), plain(second))
	coloured := Style{Unicode: true, Colour: true}
	second.Current = 1
	assert.NotEqual(t, Render(first, 100, 30, coloured), Render(second, 100, 30, coloured), "the bar that is sung is bright")
}

func TestWordsGiveWayWhereThereAreNone(t *testing.T) {
	s := singing()
	for i := range s.Bars {
		s.Bars[i].Lyric = ""
	}
	assert.False(t, sings(&s))
	s = singing()
	s.Words = false
	assert.False(t, sings(&s))
	s.Words, s.Phase = true, sitting.Finished
	assert.False(t, sings(&s))
}

func TestACorrectionStandsUnderTheWords(t *testing.T) {
	s := singing()
	s.Correction, s.CorrectionBar = "bar 2, beat 1: bass A, this bar is C7 - go down to C", 2
	text := Render(s, 80, 24, Style{})
	require.Contains(t, text, "go down to C")
	require.Contains(t, text, "going, we will miss your")
	require.Contains(t, text, "bright eyes and sweet smile")
}
