// Package event holds the one thing that flows from a keyboard into the
// engine: a MIDI channel message with the time it arrived, and its bytes on a
// cable.
package event

import (
	"fmt"
	"time"
)

// Channel message kinds: the upper half of a status byte
// (MIDI 1.0 Detailed Specification 4.2.1, table "Channel Voice Messages").
const (
	NoteOff       = 0x80
	NoteOn        = 0x90
	KeyPressure   = 0xA0
	ControlChange = 0xB0
	ProgramChange = 0xC0
	ChannelPress  = 0xD0
	PitchBend     = 0xE0
)

// Controllers that matter to a pianist (same specification, table III).
const (
	Damper      = 64
	Sostenuto   = 66
	SoftPedal   = 67
	AllSoundOff = 120
	AllNotesOff = 123
	PolyOn      = 127 // last of the mode messages that also end all notes
)

// Percussion is the channel of drums and clicks on the wire, channel 10 to
// musicians; its key numbers are no pitches. HighBlock and LowBlock are two of its
// sounds (General MIDI System Level 1, "Percussion Key Map").
const (
	Percussion = 9
	HighBlock  = 76
	LowBlock   = 77
)

// Event is one channel message. At counts from the start of listening; it
// never runs backwards within a stream. Data1 and Data2 are 0 to 127 (Data2 is
// 0 for messages with a single data byte).
type Event struct {
	At     time.Duration
	Status uint8
	Data1  uint8
	Data2  uint8
}

// Kind is the message kind without its channel, such as NoteOn.
func (e Event) Kind() uint8 { return e.Status & 0xF0 }

// Channel is the channel on the wire, 0 to 15 (musicians count from 1).
func (e Event) Channel() uint8 { return e.Status & 0x0F }

// IsNoteOn reports a key struck. A note-on with velocity 0 is a release.
func (e Event) IsNoteOn() bool { return e.Kind() == NoteOn && e.Data2 > 0 }

// IsNoteOff reports a key released, in either of its two forms.
func (e Event) IsNoteOff() bool {
	return e.Kind() == NoteOff || e.Kind() == NoteOn && e.Data2 == 0
}

// EndsAllNotes reports a message that silences its channel: all sound off,
// all notes off, or one of the four mode changes that imply it.
func (e Event) EndsAllNotes() bool {
	return e.Kind() == ControlChange &&
		(e.Data1 == AllSoundOff || e.Data1 >= AllNotesOff && e.Data1 <= PolyOn)
}

// On makes a note-on for key (0 to 127) with velocity (1 to 127) on channel 0.
func On(at time.Duration, key, velocity uint8) Event {
	return Event{At: at, Status: NoteOn, Data1: key, Data2: velocity}
}

// Off makes a note-off for key (0 to 127) on channel 0.
func Off(at time.Duration, key uint8) Event {
	return Event{At: at, Status: NoteOff, Data1: key, Data2: 64}
}

// Pedal makes a damper pedal message with a value of 0 (up) to 127 (down).
func Pedal(at time.Duration, value uint8) Event {
	return Event{At: at, Status: ControlChange, Data1: Damper, Data2: value}
}

// DataBytes is how many data bytes follow a channel status: 1 or 2.
func DataBytes(status byte) int {
	if k := status & 0xF0; k == ProgramChange || k == ChannelPress {
		return 1
	}
	return 2
}

// Bytes is a channel message as it goes over a cable: two or three bytes, with
// its status. It fails for what is no channel message.
func (e Event) Bytes() ([]byte, error) {
	if e.Status < 0x80 || e.Status >= 0xF0 || e.Data1 >= 0x80 || e.Data2 >= 0x80 {
		return nil, fmt.Errorf("% X is no channel message", []byte{e.Status, e.Data1, e.Data2})
	}
	return []byte{e.Status, e.Data1, e.Data2}[:1+DataBytes(e.Status)], nil
}
