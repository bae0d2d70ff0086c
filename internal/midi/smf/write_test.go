package smf

import (
	"bytes"
	"errors"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"undersong/internal/midi/event"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestWriteByteForByte(t *testing.T) {
	var b bytes.Buffer
	err := Write(&b, WriteOptions{
		TicksPerQuarter: 96,
		Tempos:          []TempoChange{{Tick: 0, MicrosPerQuarter: 500_000}},
		Meters:          []MeterChange{{Tick: 0, Num: 4, Den: 4}},
		Keys:            []KeyChange{{Tick: 0, Sharps: -3, Minor: true}},
	}, Track{Name: "LH", Events: []event.Event{
		event.On(0, 48, 96), event.On(500*time.Millisecond, 55, 64), {At: 500 * time.Millisecond, Status: 0xC0, Data1: 5}}})
	require.NoError(t, err)
	assert.Equal(t, unhex(`4D546864 00000006 0001 0002 0060
		4D54726B 00000019 00 FF5804 04021808 00 FF5902 FD01 00 FF5103 07A120 00 FF2F00
		4D54726B 00000015 00 FF0302 4C48 00 903060 60 903740 00 C005 00 FF2F00`), b.Bytes())
}

// What was written comes back, each time within half a tick.
func TestWriteAndReadBack(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for range 200 {
		o, tracks := randomFile(rng)
		var b bytes.Buffer
		require.NoError(t, Write(&b, o, tracks...))
		p := mustRead(t, b.Bytes())
		clock := newTimeline(Division{TicksPerQuarter: o.TicksPerQuarter}, o.Tempos)
		clock.stamp(&Performance{Tempos: o.Tempos, Meters: o.Meters, Keys: o.Keys})
		assert.Equal(t, o.Tempos, p.Tempos)
		assert.Equal(t, o.Meters, p.Meters)
		assert.Equal(t, o.Keys, p.Keys)
		slowest := slices.MaxFunc(o.Tempos, func(a, b TempoChange) int { return a.MicrosPerQuarter - b.MicrosPerQuarter })
		tick := time.Duration(slowest.MicrosPerQuarter) * time.Microsecond / time.Duration(o.TicksPerQuarter)
		for i, track := range tracks {
			assert.Equal(t, track.Name, p.TrackNames[i+1])
			back := eventsOf(p, i+1)
			require.Len(t, back, len(track.Events))
			for j, e := range track.Events {
				require.InDelta(t, e.At, back[j].At, float64(tick/2+1), "event %d of %+v", j, o)
				e.At = back[j].At
				require.Equal(t, e, back[j])
			}
		}
	}
}

func randomFile(rng *rand.Rand) (WriteOptions, []Track) {
	o := WriteOptions{TicksPerQuarter: 1 + rng.IntN(2000)}
	var tick int64
	for range 1 + rng.IntN(5) {
		o.Tempos = append(o.Tempos, TempoChange{Tick: tick, MicrosPerQuarter: 200_000 + rng.IntN(2_000_000)})
		o.Meters = append(o.Meters, MeterChange{Tick: tick, Num: 1 + rng.IntN(12), Den: 1 << rng.IntN(5)})
		o.Keys = append(o.Keys, KeyChange{Tick: tick, Sharps: rng.IntN(15) - 7, Minor: rng.IntN(2) == 1})
		tick += 1 + rng.Int64N(5000)
	}
	tracks := []Track{{Name: "right hand"}, {Name: "left hand"}}
	for i := range tracks {
		var at time.Duration
		for range 50 {
			at += time.Duration(rng.Int64N(int64(time.Second)))
			tracks[i].Events = append(tracks[i].Events, event.On(at, uint8(rng.IntN(128)), uint8(rng.IntN(128))))
		}
	}
	return o, tracks
}

func eventsOf(p *Performance, track int) []event.Event {
	var out []event.Event
	for i, e := range p.Events {
		if p.Tracks[i] == track {
			out = append(out, e)
		}
	}
	return out
}

func TestWriteRefuses(t *testing.T) {
	cases := []struct {
		name   string
		o      WriteOptions
		events []event.Event
		want   string
	}{
		{"too fine a division", WriteOptions{TicksPerQuarter: 40_000}, nil, "writing MIDI: 40000 ticks a quarter is outside 1 to 32767"},
		{"a meter over 3", WriteOptions{Meters: []MeterChange{{Num: 4, Den: 3}}}, nil, "writing MIDI: no meter 4/3 in a MIDI file"},
		{"a meter over 0", WriteOptions{Meters: []MeterChange{{Num: 4}}}, nil, "writing MIDI: no meter 4/0 in a MIDI file"},
		{"eight flats", WriteOptions{Keys: []KeyChange{{Sharps: -8}}}, nil, "writing MIDI: a key signature of -8 sharps is outside -7 to 7"},
		{"no tempo", WriteOptions{Tempos: []TempoChange{{}}}, nil, "writing MIDI: a quarter of 0 microseconds is outside 1 to 16777215"},
		{"tempos out of order", WriteOptions{Tempos: []TempoChange{{Tick: 9, MicrosPerQuarter: 1}, {Tick: 1, MicrosPerQuarter: 1}}}, nil, "writing MIDI: the tempos are not in order of time"},
		{"before the start", WriteOptions{}, []event.Event{event.On(-1, 60, 1)}, `writing MIDI track "RH": an event at -1ns is outside 0 to 24h0m0s`},
		{"a key beyond the keyboard", WriteOptions{}, []event.Event{event.On(0, 128, 1)}, `writing MIDI track "RH": 90 80 01 is no channel message`},
		{"a clock byte", WriteOptions{}, []event.Event{{Status: 0xF8}}, `writing MIDI track "RH": F8 00 00 is no channel message`},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			var b bytes.Buffer
			require.EqualError(t, Write(&b, c.o, Track{Name: "RH", Events: c.events}), c.want)
			assert.Zero(t, b.Len())
		})
	}
}

func TestWriteReportsTheWritersError(t *testing.T) {
	full := errors.New("no space left")
	assert.ErrorIs(t, Write(fullDisk{full}, WriteOptions{}), full)
}

type fullDisk struct{ err error }

func (f fullDisk) Write([]byte) (int, error) { return 0, f.err }
