package keyboard

import (
	"encoding/json"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/midi/event"
	"undersong/internal/music/pitch"
)

const (
	c4 = 60
	e4 = 64
	g4 = 67
)

func ms(n int) time.Duration { return time.Duration(n) * time.Millisecond }

func sounding(k *Keys) []pitch.Num {
	s := k.Sounding()
	var all []pitch.Num
	for key := s.Lowest(); key >= 0; key = s.Next(key) {
		all = append(all, key)
	}
	return all
}

func TestFingersAndPedals(t *testing.T) {
	var k Keys
	assert.Equal(t, Struck, k.Feed(event.On(ms(0), c4, 70)))
	assert.Equal(t, Struck, k.Feed(event.On(ms(3), e4, 60)))
	assert.Equal(t, PedalDown, k.Feed(event.Pedal(ms(10), 127)))
	assert.Equal(t, Released, k.Feed(event.Off(ms(20), c4)))
	assert.Equal(t, []pitch.Num{c4, e4}, sounding(&k), "the pedal holds C")
	assert.Equal(t, 1, k.Down.Len())
	assert.Equal(t, Nothing, k.Feed(event.Pedal(ms(30), 90)), "still down")
	assert.Equal(t, PedalUp, k.Feed(event.Pedal(ms(40), 40)), "half pedal is not down")
	assert.Equal(t, []pitch.Num{e4}, sounding(&k))
	assert.Equal(t, uint8(60), k.Velocity(e4))
	assert.Equal(t, ms(3), k.StruckAt(e4))
}

func TestNoteOnWithoutVelocityReleases(t *testing.T) {
	// MIDI 1.0 Detailed Specification 4.2.1: velocity 0 is note off.
	var k Keys
	k.Feed(event.On(0, c4, 64))
	assert.Equal(t, Released, k.Feed(event.On(ms(9), c4, 0)))
	assert.Empty(t, sounding(&k))
}

func TestUnpairedMessages(t *testing.T) {
	var k Keys
	assert.Equal(t, Nothing, k.Feed(event.Off(0, c4)), "a release without a strike")
	assert.Equal(t, Struck, k.Feed(event.On(ms(1), c4, 50)))
	assert.Equal(t, Struck, k.Feed(event.On(ms(400), c4, 50)), "struck again though no release came")
	assert.Equal(t, Released, k.Feed(event.Off(ms(500), c4)))
	assert.Equal(t, Nothing, k.Feed(event.Off(ms(501), c4)))
	assert.Empty(t, sounding(&k))
}

func TestTheSameFingerOnTwoChannels(t *testing.T) {
	var k Keys
	second := event.Event{At: ms(1), Status: event.NoteOn | 1, Data1: c4, Data2: 80}
	assert.Equal(t, Struck, k.Feed(event.On(0, c4, 64)))
	assert.Equal(t, Nothing, k.Feed(second))
	assert.Equal(t, uint8(80), k.Velocity(c4))
	assert.Equal(t, Nothing, k.Feed(event.Off(ms(300), c4)))
	assert.Equal(t, Released, k.Feed(event.Event{At: ms(301), Status: event.NoteOff | 1, Data1: c4}))
}

func TestSostenutoHoldsWhatWasDown(t *testing.T) {
	var k Keys
	middle := func(v uint8) event.Event {
		return event.Event{Status: event.ControlChange, Data1: event.Sostenuto, Data2: v}
	}
	k.Feed(event.On(0, c4, 64))
	k.Feed(middle(127))
	k.Feed(event.On(0, g4, 64))
	k.Feed(event.Off(0, c4))
	k.Feed(event.Off(0, g4))
	assert.Equal(t, []pitch.Num{c4}, sounding(&k))
	k.Feed(middle(0))
	assert.Empty(t, sounding(&k))
}

func TestAllNotesOff(t *testing.T) {
	var k Keys
	k.Feed(event.On(0, c4, 64))
	k.Feed(event.Pedal(0, 127))
	assert.Equal(t, Silenced, k.Feed(event.Event{Status: event.ControlChange, Data1: event.AllNotesOff}))
	assert.Empty(t, sounding(&k))
	assert.False(t, k.PedalIsDown())
}

func TestSets(t *testing.T) {
	var s Set
	assert.Equal(t, pitch.Num(-1), s.Lowest())
	for _, k := range []pitch.Num{0, 63, 64, 127} {
		s.Add(k)
	}
	assert.Equal(t, 4, s.Len())
	assert.Equal(t, pitch.Num(63), s.Next(0))
	assert.Equal(t, pitch.Num(-1), s.Next(127))
	assert.Equal(t, uint16(1<<0|1<<3|1<<4|1<<7), s.Classes())
	s.Remove(64)
	assert.False(t, s.Has(64))
}

func FuzzKeys(f *testing.F) {
	f.Add([]byte{0x90, 60, 64, 0x90, 60, 0, 0xB0, 64, 127, 0x80, 60, 0})
	f.Fuzz(func(t *testing.T, raw []byte) {
		var k Keys
		for i := 0; i+2 < len(raw); i += 3 {
			k.Feed(event.Event{At: ms(i), Status: raw[i] | 0x80, Data1: raw[i+1] & 0x7F, Data2: raw[i+2] & 0x7F})
			s := k.Sounding()
			require.Equal(t, k.Down, Set{k.Down[0] & s[0], k.Down[1] & s[1]}, "what is down sounds")
		}
		k.Silence()
		require.Empty(t, sounding(&k))
	})
}

func TestASetOfKeysComesBackFromJSON(t *testing.T) {
	var s Set
	for _, k := range []pitch.Num{0, 63, 64, 127} {
		s.Add(k)
	}
	text, err := json.Marshal(s)
	require.NoError(t, err)
	assert.Equal(t, "[0,63,64,127]", string(text))
	var back Set
	require.NoError(t, json.Unmarshal(text, &back))
	assert.Equal(t, s, back)
	assert.Error(t, json.Unmarshal([]byte("[128]"), &back))
	text, err = json.Marshal(Set{})
	require.NoError(t, err)
	assert.Equal(t, "[]", string(text))
}

func TestSetsOfKeys(t *testing.T) {
	set := func(keys ...pitch.Num) (s Set) {
		for _, k := range keys {
			s.Add(k)
		}
		return s
	}
	a, b := set(1, 60, 100), set(60, 101)
	assert.Equal(t, set(1, 100), a.Minus(b))
	assert.Equal(t, set(60), a.Both(b))
	assert.Equal(t, []pitch.Num{1, 60, 100, 101}, a.Union(b).Keys())
}
