package port

import (
	"sync"
	"time"
)

// input is the part of an In that every driver shares: a sink that can be
// silenced for good.
type input struct {
	name    string
	alive   func() bool
	release func() // called once, after the last delivery

	mu   sync.Mutex
	sink Sink // nil once closed
}

func (in *input) Name() string { return in.name }

// Alive is not asked of the driver once the input is closed.
func (in *input) Alive() bool {
	in.mu.Lock()
	open := in.sink != nil
	in.mu.Unlock()
	return open && in.alive()
}

// deliver reads the clock while it holds the lock, so that times never run
// backwards.
func (in *input) deliver(clock func() time.Duration, midi []byte) {
	in.mu.Lock()
	defer in.mu.Unlock()
	if in.sink != nil {
		in.sink(clock(), midi)
	}
}

// Close waits for a delivery under way.
func (in *input) Close() error {
	in.mu.Lock()
	open := in.sink != nil
	in.sink = nil
	in.mu.Unlock()
	if open {
		in.release()
	}
	return nil
}
