package cause

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/finding"
	"undersong/internal/midi/event"
	"undersong/internal/music/pitch"
	"undersong/internal/test/sounding"
)

// What is struck as it would be demonstrated has all the notes that are written and no other,
// and what is the other hand's is so at the end of a score, too.
func TestNotesAsTheyAreWritten(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", eight, "two-beat")
	chord := s.Wants[1].Keys()
	assert.True(t, exact(right(chord, 1, 0), s))
	assert.False(t, exact(right(chord[:len(chord)-1], 1, 0), s), "one is missing")
	assert.False(t, exact(right(append([]pitch.Num{40}, chord...), 1, 0), s), "one more")
	both := sounding.ScoreOf(t, "4/4", eight, "block-whole")
	for i := range both.Wants {
		w := &both.Wants[i]
		f := right(both.Wants[i^1].Keys(), i, 0)
		f.Part = finding.PartOf(w.Hand)
		assert.True(t, others(f, both), "stroke %d for the other hand's", i)
		f.Heard = pitch.NumsOf(1)
		assert.False(t, others(f, both), "stroke %d, and no note of any", i)
	}
}

// The notes of a hand that plays on are explained by its right strokes only; what is early or
// late is wrong, but not strange.
func TestNotesOfTheHandThatPlaysOn(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", eight, "block-whole")
	left := reading{mute: [2]bool{true, false}}
	for kind, notes := range map[finding.Kind]int{finding.Right: -3, finding.WrongBass: 0} {
		f := right(s.Wants[1].Keys(), 0, 0) // the right hand's chord, taken for the left's
		f.Kind, f.Part = kind, finding.LeftHand
		var w weight
		w.add(f, &left, s)
		assert.Equal(t, notes, w.notes, kind.String())
		assert.Zero(t, w.nats, "so far from the left hand it is the other's")
	}
	w := weight{chords: map[chordOf]bool{}}
	for _, k := range []finding.Kind{finding.Early, finding.Late, finding.WrongNote} {
		f := mistake(k, finding.RightHand, 1, 1)
		w.add(&f, &reading{}, s)
	}
	assert.Equal(t, []int{3, 2}, []int{w.wrong, w.off})
}

// Strokes at the very moment at which a reading begins, or a stretch, belong to it.
func TestWhatBeginsAStretchBelongsToIt(t *testing.T) {
	for name, c := range map[string]struct {
		since  float64
		change change
		right  int // of six strokes, from 1 second on
		struck int
	}{
		"all of it":               {0.8, change{}, 6, 12},
		"with the third":          {2, change{enter: sec(2)}, 4, 8},
		"with the third, a leap":  {2, change{enter: sec(2), leaps: true}, 4, 8},
		"after the third":         {2.001, change{enter: sec(2.001)}, 3, 7},
		"after the third, a leap": {2.001, change{enter: sec(2.001), leaps: true}, 3, 7},
	} {
		j := judgeOf(t, false)
		for i := range 6 {
			for _, key := range j.Score.Wants[i].Keys() {
				j.kept.add(event.On(sec(1+float64(i)/2), uint8(key), 70))
			}
		}
		j.doubt.since = sec(c.since)
		w, found, ok := j.weigh(&reading{change: c.change}, sec(3.74))
		assert.True(t, ok)
		assert.Equal(t, c.right, w.right, name)
		assert.Equal(t, c.struck, w.struck, name)
		var until weight
		until.before(found, &reading{}, sec(2.5), j.Score)
		want := 0
		for _, f := range found {
			if f.Kind == finding.Right && f.at < sec(2.5) {
				want -= f.Heard.Len()
			}
		}
		assert.Equal(t, want, until.notes, "%s: what is wanted before the fourth", name)
	}
}

// Of a time that turns by 20 ms at most in the middle, and is uneven by 30 ms at most.
func TestHowEvenADelayMayBe(t *testing.T) {
	for name, c := range map[string]struct {
		offsets []float64
		square  float64
		want    bool
	}{
		"even":                        {[]float64{0, 0}, 0, true},
		"later by as much as may be":  {[]float64{0, mostTurned}, 0, true},
		"sooner by as much as may be": {[]float64{mostTurned, 0}, 0, true},
		"the middle of three is of the second half": {[]float64{0, 0, 0.03}, 0, true},
		"and so it is of three early ones":          {[]float64{0.03, 0, 0}, 0, false},
		"too uneven":                                {[]float64{0, 0}, 12 * 0.031 * 0.031, false},
	} {
		w := weight{right: fewestEven, offsets: c.offsets, square: c.square}
		assert.Equal(t, c.want, w.even(), name)
	}
}
