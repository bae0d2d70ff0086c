package practice

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/midi/event"
	"undersong/internal/play/mistakes"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

// heading is what is played now, and how.
func (b *bench) heading() sitting.Heading { return b.s.State().Piece.Heading }

// bar is the number of the bar that is played.
func (b *bench) bar() int {
	st := b.s.State()
	return st.Piece.Score.Bars[st.Where.Bar].Number
}

// clicks is how many clicks were heard so far.
func (b *bench) clicks() int {
	n := 0
	for _, e := range b.sent {
		if e.IsNoteOn() {
			n++
		}
	}
	return n
}

func TestInAPauseNothingIsHeardAndNothingIsMissing(t *testing.T) {
	b := newBench(t, tune, nil)
	b.play(exact(t, b.score, mistakes.Plan{}), 2*bar).pass(2*bar + 20*time.Millisecond) // bar 1 is over
	b.do(sitting.DoPause)
	clicks := b.clicks()
	b.pass(10 * bar)
	assert.Equal(t, clicks, b.clicks(), "the click rests")
	require.True(t, b.s.State().Menu.Has(sitting.DoGoOn))
	b.do(sitting.DoGoOn)
	require.Equal(t, 11*bar, b.music[len(b.music)-1], "a bar is counted")
	b.stop()
	assert.Zero(t, b.summary()["wrong"])
	assert.Equal(t, float64(4), b.summary()["right"], "bar 1")
}

func TestAgainBeginsTheLineWithACountIn(t *testing.T) {
	b := newBench(t, tune, nil)
	b.pass(3*bar + bar/2).do(sitting.DoAgain)
	require.Len(t, b.music, 2)
	b.pass(b.music[1])
	assert.Equal(t, 1, b.bar())
	b.play(exact(t, b.score, mistakes.Plan{}), time.Hour).pass(time.Hour)
	assert.Equal(t, float64(len(b.score.Wants)), b.summary()["right"], "to the end")
}

func TestSlowerAndFasterCountInToTheBarTheyWereAskedIn(t *testing.T) {
	// From memory: a metronome's marks about 120 are 112, 116, 120, 126, 132.
	for do, tempo := range map[sitting.Do]float64{sitting.DoSlower: 116, sitting.DoFaster: 126} {
		b := newBench(t, tune, nil)
		b.pass(2*bar + bar/2).do(do) // in bar 2
		assert.Equal(t, []float64{120, tempo}, b.tempi())
		b.pass(b.music[1] + bar/4)
		assert.Equal(t, 2, b.bar())
	}
}

func TestTheResultNamesTheTempiThatWerePlayed(t *testing.T) {
	for _, c := range []struct {
		name         string
		asked        []sitting.Do
		bars         time.Duration // played after each
		began, tempo float64
	}{
		{"as it began", nil, 0, 0, 120},
		{"slower twice", []sitting.Do{sitting.DoSlower, sitting.DoSlower}, 3, 120, 112},
		{"slower and back", []sitting.Do{sitting.DoSlower, sitting.DoFaster}, 3, 0, 120},
		{"slower, and not played any more", []sitting.Do{sitting.DoPause, sitting.DoSlower}, 3, 0, 120},
		{"slower, but no farther than the count-in", []sitting.Do{sitting.DoSlower, sitting.DoSlower}, 1, 0, 120},
	} {
		b := newBench(t, tune, nil)
		b.pass(bar + bar/2)
		for _, do := range c.asked {
			b.do(do).pass(b.now + c.bars*bar)
		}
		r := b.s.result()
		assert.Equal(t, []float64{c.began, c.tempo}, []float64{float64(r.Began), float64(r.Tempo)}, c.name)
	}
}

func TestTheseBarsGoRound(t *testing.T) {
	b := newBench(t, tune, nil)
	b.pass(bar + bar/2)
	b.s.Do(b.now, sitting.Command{Do: sitting.DoBars, Bars: score.Span{From: 2, To: 3}})
	assert.Equal(t, score.Span{From: 2, To: 3}, b.heading().Span)
	start := b.music[1]
	b.pass(start + bar + bar/2)
	assert.Equal(t, 3, b.bar())
	b.pass(start + 2*bar + bar/2)
	assert.Equal(t, 2, b.bar(), "round")
	assert.False(t, b.s.Done())
}

func TestTheLineGoesRoundAndTheWholeIsThereAgain(t *testing.T) {
	b := newBench(t, tune, nil)
	b.pass(bar + bar/2).do(sitting.DoLine)
	assert.True(t, b.heading().Loop)
	b.pass(b.music[1] + 5*bar)
	require.False(t, b.s.Done())
	b.do(sitting.DoWhole)
	assert.False(t, b.heading().Loop)
	b.pass(time.Hour)
	assert.True(t, b.s.Done())
}

func TestWhatIsSuggestedIsPractisedInPlaceAndLeft(t *testing.T) {
	b := newBench(t, tune, nil)
	plan := mistakes.Plan{}.Plant(mistakes.WrongBass, want(t, b.score, 2, 1, pattern.Left))
	b.play(exact(t, b.score, plan), 4*bar).pass(4 * bar) // bars 1 to 3
	c := b.s.State().Menu
	require.True(t, c.Has(sitting.DoSuggested))
	b.do(sitting.DoSuggested)
	h := b.heading()
	assert.LessOrEqual(t, h.Span.From, 2)
	assert.GreaterOrEqual(t, h.Span.To, 2)
	assert.Equal(t, score.LeftAlone, h.Hands, "the bass is the left hand's")
	tempi := b.tempi()
	assert.Less(t, tempi[len(tempi)-1], float64(120))
	b.do(sitting.DoWhole)
	assert.Equal(t, score.BothHands, b.heading().Hands)
	tempi = b.tempi()
	assert.Equal(t, float64(120), tempi[len(tempi)-1])
}

func TestTheHandsThatAreAskedForAreJudged(t *testing.T) {
	b := newBench(t, tune, nil)
	b.pass(bar / 2)
	b.s.Do(b.now, sitting.Command{Do: sitting.DoHands, Hands: score.LeftAlone})
	plan := mistakes.Plan{}.Plant(mistakes.Missing, want(t, b.score, 2, 2, pattern.Right))
	b.play(exact(t, b.score, plan), time.Hour).pass(time.Hour)
	assert.Zero(t, b.summary()["wrong"], "the right hand is not judged")
}

func TestWhatCannotBeDoneNowIsSaid(t *testing.T) {
	b := newBench(t, tune, nil)
	b.pass(bar / 2)
	before := b.heading()
	b.do(sitting.DoGoOn).do(sitting.DoHint)
	assert.Len(t, b.notices(), 2)
	assert.Equal(t, before, b.heading())
}

func TestAtThePianoTheTwoLowestKeysPauseAndAKeyCommands(t *testing.T) {
	b := newBench(t, tune, nil)
	b.play(exact(t, b.score, mistakes.Plan{}), 2*bar).pass(2*bar + 20*time.Millisecond)
	key := func(on bool, k uint8) {
		if on {
			b.s.Event(event.On(b.now, k, 60))
		} else {
			b.s.Event(event.Off(b.now, k))
		}
	}
	for k := uint8(23); k < 100; k++ {
		key(false, k) // what the last stroke still held
	}
	key(true, 21) // A0, Bb0
	key(true, 22)
	b.pass(b.now + time.Second)
	require.True(t, b.s.State().Menu.AtPiano, "the commands are shown")
	clicks := b.clicks()
	b.pass(b.now + bar)
	assert.Equal(t, clicks, b.clicks(), "the music rests")
	key(true, 26) // D1, the third white key above: slower
	b.pass(b.now + 100*time.Millisecond)
	key(false, 26)
	key(false, 21)
	key(false, 22)
	b.pass(b.now + 100*time.Millisecond)
	assert.Equal(t, []float64{120, 116}, b.tempi())
	b.stop()
	assert.Zero(t, b.summary()["wrong"], "the keys that command are no music")
}
