package smf

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"undersong/internal/midi/event"
)

// Meta event types that Read takes in (Standard MIDI Files 1.1).
const (
	metaTrackName  = 0x03
	metaLyric      = 0x05
	metaEndOfTrack = 0x2F
	metaTempo      = 0x51
	metaMeter      = 0x58
	metaKey        = 0x59
)

// readTrack reads the events from pos up to the end of the track, and leaves
// pos behind the track's chunk.
func (f *smfReader) readTrack() error {
	f.tick, f.status = 0, 0
	f.p.TrackNames = append(f.p.TrackNames, "")
	for f.pos < f.end {
		ended, err := f.readEvent()
		if err != nil {
			return err
		}
		f.last = max(f.last, f.tick)
		if ended {
			f.pos = f.end
			return nil
		}
	}
	if f.cut {
		return f.fail(f.end, fmt.Sprintf("the file ends before track %d does", f.track+1), adviceExport)
	}
	return nil // a whole track that only lacks its end-of-track event
}

// readEvent reads one delta-time and its event, and reports the end of the
// track.
func (f *smfReader) readEvent() (ended bool, err error) {
	delta, err := f.number()
	if err != nil {
		return false, err
	}
	if f.events++; f.events > MaxEvents {
		return false, tooBig(f.name, fmt.Sprintf("holds more than %d events", MaxEvents))
	}
	f.tick += int64(delta)
	if f.pos == f.end {
		return false, f.cutShort()
	}
	switch b := f.data[f.pos]; {
	case b == 0xFF:
		f.pos++
		f.status = 0
		return f.meta()
	case b == 0xF0 || b == 0xF7:
		f.pos++
		f.status = 0
		_, err := f.block()
		return false, err
	case b > 0xF0:
		return false, f.fail(f.pos, fmt.Sprintf("%02X in track %d has no place in a MIDI file", b, f.track+1), adviceExport)
	default:
		return false, f.channelMessage(b)
	}
}

// channelMessage reads a message that begins with the byte b at pos: a status,
// or data under running status.
func (f *smfReader) channelMessage(b byte) error {
	if b >= 0x80 {
		f.status = b
		f.pos++
	}
	if f.status == 0 {
		return f.fail(f.pos, fmt.Sprintf("%02X in track %d stands where an event should begin", b, f.track+1), adviceExport)
	}
	e := event.Event{Status: f.status}
	n := event.DataBytes(f.status)
	if f.end-f.pos < n {
		return f.cutShort()
	}
	for i, d := range f.data[f.pos : f.pos+n] {
		if d >= 0x80 {
			return f.fail(f.pos+i, fmt.Sprintf("%02X in track %d is inside another event", d, f.track+1), adviceExport)
		}
	}
	e.Data1 = f.data[f.pos]
	if n == 2 {
		e.Data2 = f.data[f.pos+1]
	}
	f.pos += n
	f.merged = append(f.merged, placed{tick: f.tick, seq: int32(len(f.merged)), track: int32(f.track), event: e})
	return nil
}

// meta reads a meta event from its type byte on.
func (f *smfReader) meta() (ended bool, err error) {
	if f.pos == f.end {
		return false, f.cutShort()
	}
	kind := f.data[f.pos]
	f.pos++
	body, err := f.block()
	if err != nil {
		return false, err
	}
	switch kind {
	case metaEndOfTrack:
		return true, nil
	case metaTrackName:
		if f.p.TrackNames[f.track] == "" {
			f.p.TrackNames[f.track] = text(body)
		}
	case metaLyric:
		f.p.Lyrics = append(f.p.Lyrics, Lyric{f.tick, f.track, text(body)})
	case metaTempo:
		f.addTempo(body)
	case metaMeter:
		f.addMeter(body)
	case metaKey:
		f.addKey(body)
	}
	return false, nil
}

func (f *smfReader) addTempo(b []byte) {
	if len(b) < 3 {
		return
	}
	if us := int(b[0])<<16 | int(b[1])<<8 | int(b[2]); us > 0 {
		f.p.Tempos = append(f.p.Tempos, TempoChange{Tick: f.tick, MicrosPerQuarter: us})
	}
}

func (f *smfReader) addMeter(b []byte) {
	if len(b) < 2 || b[0] == 0 || b[1] > 7 {
		return
	}
	f.p.Meters = append(f.p.Meters, MeterChange{Tick: f.tick, Num: int(b[0]), Den: 1 << b[1]})
}

func (f *smfReader) addKey(b []byte) {
	if len(b) < 2 || b[1] > 1 {
		return
	}
	if sf := int(int8(b[0])); sf >= -7 && sf <= 7 {
		f.p.Keys = append(f.p.Keys, KeyChange{Tick: f.tick, Sharps: sf, Minor: b[1] == 1})
	}
}

// block reads a length and that many bytes.
func (f *smfReader) block() ([]byte, error) {
	n, err := f.number()
	if err != nil {
		return nil, err
	}
	if int64(f.end-f.pos) < int64(n) {
		return nil, f.cutShort()
	}
	b := f.data[f.pos : f.pos+int(n)]
	f.pos += int(n)
	return b, nil
}

// number reads a variable-length number: seven bits a byte, high first, the
// top bit set on all but the last, four bytes at most.
func (f *smfReader) number() (uint32, error) {
	var n uint32
	for i := range 4 {
		if f.pos+i >= f.end {
			return 0, f.cutShort()
		}
		b := f.data[f.pos+i]
		n = n<<7 | uint32(b&0x7F)
		if b < 0x80 {
			f.pos += i + 1
			return n, nil
		}
	}
	return 0, f.fail(f.pos, fmt.Sprintf("a number in track %d is longer than four bytes", f.track+1), adviceExport)
}

func (f *smfReader) cutShort() error {
	return f.fail(f.end, fmt.Sprintf("track %d ends in the middle of an event", f.track+1), adviceExport)
}

// text is a name from a file, which may be in any 8-bit code: what is not
// UTF-8 is taken for Latin-1.
func text(b []byte) string {
	if utf8.Valid(b) {
		return strings.TrimRight(string(b), "\x00")
	}
	runes := make([]rune, len(b))
	for i, c := range b {
		runes[i] = rune(c)
	}
	return strings.TrimRight(string(runes), "\x00")
}
