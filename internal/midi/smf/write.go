package smf

import (
	"cmp"
	"encoding/binary"
	"fmt"
	"io"
	"math/bits"
	"slices"

	"undersong/internal/midi/event"
)

// DefaultTicks is the division Write uses unless told otherwise: fine enough
// for triplets and for one millisecond at any tempo above 125 quarters a
// minute.
const DefaultTicks = 480

// maxNumber is the largest variable-length number (Standard MIDI Files 1.1).
const maxNumber = 0x0FFFFFFF

// WriteOptions says how Write lays out time. The zero value is 480 ticks a
// quarter, 120 quarters a minute, no meter and no key.
type WriteOptions struct {
	TicksPerQuarter int // 1 to 32767, 0 for DefaultTicks
	// Tempos, Meters and Keys are each in order of Tick; their At is not read.
	Tempos []TempoChange
	Meters []MeterChange
	Keys   []KeyChange
}

// Track is one named track to be written: channel messages with times from 0
// to MaxLength. They need not be in order; those of one time keep theirs.
type Track struct {
	Name   string
	Events []event.Event
}

// Write writes a Standard MIDI File of format 1: a first track with the tempo,
// meter and key map, then the given ones. Each time is moved to the nearest
// tick. It writes nothing and gives an error where an option, a time or a
// message is out of its range.
func Write(w io.Writer, o WriteOptions, tracks ...Track) error {
	if o.TicksPerQuarter == 0 {
		o.TicksPerQuarter = DefaultTicks
	}
	d := Division{TicksPerQuarter: o.TicksPerQuarter}
	if !d.valid() {
		return fmt.Errorf("writing MIDI: %d ticks a quarter is outside 1 to 32767", o.TicksPerQuarter)
	}
	if len(tracks) > 0xFFFF-1 {
		return fmt.Errorf("writing MIDI: %d tracks are more than a file can hold", len(tracks))
	}
	file := []byte("MThd\x00\x00\x00\x06\x00\x01")
	file = binary.BigEndian.AppendUint16(file, uint16(len(tracks)+1))
	file = binary.BigEndian.AppendUint16(file, uint16(o.TicksPerQuarter))
	first, err := mapTrack(o)
	if err != nil {
		return fmt.Errorf("writing MIDI: %w", err)
	}
	file = appendChunk(file, first)
	clock := newTimeline(d, o.Tempos)
	for _, t := range tracks {
		body, err := trackBody(t, clock)
		if err != nil {
			return fmt.Errorf("writing MIDI track %q: %w", t.Name, err)
		}
		file = appendChunk(file, body)
	}
	_, err = w.Write(file)
	return err
}

// message is one event of a track under way: its tick and all its bytes.
type message struct {
	tick  int64
	bytes []byte
}

// mapTrack is the track of tempos, meters and keys.
func mapTrack(o WriteOptions) ([]byte, error) {
	var all []message
	for _, m := range o.Meters {
		den := bits.TrailingZeros(uint(m.Den))
		if m.Num < 1 || m.Num > 255 || m.Den < 1 || m.Den > 128 || m.Den != 1<<den {
			return nil, fmt.Errorf("no meter %d/%d in a MIDI file", m.Num, m.Den)
		}
		// 24 MIDI clocks make a quarter; the click falls on the written beat.
		all = append(all, message{m.Tick, []byte{0xFF, metaMeter, 4, byte(m.Num), byte(den), byte(max(1, 96/m.Den)), 8}})
	}
	for _, k := range o.Keys {
		if k.Sharps < -7 || k.Sharps > 7 {
			return nil, fmt.Errorf("a key signature of %d sharps is outside -7 to 7", k.Sharps)
		}
		minor := byte(0)
		if k.Minor {
			minor = 1
		}
		all = append(all, message{k.Tick, []byte{0xFF, metaKey, 2, byte(int8(k.Sharps)), minor}})
	}
	if !slices.IsSortedFunc(o.Tempos, func(a, b TempoChange) int { return cmp.Compare(a.Tick, b.Tick) }) {
		return nil, fmt.Errorf("the tempos are not in order of time")
	}
	for _, t := range o.Tempos {
		us := t.MicrosPerQuarter
		if us < 1 || us > 0xFFFFFF {
			return nil, fmt.Errorf("a quarter of %d microseconds is outside 1 to %d", us, 0xFFFFFF)
		}
		all = append(all, message{t.Tick, []byte{0xFF, metaTempo, 3, byte(us >> 16), byte(us >> 8), byte(us)}})
	}
	return encode(all)
}

// trackBody is the body of one named track.
func trackBody(t Track, clock *timeline) ([]byte, error) {
	name := appendNumber(nil, len(t.Name))
	all := make([]message, 0, len(t.Events)+1)
	all = append(all, message{0, append(append([]byte{0xFF, metaTrackName}, name...), t.Name...)})
	for _, e := range t.Events {
		b, err := e.Bytes()
		if err != nil {
			return nil, err
		}
		if e.At < 0 || e.At > MaxLength {
			return nil, fmt.Errorf("an event at %v is outside 0 to %v", e.At, MaxLength)
		}
		all = append(all, message{clock.tick(e.At), b})
	}
	return encode(all)
}

// encode puts messages in order, each behind its delta-time, and ends the
// track.
func encode(all []message) ([]byte, error) {
	slices.SortStableFunc(all, func(a, b message) int { return cmp.Compare(a.tick, b.tick) })
	var body []byte
	var last int64
	for _, m := range all {
		delta := m.tick - last
		if delta < 0 || delta > maxNumber {
			return nil, fmt.Errorf("a step of %d ticks is outside 0 to %d", delta, maxNumber)
		}
		body = appendNumber(body, int(delta))
		body = append(body, m.bytes...)
		last = m.tick
	}
	return append(body, 0, 0xFF, metaEndOfTrack, 0), nil
}

func appendChunk(file, body []byte) []byte {
	file = append(file, "MTrk"...)
	file = binary.BigEndian.AppendUint32(file, uint32(len(body)))
	return append(file, body...)
}

// appendNumber appends n (0 to maxNumber) as a variable-length number.
func appendNumber(b []byte, n int) []byte {
	for shift := 21; shift > 0; shift -= 7 {
		if n>>shift > 0 {
			b = append(b, byte(n>>shift)&0x7F|0x80)
		}
	}
	return append(b, byte(n)&0x7F)
}
