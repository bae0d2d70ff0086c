//go:build cgo

package port

import (
	"fmt"
	"os"
	"regexp"
	"sync"
	"sync/atomic"
	"time"

	"gitlab.com/gomidi/midi/v2/drivers/rtmididrv/imported/rtmidi"
)

// This is the only file that touches RtMidi. It uses the binding underneath
// gitlab.com/gomidi/midi/v2/drivers/rtmididrv, not that driver itself, which
// registers itself on import, rounds the gaps between messages to whole
// milliseconds and adds them up, and throws the callback's error away.
//
// Known about the binding (v2.3.24), and dealt with here:
//
//   - Closing an input takes its callback out of a table before it stops the
//     input; a message in between ends the program with a nil pointer. So an
//     input is only silenced while its port is there, kept, and used again if
//     the port is opened again. It is let go when its port has gone.
//   - Over JACK, closing an output frees what JACK's thread may still read. The
//     build for JACK has the client deactivated first: .ci/jack/jackonly.h.
//   - The text of an error is read from freed memory. It is never shown.
//   - RtMidi and ALSA write to standard error by themselves. An ALSA that does
//     not answer is found out before they are asked.
//   - An error stays in the object. After one the object is dropped.

// clientName is what other programs see.
const clientName = "undersong"

// ownPort knows the ports of this program, and of a second copy of it.
var ownPort = regexp.MustCompile(`^` + clientName + `(-\d+)?:`)

// cablePace is how long a message of three bytes takes on a cable (MIDI 1.0
// Detailed Specification 4.2.1: 31,250 baud). Faster, a long burst overruns
// what is behind RtMidi: one period of JACK at 64 frames holds some 40
// messages and drops the rest.
const cablePace = 960 * time.Microsecond

const alsaDevice = "/dev/snd/seq"

// NewRtMidi gives the live ports of this machine: ALSA or JACK, CoreMIDI,
// Windows MIDI, as RtMidi was built. clock stamps what comes in; it must not
// run backwards and must be safe for concurrent use. Nothing is asked of the
// system before the first call.
func NewRtMidi(clock func() time.Duration) Driver {
	return &rtDriver{clock: clock, lines: map[*rtLine]bool{}, outs: map[*output]bool{}}
}

type rtDriver struct {
	clock func() time.Duration

	mu      sync.Mutex
	watch   watch         // nil until the system has been asked something
	inList  rtmidi.MIDIIn // asked for lists, never opened
	outList rtmidi.MIDIOut
	lines   map[*rtLine]bool
	outs    map[*output]bool
	closed  bool
}

// rtLine is an RtMidi input that listens to a port. in is who listens now.
type rtLine struct {
	name, own string // of the port, and ours
	midi      rtmidi.MIDIIn
	in        atomic.Pointer[input]
	gone      bool          // its port is gone: deaf for good
	since     time.Duration // when that was seen
}

func (d *rtDriver) Name() string {
	for _, api := range rtmidi.CompiledAPI() {
		switch api {
		case rtmidi.APILinuxALSA:
			return "ALSA"
		case rtmidi.APIUnixJack:
			return "JACK"
		case rtmidi.APIMacOSXCore:
			return "CoreMIDI"
		case rtmidi.APIWindowsMM:
			return "Windows MIDI"
		}
	}
	return "RtMidi"
}

func (d *rtDriver) Inputs() ([]string, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.inputs()
}

func (d *rtDriver) Outputs() ([]string, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if err := d.ready(); err != nil {
		return nil, err
	}
	if d.outList == nil {
		m, err := rtmidi.NewMIDIOut(rtmidi.APIUnspecified, clientName)
		if err != nil {
			return nil, ErrNoMIDI
		}
		d.outList = m
	}
	names, err := portNames(d.outList)
	if err != nil {
		d.outList.Destroy()
		d.outList = nil
		return nil, err
	}
	return filter(names, notOwn), nil
}

func notOwn(name string) bool { return name != "" && !ownPort.MatchString(name) }

// ready reports whether the system can be asked.
func (d *rtDriver) ready() error {
	switch {
	case d.closed:
		return ErrClosed
	case d.watch == nil:
		return d.begin()
	case d.watch.stopped():
		return fmt.Errorf("the %s server %w", d.Name(), ErrStopped)
	}
	return nil
}

// begin finds out whether there is a system at all.
func (d *rtDriver) begin() (err error) {
	if d.Name() == "ALSA" {
		err = findALSA()
	}
	if err == nil {
		d.watch, err = newWatch()
	}
	return err
}

func findALSA() error {
	f, err := os.OpenFile(alsaDevice, os.O_RDWR, 0)
	switch {
	case os.IsNotExist(err):
		return fmt.Errorf("%w: there is no %s; plug the instrument in, or load ALSA's sequencer (sudo modprobe snd-seq)", ErrNoMIDI, alsaDevice)
	case err != nil:
		return fmt.Errorf("%w: %v; your user may have to join the group audio", ErrNoMIDI, err)
	}
	return f.Close()
}

// linked reports that our port is connected with another, as far as can be told.
func (d *rtDriver) linked(own, other string) bool {
	joined, sure := d.watch.joined(own, other)
	return joined || !sure
}

func (d *rtDriver) OpenOut(name string) (Out, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if err := d.ready(); err != nil {
		return nil, err
	}
	if !notOwn(name) {
		return nil, fmt.Errorf("%q: %w", name, ErrGone)
	}
	m, err := rtmidi.NewMIDIOut(rtmidi.APIUnspecified, clientName)
	if err != nil {
		return nil, ErrNoMIDI
	}
	own := ownName("out")
	opened, err := openPort(m, name, own)
	if err == nil && (opened != name || !awaitLink(d.watch, own, name)) {
		err = fmt.Errorf("%q: %w", name, ErrGone)
	}
	if err != nil {
		m.Destroy()
		return nil, err
	}
	out := &output{name: name, pace: cablePace}
	out.alive = func() bool { return d.reaches(own, name) }
	stopped := d.watch.stopped
	out.raw = func(b []byte) error {
		// To a JACK that has stopped RtMidi would send for ever, once its queue is full.
		if stopped() || m.SendMessage(b) != nil {
			return fmt.Errorf("%q: %w", name, ErrGone)
		}
		return nil
	}
	out.release = func() error { return d.releaseOut(out, m) }
	d.outs[out] = true
	return out, nil
}

func (d *rtDriver) releaseOut(out *output, m rtmidi.MIDIOut) error {
	d.mu.Lock()
	delete(d.outs, out)
	d.mu.Unlock()
	if !d.watch.stopped() { // else it is left: JACK may wait for its server
		m.Destroy()
	}
	return nil
}

func (d *rtDriver) reaches(own, name string) bool {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.ready() == nil && d.linked(own, name)
}

// Close silences every input and closes every output. Inputs whose port is
// still there are left to the end of the program, see above.
func (d *rtDriver) Close() error {
	d.mu.Lock()
	if d.closed {
		d.mu.Unlock()
		return nil
	}
	if d.inList != nil {
		_, _ = d.inputs() // for the lines it lets go
	}
	d.closed = true
	ins, outs := d.open()
	d.mu.Unlock()
	failed := closeAll(outs, ins)
	d.mu.Lock()
	defer d.mu.Unlock()
	d.dropLists()
	return failed
}

func (d *rtDriver) dropLists() {
	if d.watch == nil || d.watch.stopped() { // as in releaseOut
		return
	}
	if d.inList != nil {
		d.inList.Destroy()
	}
	if d.outList != nil {
		d.outList.Destroy()
	}
	d.inList, d.outList = nil, nil
	d.watch.close()
}

func (d *rtDriver) open() (ins []*input, outs []*output) {
	for line := range d.lines {
		if in := line.in.Load(); in != nil {
			ins = append(ins, in)
		}
	}
	for out := range d.outs {
		outs = append(outs, out)
	}
	return ins, outs
}
