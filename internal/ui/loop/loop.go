// Package loop runs a sitting against the clock and a keyboard, and lets faces take
// part in it.
package loop

import (
	"context"
	"time"

	"undersong/internal/midi/event"
	"undersong/internal/midi/port"
	"undersong/internal/session/sitting"
	"undersong/internal/ui/words"
)

// Loop runs a sitting: one goroutine, into which the keyboard's threads hand
// what they have through a channel.
type Loop struct {
	Sitting sitting.Sitting
	Clock   func() time.Duration // the driver's
	After   func(time.Duration) <-chan time.Time
	Record  func(sitting.Record) error // a face that takes what is told; nil: none
	Show    func(sitting.State)        // a face that takes what there is to see; nil: none
	Typed   <-chan string              // keys of the computer; nil: none
	Asked   bool                       // somebody asked for the end

	log      *sitting.Log
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

// New makes a loop; Handlers are good from then on.
func New(what sitting.Sitting, clock func() time.Duration, after func(time.Duration) <-chan time.Time) *Loop {
	return &Loop{
		Sitting: what, Clock: clock, After: after, log: sitting.NewLog(what),
		messages: make(chan message, waiting), gone: make(chan struct{}),
	}
}

// Handlers are for the port.Session of the keyboard.
func (l *Loop) Handlers() port.Handlers {
	return port.Handlers{
		Event: func(e event.Event) { l.hand(message{event: e}) },
		Lost:  func(port string) { l.hand(message{port: port, kind: lost}) },
		Found: func(port string) { l.hand(message{port: port, kind: found}) },

		Stopped: func(err error) { l.hand(message{err: err, kind: stopped}) },
	}
}

// Ended is why the keyboard's MIDI system ended the sitting, and nil where it did
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

// Run runs the sitting to its end, or until ctx or the MIDI system ends, which ends
// the sitting too. It returns the first error of a face.
func (l *Loop) Run(ctx context.Context) error {
	defer close(l.gone)
	l.Sitting.Begin(l.Clock())
	if err := l.tell(); err != nil {
		return err
	}
	shown := time.Duration(-fresh)
	for !l.Sitting.Done() {
		now := l.Clock()
		if ctx.Err() != nil || l.ended != nil { // asked before all else: notes may pour in
			l.do(sitting.Command{Do: sitting.DoEnd})
			if err := l.tell(); err != nil {
				return err
			}
			break
		}
		if l.Show != nil && now-shown >= fresh {
			l.Show(l.log.State())
			shown = now
		}
		l.once(ctx, now)
		if err := l.tell(); err != nil {
			return err
		}
	}
	if l.Show != nil {
		l.Show(l.log.State())
	}
	return nil
}

// tell passes on what was told.
func (l *Loop) tell() error {
	for _, r := range l.log.Take() {
		if l.Record == nil {
			continue
		}
		if err := l.Record(r); err != nil {
			return err
		}
	}
	return nil
}

// once waits for something to happen and deals with it. Time passes only after
// what came before it: messages first, then the tick.
func (l *Loop) once(ctx context.Context, now time.Duration) {
	select {
	case m := <-l.messages:
		l.take(m)
	case key := <-l.Typed:
		l.typed(key)
	case <-l.After(l.Sitting.Until(now, beat)):
	case <-ctx.Done():
		return
	}
	now = l.Clock()
	for len(l.messages) > 0 {
		l.take(<-l.messages)
	}
	l.Sitting.Tick(now)
}

func (l *Loop) typed(key string) {
	st := l.Sitting.State()
	if c, ok := words.Typed(st.Menu, st.Where.Phase, key); ok {
		l.do(c)
	}
}

func (l *Loop) do(c sitting.Command) {
	l.Asked = l.Asked || c.Do == sitting.DoEnd
	l.Sitting.Do(l.Clock(), c)
}

func (l *Loop) take(m message) {
	switch m.kind {
	case lost:
		l.Sitting.Lost(l.Clock(), m.port)
	case found:
		l.Sitting.Found(l.Clock(), m.port)
	case stopped:
		l.ended = m.err
	default:
		l.Sitting.Event(m.event)
	}
}
