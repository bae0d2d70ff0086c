package port

import (
	"errors"
	"math/bits"
	"sync"
	"time"

	"undersong/internal/midi/event"
)

// output is the part of an Out that every driver shares: one message at a
// time, and silence at the end.
type output struct {
	name    string
	alive   func() bool
	raw     func(midi []byte) error
	release func() error
	pace    time.Duration // between messages sent in one burst

	mu     sync.Mutex
	on     sounding
	closed bool
}

func (o *output) Name() string { return o.name }

// Alive is not asked of the driver once the output is closed.
func (o *output) Alive() bool {
	o.mu.Lock()
	open := !o.closed
	o.mu.Unlock()
	return open && o.alive()
}

func (o *output) Send(e event.Event) error {
	b, err := e.Bytes()
	if err != nil {
		return err
	}
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.closed {
		return ErrClosed
	}
	o.on.note(e)
	return o.raw(b)
}

func (o *output) Close() error {
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.closed {
		return nil
	}
	o.closed = true
	var failed error
	for _, e := range o.on.silence() {
		b := []byte{e.Status, e.Data1, e.Data2}
		if failed = o.raw(b); failed != nil {
			break
		}
		time.Sleep(o.pace)
	}
	return errors.Join(failed, o.release())
}

// sounding remembers the notes an output has left on, and the channels it has
// used. All-notes-off alone would not do: a receiver may ignore it while Omni
// is on, and a held pedal outlasts it (MIDI 1.0 Detailed Specification 4.2.1).
type sounding struct {
	notes [16][2]uint64
	used  [16]bool
}

func (s *sounding) note(e event.Event) {
	ch, half, bit := e.Channel(), e.Data1>>6&1, uint64(1)<<(e.Data1&63)
	s.used[ch] = true
	switch {
	case e.IsNoteOn():
		s.notes[ch][half] |= bit
	case e.IsNoteOff():
		s.notes[ch][half] &^= bit
	}
}

// silence is what ends everything: on each channel used the release of every
// note that is on and the three pedals up, then all notes off on all channels.
func (s *sounding) silence() []event.Event {
	var out []event.Event
	for ch := range uint8(16) {
		if s.used[ch] {
			out = append(out, s.silenceOf(ch)...)
		}
	}
	for ch := range uint8(16) {
		out = append(out, event.Event{Status: event.ControlChange | ch, Data1: event.AllNotesOff})
	}
	return out
}

func (s *sounding) silenceOf(ch uint8) []event.Event {
	var out []event.Event
	for half, set := range s.notes[ch] {
		for ; set != 0; set &= set - 1 {
			key := uint8(half<<6 + bits.TrailingZeros64(set))
			out = append(out, event.Event{Status: event.NoteOff | ch, Data1: key, Data2: 64})
		}
	}
	for _, pedal := range []uint8{event.Damper, event.Sostenuto, event.SoftPedal} {
		out = append(out, event.Event{Status: event.ControlChange | ch, Data1: pedal})
	}
	return out
}
