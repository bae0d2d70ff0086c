// Package spool keeps what is written until its readers take it, so that a reader
// that stalls, such as a pager or a frozen terminal, does not stop the writer.
package spool

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"sync"
	"time"
)

// ErrFull is what Write returns when nobody has read for so long that no more is
// kept. What was taken before is not lost by it.
var ErrFull = errors.New("nobody reads it, and no more of it can be kept")

// StalledError means that readers did not take all that was written.
type StalledError struct{ Lines int }

func (e *StalledError) Error() string {
	return fmt.Sprintf("the output was not read to its end; lines that are lost: %d", e.Lines)
}

// Spool passes on what is written to its ends, in one order over all of them, as
// long as they are read: one that stalls holds up the others for a moment only.
// Until Live is called each write waits for its reader, as without a Spool.
type Spool struct {
	limit int

	mu    sync.Mutex
	moved *sync.Cond // a piece was written or has come
	live  bool
	over  bool // no more is written
	next  int  // number of the next piece
	ends  []*End
}

// New makes a Spool that keeps at most so many bytes for each of its ends.
func New(limit int) *Spool {
	s := &Spool{limit: limit}
	s.moved = sync.NewCond(&s.mu)
	return s
}

// End is where to write for one reader. It may be used by several goroutines once
// its Spool is live.
type End struct {
	spool *Spool
	to    io.Writer

	waiting []piece // the first may be on its way
	kept    int     // bytes in them
	since   time.Time
	err     error // of the reader, for good
	told    bool  // err was returned by Write
}

// piece is what one call has written.
type piece struct {
	number int
	text   []byte
}

// To makes an end for a writer that may block. It must not be called once the
// Spool is live.
func (s *Spool) To(w io.Writer) *End {
	e := &End{spool: s, to: w}
	s.ends = append(s.ends, e)
	return e
}

// Live makes sure that from now on no write waits for a reader. It may be called
// several times.
func (s *Spool) Live() {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.live {
		return
	}
	s.live = true
	for _, e := range s.ends {
		go e.passOn()
	}
}

// Write takes all of p, or none of it and gives the error of an earlier write to
// the reader, or ErrFull.
func (e *End) Write(p []byte) (int, error) {
	s := e.spool
	s.mu.Lock()
	if !s.live {
		s.mu.Unlock()
		return e.to.Write(p)
	}
	defer s.mu.Unlock()
	switch {
	case s.over:
		return 0, io.ErrClosedPipe
	case e.err != nil:
		e.told = true
		return 0, e.err
	case e.kept+len(p) > s.limit:
		return 0, ErrFull
	}
	e.waiting = append(e.waiting, piece{s.next, slices.Clone(p)})
	e.kept += len(p)
	s.next++
	s.moved.Broadcast()
	return len(p), nil
}

// Idle reports that all that was written has been taken.
func (e *End) Idle() bool {
	e.spool.mu.Lock()
	defer e.spool.mu.Unlock()
	return len(e.waiting) == 0
}

func (e *End) passOn() {
	s := e.spool
	s.mu.Lock()
	defer s.mu.Unlock()
	for {
		for len(e.waiting) == 0 || s.mustWait(e) {
			if s.over && len(e.waiting) == 0 {
				return
			}
			s.moved.Wait()
		}
		p := e.waiting[0]
		e.since = time.Now()
		s.moved.Broadcast() // for those who wait for its turn to be over
		s.mu.Unlock()
		_, err := e.to.Write(p.text)
		s.mu.Lock()
		e.since = time.Time{}
		e.waiting, e.kept = e.waiting[1:], e.kept-len(p.text)
		if err != nil {
			e.err, e.waiting, e.kept = err, nil, 0
		}
		s.moved.Broadcast()
	}
}

// moment is how long a reader may take for one piece until it counts as stalled:
// longer than a busy terminal needs for a page.
const moment = 150 * time.Millisecond

// mustWait reports that an earlier piece is to be written first, by an end that is
// not stalled, and sees to it that this is asked again in time.
func (s *Spool) mustWait(e *End) bool {
	for _, other := range s.ends {
		if other == e || len(other.waiting) == 0 || other.waiting[0].number > e.waiting[0].number {
			continue
		}
		if other.since.IsZero() { // it is about to begin
			return true
		}
		if left := moment - time.Since(other.since); left > 0 {
			time.AfterFunc(left, s.wake)
			return true
		}
	}
	return false
}

// wake has those who wait look again. It takes the lock, so that none of them is
// just about to wait.
func (s *Spool) wake() {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.moved.Broadcast()
}

// Close ends the Spool's goroutines, each when its reader has taken what waits.
func (s *Spool) Close() {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.over = true
	s.moved.Broadcast()
}

// Drain waits until all has been taken. Once ctx has ended there is a hurry: then
// it does not wait longer than that, nor for a reader that has stalled. It returns
// the first error of a reader that Write has not told, or a *StalledError. A Spool
// that never was live has nothing to wait for.
func (s *Spool) Drain(ctx context.Context, most time.Duration) error {
	var hurried time.Time
	defer context.AfterFunc(ctx, s.wake)()
	s.mu.Lock()
	defer s.mu.Unlock()
	for s.lines() > 0 {
		if ctx.Err() != nil {
			if hurried.IsZero() {
				hurried = time.Now()
				time.AfterFunc(most, s.wake)
				time.AfterFunc(moment, s.wake)
			}
			if s.stalled() || time.Since(hurried) >= most {
				break
			}
		}
		s.moved.Wait()
	}
	return s.failure()
}

func (s *Spool) stalled() bool {
	return slices.ContainsFunc(s.ends, func(e *End) bool { return !e.since.IsZero() && time.Since(e.since) >= moment })
}

func (s *Spool) failure() error {
	for _, e := range s.ends {
		if e.err != nil && !e.told {
			return e.err
		}
	}
	if n := s.lines(); n > 0 {
		return &StalledError{n}
	}
	return nil
}

// lines are how many wait; a piece without an end of line counts as one.
func (s *Spool) lines() (n int) {
	for _, e := range s.ends {
		for _, p := range e.waiting {
			n += max(1, bytes.Count(p.text, []byte("\n")))
		}
	}
	return n
}
