package cause

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/finding"
	"undersong/internal/midi/event"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
)

// Of a recording one onset that fits nowhere puts all in doubt, while somebody plays three; it
// begins with the first of them.
func TestOnsetsThatFitNowhere(t *testing.T) {
	for patient, first := range map[bool]int{true: 1, false: 3} {
		j := ledBy(t)
		j.options.Patient, j.reading.pass = patient, 2
		for i := range 6 {
			ev := event.On(sec(1+float64(i)), 61, 70)
			j.kept.add(ev)
			if j.led.strike(ev) {
				j.unexplained(ev.At)
			}
			assert.Equal(t, i >= first, j.doubt.on, "recorded: %t, with the next of %d", patient, i)
			if j.doubt.on {
				assert.Equal(t, i, j.doubt.wrong)
				assert.Equal(t, []any{sec(0.95), 2}, []any{j.doubt.since, j.doubt.pass})
			}
		}
	}
}

// What is in doubt begins with the place of a mistake, or with what was struck just now where
// the place is lost; and with strange onsets before it.
func TestSinceWhenAPlayerWhoLeadsIsInDoubt(t *testing.T) {
	for name, c := range map[string]struct {
		kind    finding.Kind
		told    bool
		strange []int // onsets, of nine from 1 second on
		want    float64
	}{
		"nothing told before":      {finding.WrongBass, false, nil, 0},
		"a mistake":                {finding.WrongBass, true, nil, 2.95},
		"lost":                     {finding.Lost, true, nil, 4.95},
		"strange before a mistake": {finding.WrongBass, true, []int{3, 4, 6, 8, 9}, 1.95},
		"strange, and lost":        {finding.Lost, true, []int{8}, 4.45},
	} {
		j := ledBy(t)
		for i := range 9 {
			for _, key := range j.Score.Wants[i].Keys() {
				j.Feed(event.On(sec(1+float64(i)/2), uint8(key), 70))
			}
		}
		j.led.ring = [mostRecent]recent{}
		for _, n := range c.strange {
			j.led.ring[n] = recent{sec(1 + float64(n-1)/2), true}
		}
		j.told, j.reading.pass = c.told, 2
		f := stroke(j.Score, c.kind, 2, 4)
		assert.InDelta(t, c.want, j.ledSince(f).Seconds(), 0.01, name)
	}
}

// A key between the hands is the right one's, as is all above it.
func TestWhoseAKeyBetweenTheHandsIs(t *testing.T) {
	l := led{middle: 60}
	var plain transposition
	for key, want := range map[int]int{59: 47, 60: 60, 61: 61} {
		assert.Equal(t, want, l.key(key, plain, transposition{lift: [2]int{-1, 0}}), "key %d", key)
	}
}

// A hand that was silent and returns is looked for in the round in which that is.
func TestInWhichRoundAHandReturns(t *testing.T) {
	j := ledBy(t)
	j.reading.mute[pattern.Left] = true
	j.takeReading(j.reading, 0)
	j.found, j.reading.pass = false, 2
	for i := range 3 {
		j.returns(j.led.low-1, sec(2+float64(i)))
	}
	assert.True(t, j.doubt.on)
	assert.Equal(t, 2, j.doubt.pass)
}

// Four onsets show which keys are likely: C of bar 1 a tone up, which it is, or F of bar 2 a
// sixth up. Fewer show none.
func TestKeysOfWhoLeads(t *testing.T) {
	for struck, want := range map[int][]int{3: nil, 4: {2, 9}} {
		j := ledBy(t)
		for i := range struck {
			for _, key := range j.Score.Wants[i].Keys() {
				j.kept.add(event.On(sec(1+float64(i)/2), uint8(key+2), 70))
			}
		}
		var ups []int
		for _, r := range j.proposeLed(sec(60), &weight{}) {
			if r.is(finding.OtherKey) {
				ups = append(ups, int(pitch.ClassOf(r.up)))
			}
		}
		assert.Equal(t, want, ups, "%d onsets", struck)
	}
}

// How many strokes after it show a leap: more where it leads to what sounds nearly as before, or
// comes in time.
func TestHowManyStrokesShowALeap(t *testing.T) {
	for name, c := range map[string]struct {
		to     int // bar, as an index, from the end of the fourth
		pause  float64
		asked  float64 // nats
		enough int     // strokes
	}{
		"two bars back":         {1, 1, stopEvidence, 5},
		"one bar back":          {2, 1, stopEvidence, 4},
		"the same bar":          {3, 1, stopEvidence, 5},
		"one bar back, in time": {2, 0, backEvidence, 13},
	} {
		for n := 1; n <= 16; n++ {
			j, _ := goneElsewhere(t, c.pause, 4*c.to, 4*c.to+n-1)
			l, _ := j.route(j.led.open.at)
			assert.Equal(t, n >= c.enough, l.saved >= c.asked, "%s: %d strokes save %.1f", name, n, l.saved)
		}
	}
}
