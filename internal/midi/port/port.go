package port

import (
	"errors"
	"time"

	"undersong/internal/midi/event"
)

// Driver gives the MIDI ports of one system. Its rules, which every driver
// keeps and one test suite checks:
//
//  1. A driver is a value; it holds no state that another one shares. Its
//     methods may be called from any goroutine.
//  2. Inputs and Outputs list the ports there are now, in the system's order,
//     and never this program's own. They are cheap enough to be asked a few
//     times a second. No port at all is an empty list and no error.
//  3. A port is opened by its full name, as listed. Each open input has one
//     sink, and a port cannot be opened for input twice at a time.
//  4. The sink is called from a thread of the driver, one call at a time, with
//     the driver's clock read as the bytes come in. Times never run backwards.
//     Bytes come in order, but a call may hold a part of a message or several.
//     Active sensing is passed on; system exclusive, clock and time code may
//     be left out.
//  5. The sink may not keep the slice, may not block for long, and may not
//     call the driver or close the input.
//  6. OpenIn that fails never calls its sink. After In.Close has returned the
//     sink is never called again.
//  7. A port that goes away is missing from the lists, and once they have been
//     asked for, what was open on it is no longer Alive, even if a port of that
//     name is back already. It stays so: it must be closed and opened again.
//  8. Out.Send hands a message over at once and may be called from any
//     goroutine. Out.Close first ends every note it left sounding: releases and
//     pedals up on the channels used, all notes off on all channels.
//  9. Close closes everything that is open; later calls fail with ErrClosed.
//     Closing twice does nothing.
//  10. When the MIDI system itself has ended, every call fails with ErrStopped,
//     but Close, and nothing that is open is Alive.
type Driver interface {
	Name() string // what players know it as, such as "JACK"
	Inputs() ([]string, error)
	Outputs() ([]string, error)
	OpenIn(name string, sink Sink) (In, error)
	OpenOut(name string) (Out, error)
	Close() error
}

// Sink takes bytes that arrived at a time.
type Sink func(at time.Duration, midi []byte)

// In is an open input.
type In interface {
	Name() string
	Alive() bool
	Close() error
}

// Out is an open output.
type Out interface {
	Name() string
	Alive() bool
	Send(event.Event) error
	Close() error
}

// closeAll closes outputs first: JACK may drop a period when a client leaves, and
// that must not be the one with the releases.
func closeAll(outs []*output, ins []*input) error {
	var failed error
	for _, out := range outs {
		failed = errors.Join(failed, out.Close())
	}
	for _, in := range ins {
		failed = errors.Join(failed, in.Close())
	}
	return failed
}

// Errors of drivers. They are wrapped; use errors.Is.
var (
	// ErrNoLivePorts is every answer of a build without cgo.
	ErrNoLivePorts = errors.New("this build has no live MIDI (built without cgo); review, hear and the demo work; for live ports build with CGO_ENABLED=1 and a C++ compiler")
	// ErrNoMIDI means that the machine has no MIDI system that answers.
	ErrNoMIDI = errors.New("no MIDI system answers on this machine")
	// ErrStopped means that the MIDI system has ended while it was used, as a JACK
	// server may. This process cannot use it again.
	ErrStopped = errors.New("has stopped: start it, then begin again")
	// ErrGone means that no port of the name is there (any more).
	ErrGone = errors.New("the port is not there; plug the instrument in, switch it on and try again")
	// ErrBusy means that the port cannot be opened.
	ErrBusy = errors.New("the port does not open; close other programs that use it and try again")
	// ErrClosed means a call to what has been closed.
	ErrClosed = errors.New("already closed")
)

// Monotonic gives a clock that counts from now, for NewRtMidi and Session.
func Monotonic() func() time.Duration {
	zero := time.Now()
	return func() time.Duration { return time.Since(zero) }
}
