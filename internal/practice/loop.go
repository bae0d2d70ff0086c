package practice

import (
	"context"
	"time"

	"undersong/internal/event"
	"undersong/internal/midiio"
	"undersong/internal/screen"
)

// Loop runs a Session: one goroutine, into which the keyboard's threads hand
// what they have through a channel.
type Loop struct {
	Session *Session
	Clock   func() time.Duration // the driver's
	After   func(time.Duration) <-chan time.Time
	Show    func(screen.State) // nil: no screen
	Typed   <-chan string      // keys of the computer; nil: none

	messages chan message
	gone     chan struct{} // closed when nobody reads messages any more
}

// message is what a thread of the keyboard has to tell.
type message struct {
	event event.Event
	port  string
	kind  messageKind
}

type messageKind uint8

const (
	played messageKind = iota
	lost
	found
)

// waiting is how many messages may wait: some seconds of the busiest playing.
const waiting = 4096

// NewLoop makes a loop; Handlers are good from then on.
func NewLoop(s *Session, clock func() time.Duration, after func(time.Duration) <-chan time.Time) *Loop {
	return &Loop{Session: s, Clock: clock, After: after, messages: make(chan message, waiting), gone: make(chan struct{})}
}

// Handlers are for the midiio.Session of the keyboard.
func (l *Loop) Handlers() midiio.Handlers {
	return midiio.Handlers{
		Event: func(e event.Event) { l.hand(message{event: e}) },
		Lost:  func(port string, _ midiio.Loss) { l.hand(message{port: port, kind: lost}) },
		Found: func(port string) { l.hand(message{port: port, kind: found}) },
	}
}

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

// Run runs the session to its end, or until ctx ends, which ends the session
// too. It returns the first error of the session's writer.
func (l *Loop) Run(ctx context.Context) error {
	defer close(l.gone)
	if err := l.Session.Begin(l.Clock()); err != nil {
		return err
	}
	shown := time.Duration(-fresh)
	for !l.Session.Done() {
		now := l.Clock()
		if l.Show != nil && now-shown >= fresh {
			l.Show(l.Session.View())
			shown = now
		}
		if err := l.once(ctx, now); err != nil {
			return err
		}
	}
	if l.Show != nil {
		l.Show(l.Session.View())
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
	case <-l.Typed:
		if err := l.Session.Key(l.Clock()); err != nil {
			return err
		}
	case <-l.After(l.Session.Until(now, beat)):
	case <-ctx.Done():
		return l.Session.Stop(l.Clock())
	}
	now = l.Clock()
	for len(l.messages) > 0 {
		if err := l.take(<-l.messages); err != nil {
			return err
		}
	}
	return l.Session.Tick(now)
}

func (l *Loop) take(m message) error {
	switch m.kind {
	case lost:
		return l.Session.Lost(l.Clock(), m.port)
	case found:
		return l.Session.Found(l.Clock(), m.port)
	}
	return l.Session.Event(m.event)
}
