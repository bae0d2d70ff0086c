package cause

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/finding"
	"undersong/internal/midi/event"
	"undersong/internal/music/pitch"
	"undersong/internal/test/sounding"
)

// A key some semitones up is named by the nearer way there, and lies in the octave in
// which it is heard.
func TestAnotherKey(t *testing.T) {
	for _, c := range []struct{ up, higher, semitones, octaves int }{
		{1, 0, 1, 0}, {6, 0, 6, 0}, {7, 0, -5, 0}, {11, 0, -1, 0},
		{7, 1, -5, 0}, {7, 2, -5, 1}, {7, 7, -5, 1}, {5, 11, 5, 0}, {5, 12, 5, 1}, {2, 26, 2, 2},
		{6, -1, 6, -1}, {1, -5, 1, 0}, {1, -6, 1, -1}, {11, -13, -1, -1}, {11, -25, -1, -2},
	} {
		r := otherKey(c.up, c.higher)
		want := finding.Cause{Kind: finding.OtherKey, Semitones: c.semitones, Octaves: c.octaves, Hand: finding.BothHands}
		assert.Equal(t, reading{causes: [2]finding.Cause{want}, up: c.semitones + 12*c.octaves}, r, "%d up, about %d higher", c.up, c.higher)
	}
}

// What is struck speaks for the keys in which it would be right, the likeliest first.
func TestKeysThatStrokesSpeakFor(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", eight, "two-beat")
	j := New(s, Options{})
	j.places = placesOf(s)
	for _, up := range []int{-13, -11, -5, -1, 1, 2, 6, 7, 14} {
		var ev evidence
		for i := range s.Wants {
			w := &s.Wants[i]
			for _, k := range w.Keys() {
				ev.struck = append(ev.struck, strike{key: k + pitch.Num(up), at: s.Time(w.At)})
			}
		}
		all := j.keys(&ev)
		assert.Len(t, all, likeliest)
		assert.Equal(t, up, all[0].up)
	}
	assert.Empty(t, j.keys(&evidence{struck: []strike{{key: pitch.MiddleC, at: s.Time(s.Length)}}}), "nothing is wanted there")
	assert.Empty(t, j.keys(&evidence{}))
}

func TestHandsThatAreOff(t *testing.T) {
	const l, r, both = finding.LeftHand, finding.RightHand, finding.BothHands
	type lift struct {
		hand    finding.Part
		octaves int
		lift    [2]int
	}
	var got []lift
	for _, x := range lifts() {
		assert.Equal(t, finding.OctaveOff, x.causes[what].Kind)
		got = append(got, lift{x.causes[what].Hand, x.causes[what].Octaves, x.lift})
	}
	assert.ElementsMatch(t, []lift{
		{l, 1, [2]int{1, 0}}, {r, 1, [2]int{0, 1}}, {both, 1, [2]int{1, 1}}, {l, -1, [2]int{-1, 0}}, {r, -1, [2]int{0, -1}}, {both, -1, [2]int{-1, -1}},
		{l, 2, [2]int{2, 0}}, {r, 2, [2]int{0, 2}}, {both, 2, [2]int{2, 2}}, {l, -2, [2]int{-2, 0}}, {r, -2, [2]int{0, -2}}, {both, -2, [2]int{-2, -2}},
	}, got)
	muted := map[finding.Part][2]bool{}
	for _, x := range silences() {
		assert.Equal(t, finding.Silent, x.causes[what].Kind)
		muted[x.causes[what].Hand] = x.mute
	}
	assert.Equal(t, map[finding.Part][2]bool{l: {true, false}, r: {false, true}, both: {true, true}}, muted)
}

// Of many events the latest are kept.
func TestEventsThatAreKept(t *testing.T) {
	var k kept
	times := func(from, to time.Duration) (all []time.Duration) {
		k.each(from, to, func(ev event.Event) { all = append(all, ev.At) })
		return all
	}
	add := func(first, last int) {
		for n := first; n <= last; n++ {
			k.add(event.On(time.Duration(n)*time.Second, 60, 70))
		}
	}
	assert.Empty(t, times(0, time.Hour))
	add(1, 4)
	assert.Equal(t, steps(2, 3), times(2*time.Second, 3*time.Second), "both ends included")
	assert.Equal(t, steps(1, 2, 3, 4), times(0, time.Hour))
	add(5, mostKept)
	assert.Len(t, times(0, time.Hour), mostKept)
	add(mostKept+1, mostKept+3)
	all := times(0, time.Hour)
	assert.Len(t, all, mostKept)
	assert.Equal(t, 4*time.Second, all[0])
	assert.True(t, slices.IsSorted(all))
}
