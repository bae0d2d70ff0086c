package event

import (
	"encoding/hex"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func unhex(s string) []byte {
	b, err := hex.DecodeString(strings.Join(strings.Fields(s), ""))
	if err != nil {
		panic(err)
	}
	return b
}

// feed gives each byte its place in the stream, in milliseconds, as its time.
func feed(d *Decoder, bytes []byte) []Event {
	var out []Event
	for i, b := range bytes {
		if e, ok := d.Feed(time.Duration(i)*time.Millisecond, b); ok {
			out = append(out, e)
		}
	}
	return out
}

// The rules are those of the MIDI 1.0 Detailed Specification 4.2.1.
func TestDecoder(t *testing.T) {
	const ms = time.Millisecond
	on := func(at, key, velocity int) Event {
		return On(time.Duration(at)*ms, uint8(key), uint8(velocity))
	}
	cases := []struct {
		name  string
		bytes string
		want  []Event
	}{
		{"a chord of C, E, G on and off under running status", "903C40 4040 4340 3C00 4000 4300",
			[]Event{on(2, 60, 64), on(4, 64, 64), on(6, 67, 64), on(8, 60, 0), on(10, 64, 0), on(12, 67, 0)}},
		{"a clock between key and velocity", "903CF840", []Event{on(3, 60, 64)}},
		{"every real-time byte, undefined ones too, inside a message", "90F8F9FAFB3CFCFDFEFF40", []Event{on(10, 60, 64)}},
		{"a real-time byte does not end running status", "903C40F84040", []Event{on(2, 60, 64), on(5, 64, 64)}},
		{"system exclusive ends running status", "903C40F04312F73C00", []Event{on(2, 60, 64)}},
		{"system common ends running status", "903C40F105 3C00 F6 3C00 F20102 3C00 F4 3C00", []Event{on(2, 60, 64)}},
		{"a note interrupts an unfinished system exclusive", "F043129 03C40", []Event{on(5, 60, 64)}},
		{"a new status drops an unfinished message", "903C B04040", []Event{{At: 4 * ms, Status: 0xB0, Data1: 64, Data2: 64}}},
		{"data before any status", "3C40 903C40", []Event{on(4, 60, 64)}},
		{"one data byte for program and pressure", "C105 06 D240",
			[]Event{{At: 1 * ms, Status: 0xC1, Data1: 5}, {At: 2 * ms, Status: 0xC1, Data1: 6}, {At: 4 * ms, Status: 0xD2, Data1: 64}}},
		{"key pressure, bend and release with velocity", "A03C10 E10040 853C7F",
			[]Event{{At: 2 * ms, Status: 0xA0, Data1: 60, Data2: 16}, {At: 5 * ms, Status: 0xE1, Data2: 64}, {At: 8 * ms, Status: 0x85, Data1: 60, Data2: 127}}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			var d Decoder
			assert.Equal(t, c.want, feed(&d, unhex(c.bytes)))
		})
	}
}

func TestActiveSensing(t *testing.T) {
	const ms = time.Millisecond
	var d Decoder
	d.Feed(0, 0x90)
	assert.False(t, d.Dead(time.Hour), "a keyboard without active sensing may be silent")

	d.Feed(1000*ms, 0xFE)
	assert.False(t, d.Dead(1330*ms))
	assert.True(t, d.Dead(1331*ms))

	d.Feed(1200*ms, 0x90)
	assert.False(t, d.Dead(1500*ms), "any byte shows that the cable lives")
}

func FuzzDecoder(f *testing.F) {
	f.Add(unhex("903C40 4040 4340 3C00 4000 4300"))
	f.Add(unhex("90F8F9FAFB3CFCFDFEFF40 F04312F73C00 C105 F20102 3C00 F4"))
	f.Fuzz(func(t *testing.T, data []byte) {
		var d Decoder
		for _, e := range feed(&d, data) {
			if _, err := e.Bytes(); err != nil {
				t.Fatal(err)
			}
		}
		// The same messages, whatever real-time bytes stand between.
		var mixed []byte
		for i, b := range data {
			mixed = append(mixed, b, 0xF8+byte(i%8))
		}
		var plain, ticking Decoder
		require.Equal(t, still(feed(&plain, data)), still(feed(&ticking, mixed)))
	})
}

// still drops the times.
func still(events []Event) []Event {
	for i := range events {
		events[i].At = 0
	}
	return events
}

func TestDecoderAllocatesNothing(t *testing.T) {
	stream := unhex("903C40 4040 F8 4340 FE B04040 F04312F7 C105")
	var d Decoder
	assert.Zero(t, testing.AllocsPerRun(100, func() {
		for _, b := range stream {
			d.Feed(0, b)
		}
	}))
}

func BenchmarkDecoder(b *testing.B) {
	stream := unhex("903C40 4040 F8 4340 FE B04040")
	b.SetBytes(int64(len(stream)))
	var d Decoder
	for b.Loop() {
		for _, c := range stream {
			d.Feed(0, c)
		}
	}
}
