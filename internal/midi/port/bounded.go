package port

import (
	"errors"
	"sync/atomic"
	"time"
)

// ErrStuck means that the MIDI system did not come back from a call.
var ErrStuck = errors.New("does not answer; its ports were left as they are, and a note may sound on")

// Bounded is a driver that never holds up a program that is to end: closing, and from
// when asked is closed every call, is waited for no longer than patience, and after
// the first that is not over by then, the others a quarter of that. A call that is
// given up goes on by itself, and its answer is ErrStuck.
func Bounded(d Driver, asked <-chan struct{}, patience time.Duration) Driver {
	return &bounded{Driver: d, asked: asked, patience: patience}
}

type bounded struct {
	Driver
	asked    <-chan struct{}
	patience time.Duration
	stuck    atomic.Bool
}

func (b *bounded) Inputs() ([]string, error) {
	return within(b, b.asked, b.Driver.Inputs)
}
func (b *bounded) Outputs() ([]string, error) {
	return within(b, b.asked, b.Driver.Outputs)
}

func (b *bounded) OpenIn(name string, sink Sink) (In, error) {
	in, err := within(b, b.asked, func() (In, error) { return b.Driver.OpenIn(name, sink) })
	if err != nil {
		return nil, err
	}
	return boundedIn{in, b}, nil
}

func (b *bounded) OpenOut(name string) (Out, error) {
	out, err := within(b, b.asked, func() (Out, error) { return b.Driver.OpenOut(name) })
	if err != nil {
		return nil, err
	}
	return boundedOut{out, b}, nil
}

func (b *bounded) Close() error { return b.close(b.Driver.Close) }

func (b *bounded) close(end func() error) error {
	_, err := within(b, ended, func() (struct{}, error) { return struct{}{}, end() })
	return err
}

// ended is a channel that is closed already.
var ended = func() <-chan struct{} { c := make(chan struct{}); close(c); return c }()

type boundedIn struct {
	In
	driver *bounded
}

func (i boundedIn) Close() error { return i.driver.close(i.In.Close) }

type boundedOut struct {
	Out
	driver *bounded
}

func (o boundedOut) Close() error { return o.driver.close(o.Out.Close) }

// answer is what a call came to; fault is what it panicked with.
type answer[T any] struct {
	value T
	err   error
	fault any
}

// within makes a call, and waits for it until asked is closed and then the patience is over.
func within[T any](b *bounded, asked <-chan struct{}, call func() (T, error)) (T, error) {
	done := make(chan answer[T], 1)
	go func() {
		var a answer[T]
		defer func() { a.fault = recover(); done <- a }()
		a.value, a.err = call()
	}()
	select {
	case a := <-done:
		return a.given()
	case <-asked:
	}
	patience := b.patience
	if b.stuck.Load() {
		patience /= 4
	}
	select {
	case a := <-done:
		return a.given()
	case <-time.After(patience):
		b.stuck.Store(true)
		return answer[T]{err: ErrStuck}.given()
	}
}

func (a answer[T]) given() (T, error) {
	if a.fault != nil {
		panic(a.fault)
	}
	return a.value, a.err
}
