//go:build cgo

package port

import (
	"fmt"
	"slices"
	"time"

	"gitlab.com/gomidi/midi/v2/drivers/rtmididrv/imported/rtmidi"
)

// inputs lists the inputs, and lets go of what listened to those that have
// gone.
func (d *rtDriver) inputs() ([]string, error) {
	if err := d.ready(); err != nil {
		return nil, err
	}
	if d.inList == nil {
		m, err := rtmidi.NewMIDIIn(rtmidi.APIUnspecified, clientName, 1)
		if err != nil {
			return nil, ErrNoMIDI
		}
		d.inList = m
	}
	names, err := portNames(d.inList)
	if err != nil {
		d.inList.Destroy()
		d.inList = nil
		return nil, err
	}
	for line := range d.lines {
		if !line.gone && (!slices.Contains(names, line.name) || !d.linked(line.own, line.name)) {
			line.lose(d.clock())
		}
		d.letGo(line)
	}
	return filter(names, notOwn), nil
}

// portNames lists every port; one that goes while it is asked for is "".
func portNames(m rtmidi.MIDI) ([]string, error) {
	n, err := m.PortCount()
	if err != nil {
		return nil, ErrNoMIDI
	}
	names := make([]string, n)
	for i := range names {
		if names[i], err = m.PortName(i); err != nil {
			return nil, ErrNoMIDI
		}
	}
	return names, nil
}

// lingering is how long a line whose port has gone is kept: what came last may
// still be on its way through a thread that is held up.
const lingering = time.Second

func (l *rtLine) lose(now time.Duration) { l.gone, l.since = true, now }

// letGo frees a line that nobody holds and nothing can arrive on.
func (d *rtDriver) letGo(line *rtLine) {
	if line.gone && line.in.Load() == nil && d.clock()-line.since >= lingering {
		delete(d.lines, line)
		line.midi.Close()
	}
}

func (d *rtDriver) OpenIn(name string, sink Sink) (In, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	names, err := d.inputs()
	if err != nil {
		return nil, err
	}
	if !slices.Contains(names, name) {
		return nil, fmt.Errorf("%q: %w", name, ErrGone)
	}
	line, err := d.line(name)
	if err != nil {
		return nil, err
	}
	in := &input{name: name, sink: sink}
	in.alive = func() bool { return d.hears(line) }
	in.release = func() { d.release(line) }
	line.in.Store(in)
	return in, nil
}

func (d *rtDriver) release(line *rtLine) {
	d.mu.Lock()
	defer d.mu.Unlock()
	line.in.Store(nil)
	d.letGo(line)
}

func (d *rtDriver) hears(line *rtLine) bool {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.ready() == nil && !line.gone
}

// line finds the silenced line of a port, or opens a new one.
func (d *rtDriver) line(name string) (*rtLine, error) {
	for line := range d.lines {
		switch taken := line.in.Load() != nil; {
		case line.name != name, line.gone && (taken || !d.relink(line)):
			continue
		case taken:
			return nil, fmt.Errorf("%q: %w", name, ErrBusy)
		}
		return line, nil
	}
	m, err := rtmidi.NewMIDIIn(rtmidi.APIUnspecified, clientName, 1)
	if err != nil {
		return nil, ErrNoMIDI
	}
	line := &rtLine{name: name, own: ownName("in"), midi: m}
	if line.name, err = line.listen(d.clock); err != nil {
		// Nothing is connected, so closing is safe.
		if m.Close() != nil {
			m.Destroy()
		}
		return nil, err
	}
	d.lines[line] = true
	if !awaitLink(d.watch, line.own, line.name) {
		line.lose(d.clock())
	}
	if line.gone || line.name != name { // kept silent, as it cannot be closed
		return nil, fmt.Errorf("%q: %w", name, ErrGone)
	}
	return line, nil
}

// relink connects a line again whose port was gone and is back, where RtMidi can:
// over JACK that is much sooner done than opening another.
func (d *rtDriver) relink(line *rtLine) bool {
	if !d.watch.relinks() {
		return false
	}
	opened, err := openPort(line.midi, line.name, line.own)
	if err == nil && opened == line.name && awaitLink(d.watch, line.own, line.name) {
		line.gone = false
	}
	return !line.gone
}

// listen opens l's port and gives the name of what was opened.
func (l *rtLine) listen(clock func() time.Duration) (string, error) {
	// Active sensing is wanted; system exclusive, clock and time code are not.
	if err := l.midi.IgnoreTypes(true, true, false); err != nil {
		return "", fmt.Errorf("%q: %w", l.name, ErrBusy)
	}
	err := l.midi.SetCallback(func(_ rtmidi.MIDIIn, midi []byte, _ float64) {
		if in := l.in.Load(); in != nil {
			in.deliver(clock, midi)
		}
	})
	if err != nil {
		return "", fmt.Errorf("%q: %w", l.name, ErrBusy)
	}
	return openPort(l.midi, l.name, l.own)
}

// openPort opens the port of a name; ours is called own. The system knows
// ports by number, and numbers shift, so it gives the name of what it opened.
func openPort(m rtmidi.MIDI, name, own string) (string, error) {
	names, err := portNames(m)
	if err != nil {
		return "", err
	}
	i := slices.Index(names, name)
	if i < 0 {
		return "", fmt.Errorf("%q: %w", name, ErrGone)
	}
	if err := m.OpenPort(i, own); err != nil {
		return "", fmt.Errorf("%q: %w", name, ErrBusy)
	}
	opened, _ := m.PortName(i) // "" if it has just gone
	return opened, nil
}
