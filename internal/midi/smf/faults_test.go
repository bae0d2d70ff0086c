package smf

import (
	"bytes"
	"errors"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestWhatIsWrongAndWhere(t *testing.T) {
	whole := unhex(exampleFormat1)
	cases := []struct {
		name string
		file []byte
		want string
	}{
		{"an empty file", nil, "file.mid: is not a Standard MIDI File (it does not begin with MThd); name a file that ends in .mid"},
		{"text", []byte("Down in the valley, the valley so low"), "file.mid: is not a Standard MIDI File (it does not begin with MThd); name a file that ends in .mid"},
		{"a sound file", []byte("RIFF\x00\x00\x00\x00WAVEfmt "), "file.mid: is not a Standard MIDI File (it does not begin with MThd); name a file that ends in .mid"},
		{"RIFF without MIDI", []byte("RIFF\x00\x00\x00\x00RMIDdata\x00\x00\x00\x00"), "file.mid: byte 0: is a RIFF file without MIDI data in it; export it again as a Standard MIDI File of format 0 or 1"},
		{"only the first word", whole[:4], "file.mid: byte 4: the header ends too soon; the file is damaged or cut short: export it again"},
		{"a header of 4 bytes", unhex("4D546864 00000004 0000 0001 0060"), "file.mid: byte 4: the header cannot be 4 bytes long; the file is damaged or cut short: export it again"},
		{"format 2", smf(2, 96, "00FF2F00"), "file.mid: byte 8: this is a file of format 2, a set of separate patterns; export it again as a Standard MIDI File of format 0 or 1"},
		{"format 3", smf(3, 96, "00FF2F00"), "file.mid: byte 8: there is no MIDI file format 3; export it again as a Standard MIDI File of format 0 or 1"},
		{"no tracks", smf(0, 96), "file.mid: byte 10: the file has no tracks; the file is damaged or cut short: export it again"},
		{"division 0", smf(0, 0, "00FF2F00"), "file.mid: byte 12: the time division 00 00 has no meaning; the file is damaged or cut short: export it again"},
		{"26 frames a second", smf(0, 0xE628, "00FF2F00"), "file.mid: byte 12: the time division E6 28 has no meaning; the file is damaged or cut short: export it again"},
		{"no ticks a frame", smf(0, 0xE700, "00FF2F00"), "file.mid: byte 12: the time division E7 00 has no meaning; the file is damaged or cut short: export it again"},
		{"cut in the middle of a note", whole[:57], "file.mid: byte 57: track 2 ends in the middle of an event; the file is damaged or cut short: export it again"},
		{"cut between two events", whole[:58], "file.mid: byte 58: the file ends before track 2 does; the file is damaged or cut short: export it again"},
		{"cut between two tracks", whole[:66], "file.mid: byte 66: the file ends before track 3 of 4; the file is damaged or cut short: export it again"},
		{"noise where a track should be", append(whole[:42:42], whole[43:]...), "file.mid: byte 42: no track begins here, where track 2 of 4 should; the file is damaged or cut short: export it again"},
		{"data without a status", smf(0, 96, "00 3C40 00 FF2F00"), "file.mid: byte 23: 3C in track 1 stands where an event should begin; the file is damaged or cut short: export it again"},
		{"running status after a text", smf(0, 96, "00 903C40 00 FF0100 00 3C00 00 FF2F00"), "file.mid: byte 31: 3C in track 1 stands where an event should begin; the file is damaged or cut short: export it again"},
		{"running status after system exclusive", smf(0, 96, "00 903C40 00 F001F7 00 3C00 00 FF2F00"), "file.mid: byte 31: 3C in track 1 stands where an event should begin; the file is damaged or cut short: export it again"},
		{"a status inside a note", smf(0, 96, "00 903C 90 3E40 00 FF2F00"), "file.mid: byte 25: 90 in track 1 is inside another event; the file is damaged or cut short: export it again"},
		{"a clock byte", smf(0, 96, "00 F8 00 FF2F00"), "file.mid: byte 23: F8 in track 1 has no place in a MIDI file; the file is damaged or cut short: export it again"},
		{"a delta-time of five bytes", smf(0, 96, "8181818100 903C40 00 FF2F00"), "file.mid: byte 22: a number in track 1 is longer than four bytes; the file is damaged or cut short: export it again"},
		{"a text of 256 MB that is not there", smf(0, 96, "00 FF01 FFFFFF7F"), "file.mid: byte 29: track 1 ends in the middle of an event; the file is damaged or cut short: export it again"},
		{"a year of silence", smf(0, 1, "FFFFFF7F 903C40 00 FF2F00"), "file.mid: lasts longer than 24 hours; this is more than a piano performance; export only the piano's track"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			p, err := Read(bytes.NewReader(c.file), "file.mid")
			assert.Nil(t, p)
			require.EqualError(t, err, c.want)
			var fe *FileError
			assert.ErrorAs(t, err, &fe)
		})
	}
}

// Every file cut anywhere is refused, with a place that lies in it.
func TestCutAnywhere(t *testing.T) {
	whole := unhex(exampleFormat1)
	for n := range whole[:len(whole)-1] {
		_, err := Read(bytes.NewReader(whole[:n]), "file.mid")
		var fe *FileError
		require.ErrorAs(t, err, &fe, "cut after %d bytes", n)
		assert.LessOrEqual(t, fe.Offset, int64(n))
	}
}

// countingReader gives noise without end and counts what was asked of it.
type countingReader struct{ n int }

func (c *countingReader) Read(b []byte) (int, error) {
	for i := range b {
		b[i] = byte(c.n+i)*37 + 11
	}
	c.n += len(b)
	return len(b), nil
}

func TestEndlessNoiseIsRefusedUnread(t *testing.T) {
	var noise countingReader
	_, err := Read(&noise, "noise.mid")
	require.ErrorContains(t, err, "noise.mid: is not a Standard MIDI File")
	assert.Less(t, noise.n, 100)
}

func TestTooLarge(t *testing.T) {
	t.Run("bytes", func(t *testing.T) {
		var noise countingReader
		_, err := Read(io.MultiReader(strings.NewReader("MThd"), &noise), "noise.mid")
		require.EqualError(t, err, "noise.mid: is larger than 64 MiB; this is more than a piano performance; export only the piano's track")
	})
	t.Run("events", func(t *testing.T) {
		body := append(unhex("00 C000"), bytes.Repeat([]byte{0, 0}, MaxEvents)...)
		_, err := Read(bytes.NewReader(appendChunk(smf(0, 96, "")[:14], body)), "long.mid")
		require.EqualError(t, err, "long.mid: holds more than 5000000 events; this is more than a piano performance; export only the piano's track")
	})
}

func TestReadErrorPassesThrough(t *testing.T) {
	broken := errors.New("the stick was pulled out")
	_, err := Read(io.MultiReader(strings.NewReader("MThd"), &failing{broken}), "file.mid")
	assert.ErrorIs(t, err, broken)
	_, err = Read(&failing{broken}, "file.mid")
	assert.ErrorIs(t, err, broken)
}

type failing struct{ err error }

func (f *failing) Read([]byte) (int, error) { return 0, f.err }
