// Package port is where live MIDI comes in and goes out.
//
//   - Driver, In and Out are live ports; NewRtMidi gives the ports of this
//     machine, NewScript gives ports made of memory for tests.
//   - Choose picks a port by any unambiguous part of its name.
//   - Session keeps one input open: it tells when the port goes away, waits,
//     and takes it up again when it is back.
//
// Only Session starts a goroutine (one), and only a driver calls from a thread
// of its own.
package port
