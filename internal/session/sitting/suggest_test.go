package sitting

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/finding"
	"undersong/internal/music/meter"
	"undersong/internal/sheet/score"
)

// trouble is a session in which a kind was found once in each of some bars.
func trouble(k finding.Kind, last int, bars ...int) (*Result, *finding.Trouble) {
	s := &Result{Heading: Heading{File: "a.chart", Pattern: "waltz", Tempo: 100, Level: "steady", Last: last}}
	for _, b := range bars {
		c := finding.BarCount{Bar: b}
		c.Counts[k]++
		s.Summary.Bars = append(s.Summary.Bars, c)
	}
	return s, &finding.Trouble{Kind: k, Bars: bars, Count: len(bars)}
}

func TestPracticeSpanIsAroundTheTrouble(t *testing.T) {
	for _, c := range []struct {
		last     int
		bars     []int
		from, to int
	}{
		{16, []int{5}, 4, 6},
		{16, []int{1}, 1, 2},
		{16, []int{16}, 15, 16},
		{1, []int{1}, 1, 1},
		{16, []int{0}, 1, 2},
		{16, []int{2, 9, 10, 11}, 8, 11},
		{16, []int{3, 4, 5, 6, 7}, 3, 6},
	} {
		s, tr := trouble(finding.WrongBass, c.last, c.bars...)
		assert.Equal(t, score.Span{From: c.from, To: c.to}, span(s, tr), "%v of %d", c.bars, c.last)
	}
}

func TestSuggestionTakesTheHandAloneWhereThatHelps(t *testing.T) {
	for _, c := range []struct {
		kind finding.Kind
		part finding.Part
		own  score.Only // the hand that played alone
		want score.Only
	}{
		{finding.WrongBass, finding.LeftHand, score.BothHands, score.LeftAlone},
		{finding.WrongInversion, finding.RightHand, score.BothHands, score.RightAlone},
		{finding.Late, finding.RightHand, score.BothHands, score.RightAlone},
		{finding.WrongChord, finding.BothHands, score.BothHands, score.BothHands},
		{finding.Blurred, finding.Foot, score.BothHands, score.BothHands},
		{finding.Balance, finding.RightHand, score.BothHands, score.BothHands},
		{finding.Extra, finding.LeftHand, score.BothHands, score.BothHands},
		{finding.Blurred, finding.Foot, score.LeftAlone, score.LeftAlone},
		{finding.WrongBass, finding.LeftHand, score.RightAlone, score.RightAlone},
	} {
		s, tr := trouble(c.kind, 16, 5)
		s.Hands, tr.Part = c.own, c.part
		assert.Equal(t, c.want, handAlone(s, tr), "%s, %s", c.kind, c.part)
	}
}

func TestSuggestionsAreSlowerUnlessTimeIsTheTrouble(t *testing.T) {
	for kind, want := range map[finding.Kind]meter.Tempo{finding.WrongBass: 80, finding.Late: 100, finding.Early: 100} {
		s, tr := trouble(kind, 16, 5)
		s.Summary.Troubles = []finding.Trouble{*tr}
		assert.Equal(t, []Suggestion{{Trouble: *tr, Span: score.Span{From: 4, To: 6}, Hands: score.LeftAlone, Tempo: want}}, s.Suggest(), kind)
	}
	s, tr := trouble(finding.Missing, 16, 5)
	s.Tempo = 22
	assert.Equal(t, meter.SlowestTempo, practiceTempo(s, tr), "never slower than the slowest")
}

func TestAnIntroIsSuggestedWhole(t *testing.T) {
	s, tr := trouble(finding.Late, 16, -1, -2, -3)
	assert.Equal(t, score.IntroBars, span(s, tr))
}
