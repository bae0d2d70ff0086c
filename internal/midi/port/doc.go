// Package midiio is the way MIDI comes in and goes out: Standard MIDI Files,
// the bytes of a cable, and live ports.
//
//   - Read, ReadFile and Write handle Standard MIDI Files.
//   - Decoder turns the bytes of a cable into channel messages.
//   - Driver, In and Out are live ports; NewRtMidi gives the ports of this
//     machine, NewScript gives ports made of memory for tests.
//   - Choose picks a port by any unambiguous part of its name.
//   - Session keeps one input open: it tells when the port goes away, waits,
//     and takes it up again when it is back.
//
// Files and Decoder are pure. Only Session starts a goroutine (one), and only
// a driver calls from a thread of its own.
package port
