package practice

import (
	"context"
	"time"

	"undersong/internal/midi/event"
	"undersong/internal/midi/port"
	"undersong/internal/ui/term"
)

// Lesson is what a Loop runs: a Session, a Listener, a Tap and the like. Its methods
// are called from one goroutine, and times never run backwards.
type Lesson interface {
	Begin(now time.Duration) error
	Event(event.Event) error
	Key(now time.Duration) error // of the computer's keyboard
	Lost(now time.Duration, port string) error
	Found(now time.Duration, port string) error
	Tick(now time.Duration) error
	Until(now, most time.Duration) time.Duration
	Stop(now time.Duration) error
	Done() bool
	View() term.State
}

// Typist is a Lesson that wants to know which key of the computer it was.
type Typist interface {
	Type(now time.Duration, key string) error
}

// Loop runs a Lesson: one goroutine, into which the keyboard's threads hand
// what they have through a channel.
type Loop struct {
	Lesson Lesson
	Clock  func() time.Duration // the driver's
	After  func(time.Duration) <-chan time.Time
	Show   func(term.State) // nil: no screen
	Typed  <-chan string    // keys of the computer; nil: none

	ended    error // by which the MIDI system ended it
	messages chan message
	gone     chan struct{} // closed when nobody reads messages any more
}

// message is what a thread of the keyboard has to tell.
type message struct {
	event event.Event
	port  string
	err   error
	kind  messageKind
}

type messageKind uint8

const (
	played messageKind = iota
	lost
	found
	stopped
)

// waiting is how many messages may wait: some seconds of the busiest playing.
const waiting = 4096

// NewLoop makes a loop; Handlers are good from then on.
func NewLoop(what Lesson, clock func() time.Duration, after func(time.Duration) <-chan time.Time) *Loop {
	return &Loop{Lesson: what, Clock: clock, After: after, messages: make(chan message, waiting), gone: make(chan struct{})}
}

// Handlers are for the midiio.Session of the keyboard.
func (l *Loop) Handlers() port.Handlers {
	return port.Handlers{
		Event: func(e event.Event) { l.hand(message{event: e}) },
		Lost:  func(port string, _ port.Loss) { l.hand(message{port: port, kind: lost}) },
		Found: func(port string) { l.hand(message{port: port, kind: found}) },

		Stopped: func(err error) { l.hand(message{err: err, kind: stopped}) },
	}
}

// Ended is why the keyboard's MIDI system ended the lesson, and nil where it did
// not. It is good when Run has returned.
func (l *Loop) Ended() error { return l.ended }

func (l *Loop) hand(m message) {
	select {
	case l.messages <- m:
	case <-l.gone:
	}
}

// beat is how often time passes when nothing happens; fresh is the least time
// between two pictures.
const (
	beat  = 10 * time.Millisecond
	fresh = 30 * time.Millisecond
)

// Run runs the lesson to its end, or until ctx or the MIDI system ends, which ends
// the lesson too. It returns the lesson's first error.
func (l *Loop) Run(ctx context.Context) error {
	defer close(l.gone)
	if err := l.Lesson.Begin(l.Clock()); err != nil {
		return err
	}
	shown := time.Duration(-fresh)
	for !l.Lesson.Done() {
		now := l.Clock()
		if ctx.Err() != nil || l.ended != nil { // asked before all else: notes may pour in
			if err := l.Lesson.Stop(now); err != nil {
				return err
			}
			break
		}
		if l.Show != nil && now-shown >= fresh {
			l.Show(l.Lesson.View())
			shown = now
		}
		if err := l.once(ctx, now); err != nil {
			return err
		}
	}
	if l.Show != nil {
		l.Show(l.Lesson.View())
	}
	return nil
}

// once waits for something to happen and deals with it. Time passes only after
// what came before it: messages first, then the tick.
func (l *Loop) once(ctx context.Context, now time.Duration) error {
	select {
	case m := <-l.messages:
		if err := l.take(m); err != nil {
			return err
		}
	case key := <-l.Typed:
		if err := l.typed(key); err != nil {
			return err
		}
	case <-l.After(l.Lesson.Until(now, beat)):
	case <-ctx.Done():
		return nil
	}
	now = l.Clock()
	for len(l.messages) > 0 {
		if err := l.take(<-l.messages); err != nil {
			return err
		}
	}
	return l.Lesson.Tick(now)
}

func (l *Loop) typed(key string) error {
	if t, ok := l.Lesson.(Typist); ok {
		return t.Type(l.Clock(), key)
	}
	return l.Lesson.Key(l.Clock())
}

func (l *Loop) take(m message) error {
	switch m.kind {
	case lost:
		return l.Lesson.Lost(l.Clock(), m.port)
	case found:
		return l.Lesson.Found(l.Clock(), m.port)
	case stopped:
		l.ended = m.err
		return nil
	}
	return l.Lesson.Event(m.event)
}
