package port

import (
	"fmt"
	"slices"
	"sync"
	"time"

	"undersong/internal/midi/event"
)

// Script is a driver whose ports are made of memory, for tests. The test plugs
// instruments in and out, plays them, and reads what was sent to them. It also
// keeps the rules of Driver.
type Script struct {
	clock func() time.Duration

	mu     sync.Mutex
	ports  []string          // plugged in, in that order
	ins    map[string]*input // open and alive
	outs   map[*output]string
	sent   map[string][]event.Event
	closed bool
}

// NewScript makes a driver without ports. clock stamps what is played.
func NewScript(clock func() time.Duration) *Script {
	return &Script{clock: clock, ins: map[string]*input{}, outs: map[*output]string{}, sent: map[string][]event.Event{}}
}

// Plug makes an instrument appear, as an input and an output of that name.
func (s *Script) Plug(name string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if !slices.Contains(s.ports, name) {
		s.ports = append(s.ports, name)
	}
}

// Unplug makes it go away. What was open on it stays dead.
func (s *Script) Unplug(name string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.ports = slices.DeleteFunc(s.ports, func(n string) bool { return n == name })
	delete(s.ins, name)
	for out, n := range s.outs {
		if n == name {
			delete(s.outs, out)
		}
	}
}

// Play sends bytes from an instrument, and returns when the sink has taken
// them. They are lost if nobody listens.
func (s *Script) Play(name string, midi ...byte) {
	s.mu.Lock()
	in := s.ins[name]
	s.mu.Unlock()
	if in != nil {
		in.deliver(s.clock, midi)
	}
}

// Sent is every message the instrument was sent so far, all stamped 0.
func (s *Script) Sent(name string) []event.Event {
	s.mu.Lock()
	defer s.mu.Unlock()
	return slices.Clone(s.sent[name])
}

// Name is "script".
func (s *Script) Name() string { return "script" }

// Inputs lists the instruments plugged in.
func (s *Script) Inputs() ([]string, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.closed {
		return nil, ErrClosed
	}
	return slices.Clone(s.ports), nil
}

// Outputs lists the same instruments.
func (s *Script) Outputs() ([]string, error) { return s.Inputs() }

// OpenIn listens to an instrument.
func (s *Script) OpenIn(name string, sink Sink) (In, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if err := s.check(name); err != nil {
		return nil, err
	}
	if s.ins[name] != nil {
		return nil, fmt.Errorf("%q: %w", name, ErrBusy)
	}
	in := &input{name: name, sink: sink}
	in.alive = func() bool { return s.hears(in) }
	in.release = func() { s.forget(in) }
	s.ins[name] = in
	return in, nil
}

// OpenOut sends to an instrument.
func (s *Script) OpenOut(name string) (Out, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if err := s.check(name); err != nil {
		return nil, err
	}
	out := &output{name: name}
	out.alive = func() bool { return s.reaches(out) }
	out.raw = func(b []byte) error { s.record(out, b); return nil }
	out.release = func() error { s.forgetOut(out); return nil }
	s.outs[out] = name
	return out, nil
}

func (s *Script) check(name string) error {
	if s.closed {
		return ErrClosed
	}
	if !slices.Contains(s.ports, name) {
		return fmt.Errorf("%q: %w", name, ErrGone)
	}
	return nil
}

// Close closes all that is open.
func (s *Script) Close() error {
	s.mu.Lock()
	s.closed = true
	ins, outs := s.open()
	s.mu.Unlock()
	return closeAll(outs, ins)
}

func (s *Script) open() (ins []*input, outs []*output) {
	for _, in := range s.ins {
		ins = append(ins, in)
	}
	for out := range s.outs {
		outs = append(outs, out)
	}
	return ins, outs
}

func (s *Script) record(out *output, b []byte) {
	s.mu.Lock()
	defer s.mu.Unlock()
	name, alive := s.outs[out]
	if !alive {
		return
	}
	var d event.Decoder
	for _, c := range b {
		if e, ok := d.Feed(0, c); ok {
			s.sent[name] = append(s.sent[name], e)
		}
	}
}

func (s *Script) hears(in *input) bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.ins[in.name] == in
}

func (s *Script) reaches(out *output) bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	_, alive := s.outs[out]
	return alive
}

func (s *Script) forget(in *input) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.ins[in.name] == in {
		delete(s.ins, in.name)
	}
}

func (s *Script) forgetOut(out *output) {
	s.mu.Lock()
	defer s.mu.Unlock()
	delete(s.outs, out)
}
