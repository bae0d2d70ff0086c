package smf

import (
	"bytes"
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"strings"
	"testing"
	"time"

	"undersong/internal/midi/event"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The two example files of Standard MIDI Files 1.1 (text edited by D. Back),
// appendix 2: the same four notes as format 0 and as format 1.
const (
	exampleFormat0 = `4D546864 00000006 0000 0001 0060 4D54726B 0000003B
		00 FF5804 04021808 00 FF5103 07A120 00 C005 00 C12E 00 C246 00 923060 00 3C60
		60 914340 60 904C20 8140 823040 00 3C40 00 814340 00 804C40 00 FF2F00`
	exampleFormat1 = `4D546864 00000006 0001 0004 0060
		4D54726B 00000014 00 FF5804 04021808 00 FF5103 07A120 8300 FF2F00
		4D54726B 00000010 00 C005 8140 904C20 8140 4C00 00 FF2F00
		4D54726B 0000000F 00 C12E 60 914340 8220 4300 00 FF2F00
		4D54726B 00000015 00 C246 00 923060 00 3C60 8300 3000 00 3C00 00 FF2F00`
)

func unhex(s string) []byte {
	b, err := hex.DecodeString(strings.Join(strings.Fields(s), ""))
	if err != nil {
		panic(err)
	}
	return b
}

// smf builds a file from a header's three words and the hex of its tracks.
func smf(format, division uint16, tracks ...string) []byte {
	b := []byte("MThd\x00\x00\x00\x06")
	for _, w := range []uint16{format, uint16(len(tracks)), division} {
		b = binary.BigEndian.AppendUint16(b, w)
	}
	for _, t := range tracks {
		b = appendChunk(b, unhex(t))
	}
	return b
}

func mustRead(t *testing.T, data []byte) *Performance {
	t.Helper()
	p, err := Read(bytes.NewReader(data), "file.mid")
	require.NoError(t, err)
	return p
}

// note is one row of "SMF example, its notes" in the same appendix.
type note struct {
	start, length int64
	channel       uint8
	key, velocity uint8
}

func notesOf(p *Performance) []note {
	var out []note
	for i, on := range p.Events {
		if !on.IsNoteOn() {
			continue
		}
		for j := i + 1; j < len(p.Events); j++ {
			off := p.Events[j]
			if off.IsNoteOff() && off.Data1 == on.Data1 && off.Channel() == on.Channel() {
				out = append(out, note{p.Ticks[i], p.Ticks[j] - p.Ticks[i], on.Channel() + 1, on.Data1, on.Data2})
				break
			}
		}
	}
	return out
}

func TestPublishedExampleFiles(t *testing.T) {
	for name, text := range map[string]string{"format 0": exampleFormat0, "format 1": exampleFormat1} {
		t.Run(name, func(t *testing.T) {
			p := mustRead(t, unhex(text))
			assert.ElementsMatch(t, []note{
				{0, 384, 3, 48, 96}, {0, 384, 3, 60, 96}, {96, 288, 2, 67, 64}, {192, 192, 1, 76, 32},
			}, notesOf(p))
			assert.Equal(t, 96, p.TicksPerQuarter)
			assert.Equal(t, []TempoChange{{0, 0, 500_000}}, p.Tempos)
			assert.Equal(t, []MeterChange{{0, 0, 4, 4}}, p.Meters)
			assert.Equal(t, 2*time.Second, p.End, "a bar of 4/4 at 120")
			programs := map[uint8]uint8{}
			for _, e := range p.Events {
				if e.Kind() == event.ProgramChange {
					programs[e.Channel()+1] = e.Data1
				}
			}
			assert.Equal(t, map[uint8]uint8{1: 5, 2: 46, 3: 70}, programs)
		})
	}
}

// The table of variable-length numbers in Standard MIDI Files 1.1.
func TestVariableLengthNumbers(t *testing.T) {
	for n, text := range map[int]string{
		0: "00", 0x40: "40", 0x7F: "7F", 0x80: "8100", 0x2000: "C000", 0x3FFF: "FF7F",
		0x4000: "818000", 0x100000: "C08000", 0x1FFFFF: "FFFF7F",
		0x200000: "81808000", 0x8000000: "C0808000", 0xFFFFFFF: "FFFFFF7F",
	} {
		b := unhex(text)
		assert.Equal(t, b, appendNumber(nil, n), "writing %X", n)
		f := &smfReader{data: b, end: len(b)}
		got, err := f.number()
		require.NoError(t, err)
		assert.EqualValues(t, n, got, "reading % X", b)
		assert.Equal(t, len(b), f.pos)
	}
}

func TestTimes(t *testing.T) {
	const ms = time.Millisecond
	cases := []struct {
		name string
		file []byte
		want []time.Duration
	}{
		{"120 quarters a minute where nothing is said",
			smf(0, 480, "00 903C40 8360 903E40 00 FF2F00"), []time.Duration{0, 500 * ms}},
		{"a ritardando: 120, then 60 from the second quarter, then 40",
			smf(0, 96, "00 903C40 60 FF5103 0F4240 00 903E40 60 904040 00 FF5103 16E360 60 904140 00 FF2F00"),
			[]time.Duration{0, 500 * ms, 1500 * ms, 3000 * ms}},
		{"the tempo map in the first track rules the second",
			smf(1, 96, "00 FF5103 0F4240 60 FF5103 07A120 00 FF2F00", "60 903C40 60 903E40 00 FF2F00"),
			[]time.Duration{1000 * ms, 1500 * ms}},
		{"a tempo in the second track rules the first",
			smf(1, 96, "60 903C40 00 FF2F00", "00 FF5103 0F4240 00 FF2F00"), []time.Duration{1000 * ms}},
		{"of two tempos on one tick the last holds",
			smf(0, 96, "00 FF5103 0F4240 00 FF5103 07A120 60 903C40 00 FF2F00"), []time.Duration{500 * ms}},
		{"a tempo of zero is passed over",
			smf(0, 96, "00 FF5103 000000 60 903C40 00 FF2F00"), []time.Duration{500 * ms}},
		{"25 frames of 40 ticks are milliseconds (E7 28), whatever the tempo",
			smf(0, 0xE728, "00 FF5103 0F4240 8768 903C40 01 903E40 00 FF2F00"), []time.Duration{1000 * ms, 1001 * ms}},
		{"24 frames of 1 tick", smf(0, 0xE801, "18 903C40 01 903E40 00 FF2F00"),
			[]time.Duration{time.Second, 1041666667}},
		{"30 frames of 80 ticks (E2 50)", smf(0, 0xE250, "9260 903C40 00 FF2F00"), []time.Duration{time.Second}},
		{"drop frame: 30000 frames last 1001 seconds", smf(0, 0xE301, "81EA30 903C40 00 FF2F00"),
			[]time.Duration{1001 * time.Second}},
		{"a tick that is no whole nanosecond is rounded once, not added up",
			smf(0, 7, "01 903C40 01 903E40 01 904040 04 904140 00 FF2F00"),
			[]time.Duration{71428571, 142857143, 214285714, 500000000}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			var got []time.Duration
			for _, e := range mustRead(t, c.file).Events {
				got = append(got, e.At)
			}
			assert.Equal(t, c.want, got)
		})
	}
}

func TestEvents(t *testing.T) {
	cEG := []event.Event{event.On(0, 60, 64), event.On(0, 64, 64), event.On(0, 67, 64)}
	cases := []struct {
		name string
		file []byte
		want []event.Event
	}{
		{"running status across delta-times", smf(0, 96, "00 903C40 00 4040 00 4340 00 FF2F00"), cEG},
		{"a new status after a text and a system exclusive",
			smf(0, 96, "00 903C40 00 FF0102 4869 00 904040 00 F005 43120007F7 00 904340 00 FF2F00"), cEG},
		{"escapes are passed over", smf(0, 96, "00 F703 F30100 00 903C40 00 904040 00 904340 00 FF2F00"), cEG},
		{"note-on of velocity 0 stays as it was written", smf(0, 96, "00 903C00 00 FF2F00"),
			[]event.Event{{Status: 0x90, Data1: 60}}},
		{"one data byte for program and pressure, two for bend", smf(0, 96, "00 C105 00 D240 00 E30040 00 FF2F00"),
			[]event.Event{{Status: 0xC1, Data1: 5}, {Status: 0xD2, Data1: 64}, {Status: 0xE3, Data2: 64}}},
		{"tracks of one tick in order of track, then of place in the file",
			smf(1, 96, "00 903C40 00 FF2F00", "00 904040 00 904340 00 FF2F00"), cEG},
		{"what stands behind the end of a track is left alone",
			smf(0, 96, "00 903C40 00 904040 00 904340 00 FF2F00 12345678"), cEG},
		{"a whole track without an end-of-track event", smf(0, 96, "00 903C40 00 904040 00 904340"), cEG},
		{"a longer header, honoured",
			append(unhex("4D546864 00000009 0000 0001 0060 AABBCC"), smf(0, 96, "00 903C40 00 4040 00 4340 00 FF2F00")[14:]...), cEG},
		{"an unknown chunk before the track",
			append(append(smf(0, 96, "")[:14], "XFIHrest\x00\x00\x00\x02"[:4]...),
				append(unhex("00000002 FFFF"), smf(0, 96, "00 903C40 00 4040 00 4340 00 FF2F00")[14:]...)...), cEG},
		{"rubbish behind the last track", append(smf(0, 96, "00 903C40 00 4040 00 4340 00 FF2F00"), "MTrk\xff\xff\xff\xff\x00"...), cEG},
		{"a track length that is too long, but the end of track is there",
			append(append(smf(0, 96)[:10], unhex("0001 0060 4D54726B 00001000")...), unhex("00 903C40 00 4040 00 4340 00 FF2F00")...), cEG},
		{"RIFF around it", rmid(smf(0, 96, "00 903C40 00 4040 00 4340 00 FF2F00")), cEG},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			assert.Equal(t, c.want, mustRead(t, c.file).Events)
		})
	}
}

func rmid(file []byte) []byte {
	b := []byte("RIFF\x00\x00\x00\x00RMIDDISP\x03\x00\x00\x00abc\x00data")
	b = binary.LittleEndian.AppendUint32(b, uint32(len(file)))
	return append(b, file...)
}

func TestMapOfMeterKeyAndNames(t *testing.T) {
	p := mustRead(t, smf(1, 96,
		"00 FF5804 03021808 00 FF5902 0100 8320 FF5804 06032408 00 FF5902 FD01 00 FF5902 0900 00 FF5101 07 00 FF2F00",
		"00 FF0305 5069616E6F 00 FF2F00",
		"00 FF0302 E96E 60 903C40 00 FF2F00"))
	at := 416 * 500 * time.Millisecond / 96
	assert.Equal(t, []MeterChange{{0, 0, 3, 4}, {at + 1, 416, 6, 8}}, p.Meters, "rounded to the nearest nanosecond")
	assert.Equal(t, []KeyChange{{0, 0, 1, false}, {at + 1, 416, -3, true}}, p.Keys, "G major, C minor; 9 sharps are passed over")
	assert.Empty(t, p.Tempos)
	assert.Equal(t, []string{"", "Piano", "én"}, p.TrackNames, "Latin-1 where it is not UTF-8")
	assert.Equal(t, []int{2}, p.Tracks)
}

func TestTenThousandNotesInOneTick(t *testing.T) {
	var events []event.Event
	for i := range 10_000 {
		events = append(events, event.On(time.Second, uint8(i%128), uint8(1+i/128)))
	}
	var b bytes.Buffer
	require.NoError(t, Write(&b, WriteOptions{}, Track{Events: events}))
	assert.Equal(t, events, mustRead(t, b.Bytes()).Events)
}

func FuzzRead(f *testing.F) {
	f.Add(unhex(exampleFormat0))
	f.Add(unhex(exampleFormat1))
	f.Add(rmid(unhex(exampleFormat0)))
	f.Add(smf(0, 0xE301, "81EA30 903C40 00 FF2F00"))
	f.Add(smf(1, 96, "00 FF5103 0F4240 60 FF5103 000001 00 FF2F00", "60 903C40 60 3E40 FFFFFF7F 3E00 00 FF2F00"))
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := Read(bytes.NewReader(data), "fuzz.mid")
		if err != nil {
			require.Nil(t, p)
			return
		}
		checkSound(t, p)
	})
}

// checkSound holds what every Performance promises.
func checkSound(t *testing.T, p *Performance) {
	t.Helper()
	require.Len(t, p.Ticks, len(p.Events))
	require.Len(t, p.Tracks, len(p.Events))
	var last time.Duration
	for i, e := range p.Events {
		if e.Status < 0x80 || e.Status >= 0xF0 || e.Data1 > 127 || e.Data2 > 127 {
			t.Fatalf("event %d is no channel message: %+v", i, e)
		}
		if e.At < last || e.At > p.End || p.End > MaxLength {
			t.Fatalf("event %d at %v runs backwards or past the end %v", i, e.At, p.End)
		}
		if p.Tracks[i] < 0 || p.Tracks[i] >= len(p.TrackNames) {
			t.Fatalf("event %d is in no track", i)
		}
		last = e.At
	}
}

func BenchmarkRead(b *testing.B) {
	for _, tracks := range []int{1, 2} {
		b.Run(fmt.Sprintf("200k events in %d tracks", tracks), func(b *testing.B) {
			file := largeFile(b, tracks)
			b.SetBytes(int64(len(file)))
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Read(bytes.NewReader(file), "large.mid"); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func largeFile(tb testing.TB, n int) []byte {
	tracks := make([]Track, n)
	for i := range 200_000 {
		at := time.Duration(i) * 50 * time.Millisecond
		tracks[i%n].Events = append(tracks[i%n].Events, event.On(at, uint8(21+i%88), uint8(i/88%2*64)))
	}
	var out bytes.Buffer
	require.NoError(tb, Write(&out, WriteOptions{}, tracks...))
	return out.Bytes()
}

// A lyric meta event (Standard MIDI Files 1.1: FF 05 len text) is a syllable.
func TestWordsAreRead(t *testing.T) {
	src := []byte("MThd\x00\x00\x00\x06\x00\x00\x00\x01\x01\xe0MTrk\x00\x00\x00\x0f\x00\xff\x05\x03val\x81\x70\xff\x05\x03l\xe9yXX")
	src = append(src[:len(src)-2], "\x00\xff\x2f\x00"...)
	src[21] = byte(len(src) - 22)
	p, err := Read(bytes.NewReader(src), "a.mid")
	require.NoError(t, err)
	assert.Equal(t, []Lyric{{0, 0, "val"}, {240, 0, "léy"}}, p.Lyrics)
}
