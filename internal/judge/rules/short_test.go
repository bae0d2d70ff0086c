package rules

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/finding"
	"undersong/internal/listen/keyboard"
	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
	"undersong/internal/test/sounding"
)

func TestWhoseLengthIsTold(t *testing.T) {
	four := meter.Meter{Num: 4, Den: 4}
	assert.True(t, Held(&score.Want{Dur: meter.Quarter}, four))
	assert.False(t, Held(&score.Want{Dur: meter.Quarter - 1}, four), "shorter than a beat")
	assert.False(t, Held(&score.Want{Dur: meter.Whole, Free: true}, four), "the player's own")
}

func TestTooShort(t *testing.T) {
	for _, c := range []struct {
		level   Level
		sounded time.Duration
		share   float64
		short   bool
	}{
		{Steady, 1000 * ms, 0.5, false},
		{Steady, 999 * ms, 0.4995, true},
		{Gentle, 700 * ms, 0.35, false},
		{Gentle, 699 * ms, 0.3495, true},
		{Strict, 1400 * ms, 0.7, false},
		{Strict, 1399 * ms, 0.6995, true},
	} {
		share, short := c.level.Short(c.sounded, 2*time.Second)
		assert.Equal(t, c.share, share)
		assert.Equal(t, c.short, short, "%s: %v of 2 s", c.level.Name, c.sounded)
	}
}

// A stroke let go too early is told 80 ms later, unless it is struck again.
func TestStrokesLetGoTooEarly(t *testing.T) {
	var q Shorts
	assert.Equal(t, Never, q.Due())
	let := func(at time.Duration, heard string) {
		q.Push(finding.Finding{Kind: finding.Short, At: at, Heard: keys(t, heard)})
	}
	let(time.Second, "C4 E4")
	let(1100*ms, "G4")
	assert.Equal(t, 1080*ms, q.Due())
	q.Restruck(62)
	assert.Equal(t, 1080*ms, q.Due())
	q.Restruck(64)
	assert.Equal(t, 1180*ms, q.Due(), "the first was a repetition")
	assert.Equal(t, keys(t, "G4"), q.Pop().Heard)
	assert.Equal(t, Never, q.Due())
	for i := range 10 {
		let(time.Duration(i)*ms, "C4")
	}
	for i := range 10 {
		assert.Equal(t, time.Duration(i)*ms+80*ms, q.Pop().At)
	}
	assert.Equal(t, Never, q.Due())
	let(0, "C4")
	let(ms, "E4")
	let(2*ms, "C4")
	q.Restruck(60)
	assert.Equal(t, keys(t, "E4"), q.Pop().Heard)
	assert.Equal(t, Never, q.Due())
}

// Half a beat, but at least 250 and at most 600 ms.
func TestTheGraceOfThePedal(t *testing.T) {
	for beat, grace := range map[time.Duration]time.Duration{
		300 * ms: 250 * ms, 500 * ms: 250 * ms, 700 * ms: 350 * ms, 1200 * ms: 600 * ms, 2000 * ms: 600 * ms,
	} {
		c := Change{At: time.Second, Beat: beat}
		assert.Equal(t, time.Second+grace, c.Due(), "%v a beat", beat)
	}
}

// C held by the pedal into F, which comes at two seconds.
func TestBlurred(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", "| C | F | N.C. |", "block-whole")
	for _, c := range []struct {
		name    string
		feed    func(k *keyboard.Keys)
		harmony int
		lastOn  time.Duration
		want    string
	}{
		{"C E G in the pedal", nil, 1, 2 * time.Second, "E4 G4"},
		{"the new chord is not played", nil, 1, 1899 * ms, ""},
		{"it is, a little early", nil, 1, 1900 * ms, "E4 G4"},
		{"no chord blurs nothing", nil, 2, 2 * time.Second, ""},
		{"the pedal was up", func(k *keyboard.Keys) { k.Feed(event.Pedal(1900*ms, 0)) }, 1, 2 * time.Second, ""},
		{"E struck for the new chord", func(k *keyboard.Keys) { k.Feed(event.On(1900*ms, 64, 60)); k.Feed(event.Off(1950*ms, 64)) }, 1, 2 * time.Second, "G4"},
		{"E struck just before that", func(k *keyboard.Keys) { k.Feed(event.On(1899*ms, 64, 60)); k.Feed(event.Off(1950*ms, 64)) }, 1, 2 * time.Second, "E4 G4"},
		{"E held by a finger", func(k *keyboard.Keys) { k.Feed(event.On(1800*ms, 64, 60)) }, 1, 2 * time.Second, "G4"},
	} {
		var k keyboard.Keys
		for _, key := range []uint8{60, 64, 67} {
			k.Feed(event.On(0, key, 60))
		}
		k.Feed(event.Pedal(500*ms, 127))
		for _, key := range []uint8{60, 64, 67} {
			k.Feed(event.Off(600*ms, key))
		}
		if c.feed != nil {
			c.feed(&k)
		}
		got := Blurred(s.Harmonies[c.harmony].Chord, &k, 2*time.Second, c.lastOn)
		if c.want == "" {
			assert.Equal(t, pitch.Nums{}, got, c.name)
		} else {
			assert.Equal(t, keys(t, c.want), got, c.name)
		}
	}
}
