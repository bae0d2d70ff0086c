package smf

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"io"
	"time"

	"undersong/internal/midi/event"
	"undersong/internal/text/visible"
)

// The reader is our own. gitlab.com/gomidi/midi/v2/smf (v2.3.24) was tried: it
// refuses a header longer than six bytes, makes room for whatever length a
// file claims before reading it (a 29-byte file takes 256 MB), takes a short
// read for a whole one, gives tempo as rounded beats a minute, and its errors
// do not say where in the file they are.

// What to do about a broken file, said at the end of its error.
const (
	adviceExport = "the file is damaged or cut short: export it again"
	adviceOther  = "export it again as a Standard MIDI File of format 0 or 1"
)

// Read reads a Standard MIDI File of format 0 or 1, bare or in a RIFF (RMID)
// wrapper. name is what errors call it. Errors are *FileError, or the error of
// r. A file of anything else is refused after its first bytes; one beyond
// MaxFileBytes, MaxEvents or MaxLength is refused too. A tempo of zero, and
// tempo, meter and key events that are too short or out of range, are passed
// over; so is everything behind a track's end or the last track.
func Read(r io.Reader, name string) (*Performance, error) {
	data, err := readAll(r, name)
	if err != nil {
		return nil, err
	}
	return (&smfReader{name: name, data: data}).read()
}

// readAll looks at the first bytes before it takes in the rest, so that a huge
// file of something else costs nothing.
func readAll(r io.Reader, name string) ([]byte, error) {
	head := make([]byte, 12)
	n, err := io.ReadFull(r, head)
	if err != nil && err != io.EOF && err != io.ErrUnexpectedEOF {
		return nil, fmt.Errorf("reading %s: %w", visible.Name(name), err)
	}
	head = head[:n]
	if !isMIDI(head) {
		return nil, &FileError{Name: name, Offset: -1,
			Reason: "is not a Standard MIDI File (it does not begin with MThd)",
			Advice: "name a file that ends in .mid"}
	}
	whole := bytes.NewBuffer(head)
	if _, err := whole.ReadFrom(io.LimitReader(r, MaxFileBytes+1-int64(n))); err != nil {
		return nil, fmt.Errorf("reading %s: %w", visible.Name(name), err)
	}
	if whole.Len() > MaxFileBytes {
		return nil, tooBig(name, fmt.Sprintf("is larger than %d MiB", MaxFileBytes>>20))
	}
	return whole.Bytes(), nil
}

func tooBig(name, reason string) error {
	return &FileError{Name: name, Offset: -1, Reason: reason,
		Advice: "this is more than a piano performance; export only the piano's track"}
}

func isMIDI(head []byte) bool {
	return bytes.HasPrefix(head, []byte("MThd")) || isRMID(head)
}

func isRMID(head []byte) bool {
	return len(head) >= 12 && string(head[:4]) == "RIFF" && string(head[8:12]) == "RMID"
}

// smfReader walks over the bytes of one file. pos and end are offsets into
// data; end is where the current track's bytes stop.
type smfReader struct {
	name     string
	data     []byte
	pos, end int
	cut      bool // the track claims more bytes than the file has
	track    int
	tick     int64
	status   byte // running status, 0 for none

	p      Performance
	events int // of all kinds
	merged []placed
	last   int64 // last tick of any track
}

// placed is a channel message with what is needed to merge the tracks.
type placed struct {
	tick  int64
	seq   int32
	track int32
	event event.Event
}

func (f *smfReader) read() (*Performance, error) {
	if isRMID(f.data) {
		if err := f.unwrap(); err != nil {
			return nil, err
		}
	}
	tracks, err := f.header()
	if err != nil {
		return nil, err
	}
	for f.track = 0; f.track < tracks; f.track++ {
		if err := f.nextTrack(tracks); err != nil {
			return nil, err
		}
		if err := f.readTrack(); err != nil {
			return nil, err
		}
	}
	if err := f.finish(); err != nil {
		return nil, err
	}
	return &f.p, nil
}

// unwrap moves to the "data" chunk of a RIFF file of type RMID.
func (f *smfReader) unwrap() error {
	for pos := 12; pos+8 <= len(f.data); {
		size := int64(binary.LittleEndian.Uint32(f.data[pos+4:]))
		if string(f.data[pos:pos+4]) == "data" && bytes.HasPrefix(f.data[pos+8:], []byte("MThd")) {
			f.pos = pos + 8
			return nil
		}
		next := int64(pos) + 8 + size + size&1
		if next > int64(len(f.data)) {
			break
		}
		pos = int(next)
	}
	return f.fail(0, "is a RIFF file without MIDI data in it", adviceOther)
}

// header reads MThd and gives the number of tracks.
func (f *smfReader) header() (int, error) {
	start := f.pos
	if len(f.data)-start < 14 {
		return 0, f.fail(len(f.data), "the header ends too soon", adviceExport)
	}
	size := int64(binary.BigEndian.Uint32(f.data[start+4:]))
	if size < 6 || int64(start)+8+size > int64(len(f.data)) {
		return 0, f.fail(start+4, fmt.Sprintf("the header cannot be %d bytes long", size), adviceExport)
	}
	format := int(binary.BigEndian.Uint16(f.data[start+8:]))
	tracks := int(binary.BigEndian.Uint16(f.data[start+10:]))
	switch {
	case format == 2:
		return 0, f.fail(start+8, "this is a file of format 2, a set of separate patterns", adviceOther)
	case format > 2:
		return 0, f.fail(start+8, fmt.Sprintf("there is no MIDI file format %d", format), adviceOther)
	case tracks == 0:
		return 0, f.fail(start+10, "the file has no tracks", adviceExport)
	}
	f.p.Format = format
	f.pos = start + 8 + int(size)
	return tracks, f.division(start + 12)
}

func (f *smfReader) division(at int) error {
	hi, lo := f.data[at], f.data[at+1]
	d := Division{TicksPerQuarter: int(hi)<<8 | int(lo)}
	if hi >= 0x80 {
		d = Division{FramesPerSecond: -int(int8(hi)), TicksPerFrame: int(lo)}
	}
	if !d.valid() {
		return f.fail(at, fmt.Sprintf("the time division %02X %02X has no meaning", hi, lo), adviceExport)
	}
	f.p.Division, f.p.TicksPerQuarter = d, d.TicksPerQuarter
	return nil
}

// nextTrack moves past chunks of other kinds to the next MTrk.
func (f *smfReader) nextTrack(tracks int) error {
	for {
		if len(f.data)-f.pos < 8 {
			return f.fail(len(f.data), fmt.Sprintf("the file ends before track %d of %d", f.track+1, tracks), adviceExport)
		}
		kind := string(f.data[f.pos : f.pos+4])
		size := int64(binary.BigEndian.Uint32(f.data[f.pos+4:]))
		f.pos += 8
		end := int64(f.pos) + size
		if kind == "MTrk" {
			f.cut = end > int64(len(f.data))
			f.end = int(min(end, int64(len(f.data))))
			return nil
		}
		if end > int64(len(f.data)) {
			return f.fail(f.pos-8, fmt.Sprintf("no track begins here, where track %d of %d should", f.track+1, tracks), adviceExport)
		}
		f.pos = int(end)
	}
}

// finish merges the tracks and turns ticks into time.
func (f *smfReader) finish() error {
	sortPlaced(f.merged)
	sortMap(&f.p)
	clock := newTimeline(f.p.Division, f.p.Tempos)
	if _, ok := clock.at(f.last); !ok {
		return tooBig(f.name, fmt.Sprintf("lasts longer than %d hours", MaxLength/time.Hour))
	}
	clock.stamp(&f.p)
	clock.rewind()
	n := len(f.merged)
	f.p.Events, f.p.Ticks, f.p.Tracks = make([]event.Event, n), make([]int64, n), make([]int, n)
	for i, m := range f.merged {
		m.event.At, _ = clock.at(m.tick)
		f.p.Events[i], f.p.Ticks[i], f.p.Tracks[i] = m.event, m.tick, int(m.track)
	}
	f.p.End, _ = clock.at(f.last)
	return nil
}

func (f *smfReader) fail(at int, reason, advice string) error {
	return &FileError{Name: f.name, Offset: int64(at), Reason: reason, Advice: advice}
}
