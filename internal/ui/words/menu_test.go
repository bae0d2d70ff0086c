package words

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/music/pitch"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/score"
)

func TestTheMenuInWords(t *testing.T) {
	m := &sitting.Menu{}
	for _, c := range []sitting.Command{
		{Do: sitting.DoPause}, {Do: sitting.DoAgain}, {Do: sitting.DoSlower}, {Do: sitting.DoFaster}, {Do: sitting.DoLine},
		{Do: sitting.DoSuggested, Bars: score.Span{From: 5, To: 8}, Hands: score.LeftAlone}, {Do: sitting.DoHands, Hands: score.RightAlone}, {Do: sitting.DoEnd},
	} {
		m.Offer(c)
	}
	assert.Empty(t, seen(t, pieceOf(t, "block-whole", nil), func(st *sitting.State) { st.Menu = m }).Piano, "nobody listens there")
	m.Piano = true
	v := seen(t, pieceOf(t, "block-whole", nil), func(st *sitting.State) { st.Menu = m })
	assert.Equal(t, []Choice{
		{"space", "pause", "pause", "1"}, {"a", "again", "again", "2"}, {"s", "slower", "slower", "3"}, {"f", "faster", "faster", "4"},
		{"l", "loop this line", "line", "5"}, {"p", "practise 5-8 left", "practise", "6"}, {"o", "right hand", "right", "7"}, {"q", "end", "end", "9"},
	}, v.Menu)
	assert.Equal(t, piano, v.Piano)
	assert.False(t, v.AtPiano)
	m.Open([]pitch.Num{24, 26, 28})
	v = seen(t, pieceOf(t, "block-whole", nil), func(st *sitting.State) { st.Menu = m })
	assert.True(t, v.AtPiano)
	assert.Equal(t, []string{"C1", "D1", "E1", "4"}, []string{v.Menu[0].Piano, v.Menu[1].Piano, v.Menu[2].Piano, v.Menu[3].Piano})
	alone := &sitting.Menu{Piano: true}
	alone.Offer(sitting.Command{Do: sitting.DoEnd})
	assert.Empty(t, seen(t, pieceOf(t, "block-whole", nil), func(st *sitting.State) { st.Menu = alone }).Piano, "one thing needs no help")

	for want, c := range map[string]sitting.Command{
		"go on": {Do: sitting.DoGoOn}, "the whole again": {Do: sitting.DoWhole}, "loop bars 3-4": {Do: sitting.DoBars, Bars: score.Span{From: 3, To: 4}},
		"practise what is suggested": {Do: sitting.DoSuggested}, "practise bar 3 right": {Do: sitting.DoSuggested, Bars: score.Span{From: 3, To: 3}, Hands: score.RightAlone},
		"practise the intro": {Do: sitting.DoSuggested, Bars: score.IntroBars}, "both hands": {Do: sitting.DoHands}, "hint": {Do: sitting.DoHint}, "begin": {Do: sitting.DoBegin},
	} {
		assert.Equal(t, want, doText(c))
	}
	assert.Equal(t, []string{"both", "go on", "whole"}, []string{shortText(sitting.Command{Do: sitting.DoHands}), shortText(sitting.Command{Do: sitting.DoGoOn}), shortText(sitting.Command{Do: sitting.DoWhole})})
}

func TestWhatMayBeAskedAtThePiano(t *testing.T) {
	for _, c := range []struct {
		heading sitting.Heading
		want    string
	}{
		{sitting.Heading{}, "1 pause or go on, 2 again, 3 slower, 4 faster, 5 loop this line, 6 practise what is suggested, 7 hands, 9 end"},
		{sitting.Heading{Follow: true}, "1 pause or go on, 2 again, 3 slower, 4 faster, 5 loop this line, 6 practise what is suggested, 7 hands, 9 end"},
		{sitting.Heading{Kind: sitting.Demonstration}, "1 pause or go on, 2 again, 3 slower, 4 faster, 5 loop this line, 9 end"},
		{sitting.Heading{Kind: sitting.Basses}, "1 pause or go on, 8 hint, 9 end"},
		{sitting.Heading{Kind: sitting.Tune}, "1 pause or go on, 8 hint, 9 end"},
		{sitting.Heading{Kind: sitting.Hearing}, "1 pause or go on, 9 end"},
	} {
		s := &Speaker{piece: &sitting.Piece{Heading: c.heading}}
		assert.Equal(t, "hold the two lowest keys of the piano together for a moment; while you do, the white keys above them are: "+c.want, s.PianoHelp())
	}
}

// A key that lets begun music go on says so.
func TestWhatHasBegunGoesOn(t *testing.T) {
	m := &sitting.Menu{}
	m.Offer(sitting.Command{Do: sitting.DoBegin})
	for _, c := range []struct {
		phase sitting.Phase
		bar   int
		want  string
	}{{sitting.Waiting, -1, "begin"}, {sitting.Waiting, 0, "go on"}, {sitting.Reading, -1, "go on"}} {
		v := seen(t, pieceOf(t, "block-whole", nil), func(st *sitting.State) {
			st.Menu, st.Where.Phase, st.Where.Bar = m, c.phase, c.bar
		})
		assert.Equal(t, []Choice{{"enter", c.want, c.want, "1"}}, v.Menu, "%s, %d", c.phase, c.bar)
	}
}

func TestWhatAKeyOfTheComputerAsks(t *testing.T) {
	ask := func(phase sitting.Phase, key string, offered ...sitting.Do) (sitting.Do, bool) {
		m := &sitting.Menu{}
		for _, d := range offered {
			m.Offer(sitting.Command{Do: d})
		}
		c, ok := Typed(m, phase, key)
		return c.Do, ok
	}
	for _, c := range []struct {
		phase sitting.Phase
		key   string
		from  []sitting.Do
		want  sitting.Do
		ok    bool
	}{
		{sitting.Playing, "space", []sitting.Do{sitting.DoPause, sitting.DoEnd}, sitting.DoPause, true},
		{sitting.Paused, "space", []sitting.Do{sitting.DoGoOn, sitting.DoEnd}, sitting.DoGoOn, true},
		{sitting.Playing, "-", []sitting.Do{sitting.DoSlower, sitting.DoFaster}, sitting.DoSlower, true},
		{sitting.Playing, "+", []sitting.Do{sitting.DoSlower, sitting.DoFaster}, sitting.DoFaster, true},
		{sitting.Playing, "h", []sitting.Do{sitting.DoPause}, sitting.DoNothing, false},
		{sitting.Waiting, "x", []sitting.Do{sitting.DoBegin, sitting.DoEnd}, sitting.DoBegin, true},
		{sitting.Waiting, "q", []sitting.Do{sitting.DoBegin, sitting.DoEnd}, sitting.DoEnd, true},
		{sitting.Finished, "x", []sitting.Do{sitting.DoEnd}, sitting.DoEnd, true},
		{sitting.Finished, "x", nil, sitting.DoNothing, false},
		{sitting.Playing, "x", []sitting.Do{sitting.DoEnd}, sitting.DoNothing, false},
	} {
		got, ok := ask(c.phase, c.key, c.from...)
		assert.Equal(t, []any{c.want, c.ok}, []any{got, ok}, "%s in %s", c.key, c.phase)
	}
	for d := sitting.DoBegin; d <= sitting.DoEnd; d++ {
		if d != sitting.DoBars {
			assert.NotEmpty(t, keys[d], "a key for %s", d)
		}
	}
}
