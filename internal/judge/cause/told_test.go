package cause

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/finding"
	"undersong/internal/midi/event"
	"undersong/internal/sheet/score"
)

// In a tempo of one's own nothing is early or late, and all else is as wrong as ever.
func TestWhatIsToldInATempoOfOnesOwn(t *testing.T) {
	for pace, want := range map[float64][]finding.Kind{
		0:   {finding.Early, finding.Late, finding.WrongBass, finding.Missing, finding.Right},
		0.5: {finding.Right, finding.Right, finding.WrongBass, finding.Missing, finding.Right},
	} {
		j := judgeOf(t, false)
		j.reading.pace = pace
		for _, k := range []finding.Kind{finding.Early, finding.Late, finding.WrongBass, finding.Missing, finding.Right} {
			j.tell(stroke(j.Score, k, 0, 2))
		}
		var got []finding.Kind
		for _, f := range j.out {
			got = append(got, f.Kind)
		}
		assert.Equal(t, want, got, "at %g of the tempo", pace)
	}
}

// How late a player is under a delay is a matter of right strokes; and whether the last stroke
// of a hand was missing, of its strokes.
func TestWhatIsTakenFromWhatIsTold(t *testing.T) {
	j := judgeOf(t, false)
	j.reading = reading{late: 150 * ms}
	j.reading.causes[when].Kind = finding.Delay
	j.all = []finding.Cause{{Kind: finding.Delay, Offset: 150 * ms}}
	told := func(k finding.Kind, want int, off time.Duration) {
		f := stroke(j.Score, k, 0, want)
		f.Offset = off
		j.tell(f)
	}
	told(finding.Right, 0, 20*ms)
	told(finding.Late, 1, 200*ms)
	told(finding.Right, 2, 40*ms)
	assert.Equal(t, 180*ms, j.all[0].Offset)
	assert.Equal(t, [2]bool{}, j.missed)
	told(finding.Missing, 4, 0)
	told(finding.Right, 5, 0)
	assert.Equal(t, [2]bool{true, false}, j.missed, "the left hand's last")
	told(finding.Short, 4, 0)
	assert.True(t, j.missed[finding.LeftHand], "how long a note was says nothing of it")
	told(finding.Right, 6, 0)
	assert.Equal(t, [2]bool{}, j.missed)
	told(finding.WrongChord, 7, 0)
	assert.Equal(t, [2]bool{}, j.missed)
	assert.True(t, j.slipped)
}

// Where causes were looked for in vain, eight right strokes in a row end it, however much was
// wrong; four strokes in a row that do not come are looked at anew, and often from then on.
func TestAfterMuchInVain(t *testing.T) {
	const l = finding.LeftHand
	d := doubt{}
	d.begin(0, 0)
	d.vain = true
	count := func(k finding.Kind) bool {
		f := mistake(k, l, 0, 1)
		return d.count(&f, false)
	}
	for range 30 {
		count(finding.WrongBass)
	}
	for n := 1; n <= manyRight; n++ {
		assert.False(t, d.over(0, 0), "after %d", n-1)
		count(finding.Right)
	}
	assert.True(t, d.over(0, 0))
	count(finding.WrongBass)
	count(finding.Right)
	assert.False(t, d.over(0, 0), "a mistake, and the row begins anew")
	var looks []int
	for n := 1; n <= 9; n++ {
		if count(finding.Missing) {
			looks = append(looks, n)
		}
	}
	assert.Equal(t, []int{4, 6, 8}, looks)
	d.end()
	assert.False(t, d.on)
}

// By a click its tempo is the music's, whatever the player's own is; and before a leader's
// first key there is no round, however many lie before.
func TestTempoAndRoundUnderAReading(t *testing.T) {
	j := judgeOf(t, false)
	r := reading{pace: 0.5}
	j.reading = r
	j.heard, _ = j.judge(&r, stretch{0, 0, 7}, false)
	assert.InDelta(t, 120, float64(j.Tempo()), 1e-9)
	assert.InDelta(t, 60, float64(j.heard.Tempo()), 1e-9)
	lead := ledBy(t)
	lead.reading.pass = 2
	assert.Equal(t, -1, lead.Position(0).Pass)
	for i := range 4 {
		for _, key := range lead.Score.Wants[i].Keys() {
			lead.Feed(event.On(sec(1+float64(i)/2), uint8(key), 70))
		}
	}
	assert.Equal(t, 2, lead.Position(sec(2.5)).Pass)
}

// Where a pedal went down of one who leads: in the bar that sounded.
func TestInWhichBarAPedalWentDown(t *testing.T) {
	j := ledBy(t)
	for i := range 24 {
		for _, key := range j.Score.Wants[i].Keys() {
			j.Feed(event.On(sec(1+float64(i)/2), uint8(key), 70))
		}
	}
	begins := j.heard.Leader().TimeOf(0, j.Score.Bars[2].At)
	assert.InDelta(t, 5, begins.Seconds(), 0.05)
	j.reading.pass = 3
	f := finding.Finding{Pass: 3, Bar: 5}
	for at, want := range map[time.Duration]int{begins: 2, begins - 1: 1, begins + sec(1.9): 2, begins + sec(2.1): 3, begins + sec(60): 5, 0: 0} {
		bar, pass := j.barAt(at, &f)
		assert.Equal(t, []int{want, 3}, []int{bar, pass}, "at %s", at)
	}
}

// While a pedal stays stuck, its cause tells for how long it has been down by now.
func TestHowLongAPedalIsStuck(t *testing.T) {
	j := judgeOf(t, false)
	j.damper = damper{down: true, since: sec(3)}
	for bar := range 5 {
		f := mistake(finding.Blurred, finding.Foot, bar, 1)
		f.At = sec(5 + 2*float64(bar))
		j.blurred(&f)
	}
	if assert.Len(t, j.all, 1) {
		assert.Equal(t, sec(10), j.all[0].Offset)
		assert.Equal(t, []int{2, 5}, []int{j.all[0].Bar, j.all[0].ToBar})
	}
}

// A hand that has no strokes cannot lie octaves off.
func TestHandsThatPlayMayBeOff(t *testing.T) {
	for only, want := range map[score.Only][][2]int{
		score.LeftAlone:  {{1, 0}, {-1, 0}, {2, 0}, {-2, 0}},
		score.RightAlone: {{0, 1}, {0, -1}, {0, 2}, {0, -2}},
	} {
		j := judgeOf(t, false)
		alone := *j.Score
		alone.Only = only
		j.Score = &alone
		var got [][2]int
		for _, r := range j.playing(lifts()) {
			got = append(got, r.lift)
		}
		assert.Equal(t, want, got)
	}
	assert.Len(t, judgeOf(t, false).playing(lifts()), 12, "two hands")
}
