package port

import (
	"errors"
	"slices"
	"sync"
	"time"

	"undersong/internal/midi/event"
)

// DefaultPoll is how often a Session looks whether its port is there: twice, at
// least, in the shortest time that a USB device takes to come back (see watch).
const DefaultPoll = 50 * time.Millisecond

// Handlers is what a Session calls. Calls never overlap and their order is
// true: no Event comes between Lost and Found. They come from threads of the
// driver and of the session; they should be quick and must not call the
// session. Each may be nil.
type Handlers struct {
	Event func(event.Event)
	// Lost tells that the instrument is silent from now on. The keys that were
	// held are held no longer.
	Lost  func(port string)
	Found func(port string)
	// Stopped tells that the MIDI system has ended. Nothing is told after it.
	Stopped func(error)
}

// SessionOptions tunes a Session.
type SessionOptions struct {
	Poll time.Duration // 0 for DefaultPoll
}

// Session keeps one input open. When the port goes away, for however short a time,
// it tells so, waits for a port of the same BaseName, and takes it up. A sender of active sensing
// that falls silent counts as lost until its next byte.
type Session struct {
	driver Driver
	clock  func() time.Duration
	on     Handlers
	done   chan struct{}
	watch  sync.WaitGroup
	once   sync.Once

	in In // of the watcher alone; nil while the port is away

	mu   sync.Mutex
	port string // full name, as last seen
	line *line  // nil while the port is away
	lost bool
}

// line is one opening of the port. What an earlier line still delivers is
// dropped.
type line struct{ decoder event.Decoder }

// NewSession opens the input of a full name, as listed, and watches it until
// Close. clock is the driver's.
func NewSession(d Driver, port string, clock func() time.Duration, on Handlers, o SessionOptions) (*Session, error) {
	s := &Session{driver: d, clock: clock, on: on, port: port, done: make(chan struct{})}
	if err := s.open(port); err != nil {
		return nil, err
	}
	if o.Poll <= 0 {
		o.Poll = DefaultPoll
	}
	s.watch.Go(func() { s.run(o.Poll) })
	return s, nil
}

// Port is the full name of the port as last seen.
func (s *Session) Port() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.port
}

// Close stops watching and closes the input. No handler is called after it.
// Closing twice does nothing.
func (s *Session) Close() error {
	var err error
	s.once.Do(func() {
		close(s.done)
		s.watch.Wait()
		s.mu.Lock()
		s.line = nil
		s.mu.Unlock()
		if s.in != nil {
			err = s.in.Close()
		}
	})
	return err
}

func (s *Session) run(poll time.Duration) {
	tick := time.NewTicker(poll)
	defer tick.Stop()
	for {
		select {
		case <-s.done:
			return
		case <-tick.C:
			if !s.look() {
				return
			}
		}
	}
}

// look compares the ports there are with the one that should be. It reports
// whether there is any sense in looking again.
func (s *Session) look() bool {
	names, err := s.driver.Inputs()
	if errors.Is(err, ErrStuck) {
		return false // the program is about to end
	}
	if errors.Is(err, ErrStopped) {
		s.stop(err)
		return false
	}
	if err != nil {
		names = nil // a system that does not answer has no ports
	}
	port := s.Port()
	if s.in != nil && (!slices.Contains(names, port) || !s.in.Alive()) {
		s.leave()
	}
	if s.in == nil {
		if name, ok := again(names, port); ok {
			// A port that does not open yet is tried again at the next look.
			_ = s.open(name)
		}
	}
	s.checkCable()
	return true
}

func (s *Session) stop(err error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.line = nil
	if s.on.Stopped != nil {
		s.on.Stopped(err)
	}
}

// open takes up the port under its present name.
func (s *Session) open(name string) error {
	l := &line{}
	s.mu.Lock()
	s.line, s.port = l, name
	s.mu.Unlock()
	in, err := s.driver.OpenIn(name, func(at time.Duration, midi []byte) { s.take(l, at, midi) })
	s.mu.Lock()
	defer s.mu.Unlock()
	if err != nil {
		s.line = nil
		return err
	}
	s.in = in
	s.found()
	return nil
}

// leave lets a port go that is no longer listed.
func (s *Session) leave() {
	s.mu.Lock()
	s.line = nil
	s.lose()
	s.mu.Unlock()
	// Outside the lock: Close waits for a delivery, which waits for the lock.
	_ = s.in.Close()
	s.in = nil
}

func (s *Session) checkCable() {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.line != nil && s.line.decoder.Dead(s.clock()) {
		s.line.decoder = event.Decoder{}
		s.lose()
	}
}

// take decodes what the port delivers, on a thread of the driver.
func (s *Session) take(l *line, at time.Duration, midi []byte) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if l != s.line {
		return
	}
	s.found()
	for _, b := range midi {
		if e, ok := l.decoder.Feed(at, b); ok && s.on.Event != nil {
			s.on.Event(e)
		}
	}
}

// lose and found are called with the lock held.
func (s *Session) lose() {
	if !s.lost && s.on.Lost != nil {
		s.on.Lost(s.port)
	}
	s.lost = true
}

func (s *Session) found() {
	if s.lost && s.on.Found != nil {
		s.on.Found(s.port)
	}
	s.lost = false
}
