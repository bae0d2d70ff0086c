package spool

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// reader is a writer that takes nothing while it is shut, and keeps, with all
// others of its desk, what it took.
type reader struct {
	name string
	desk *desk
	shut chan struct{} // nil: open
	err  error
}

type desk struct {
	mu   sync.Mutex
	text bytes.Buffer
}

func (d *desk) String() string {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.text.String()
}

func (r *reader) Write(p []byte) (int, error) {
	if r.shut != nil {
		<-r.shut
	}
	if r.err != nil {
		return 0, r.err
	}
	r.desk.mu.Lock()
	defer r.desk.mu.Unlock()
	fmt.Fprintf(&r.desk.text, "%s:%s ", r.name, p)
	return len(p), nil
}

// patience is how long a test waits for what must come; it measures nothing.
const patience = 10 * time.Second

func write(t *testing.T, w io.Writer, text string) {
	t.Helper()
	n, err := io.WriteString(w, text)
	require.NoError(t, err)
	require.Equal(t, len(text), n)
}

func drained(t *testing.T, s *Spool) {
	t.Helper()
	require.NoError(t, s.Drain(context.Background(), 0))
}

func TestOneOrderOverAllEnds(t *testing.T) {
	var d desk
	s := New(1 << 20)
	out, err := s.To(&reader{name: "o", desk: &d}), s.To(&reader{name: "e", desk: &d})
	write(t, out, "first")
	assert.Equal(t, "o:first ", d.String(), "not live: at once")
	s.Live()
	s.Live()
	defer s.Close()
	want := "o:first "
	for i := range 500 {
		w, name := out, "o"
		if i%3 == 0 {
			w, name = err, "e"
		}
		write(t, w, fmt.Sprint(i))
		want += fmt.Sprintf("%s:%d ", name, i)
	}
	drained(t, s)
	assert.Equal(t, want, d.String())
	assert.True(t, out.Idle())
}

func TestAWriterDoesNotWaitForAStalledReader(t *testing.T) {
	var d desk
	s := New(1 << 20)
	shut := make(chan struct{})
	out, errs := s.To(&reader{name: "o", desk: &d, shut: shut}), s.To(&reader{name: "e", desk: &d})
	s.Live()
	defer s.Close()
	write(t, out, "a line\n")
	write(t, out, "two\nlines\n")
	write(t, out, "the beginning of")
	write(t, errs, "help")
	assert.False(t, out.Idle())
	require.Eventually(t, func() bool { return d.String() == "e:help " }, patience, time.Millisecond, "the other end goes on")

	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	err := s.Drain(ctx, patience)
	var stalled *StalledError
	require.ErrorAs(t, err, &stalled)
	assert.Equal(t, 4, stalled.Lines)
	assert.EqualError(t, err, "the output was not read to its end; lines that are lost: 4")

	close(shut) // it reads again: nothing was lost
	drained(t, s)
	assert.Equal(t, "e:help o:a line\n o:two\nlines\n o:the beginning of ", d.String())
}

// In a hurry a reader that is only slow is waited for, as long as was said.
func TestASlowReaderIsWaitedForInAHurry(t *testing.T) {
	var d desk
	s := New(1 << 20)
	open := make(chan struct{}, 100)
	out := s.To(&reader{name: "o", desk: &d, shut: open})
	s.Live()
	defer s.Close()
	for range 3 {
		write(t, out, "l\n")
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	go func() {
		for range 3 {
			open <- struct{}{}
		}
	}()
	require.NoError(t, s.Drain(ctx, patience))
	assert.Equal(t, "o:l\n o:l\n o:l\n ", d.String())

	write(t, out, "nobody takes this")
	var stalled *StalledError
	require.ErrorAs(t, s.Drain(ctx, patience), &stalled, "long before patience is at its end")
	open <- struct{}{}
	drained(t, s)
}

func TestWhatIsKeptIsBounded(t *testing.T) {
	var d desk
	s := New(10)
	shut := make(chan struct{})
	out := s.To(&reader{name: "o", desk: &d, shut: shut})
	s.Live()
	defer s.Close()
	write(t, out, "12345")
	write(t, out, "67890")
	_, err := io.WriteString(out, "!")
	require.ErrorIs(t, err, ErrFull)
	close(shut)
	drained(t, s)
	write(t, out, "there is room again"[:10])
	drained(t, s)
	assert.Equal(t, "o:12345 o:67890 o:there is r ", d.String())
}

func TestAReaderThatIsGone(t *testing.T) {
	var d desk
	gone := errors.New("broken pipe")
	s := New(1 << 20)
	out := s.To(&reader{name: "o", desk: &d, err: gone})
	errs := s.To(&reader{name: "e", desk: &d})
	s.Live()
	defer s.Close()
	write(t, out, "a")
	assert.ErrorIs(t, s.Drain(context.Background(), 0), gone, "of a write that was taken already")
	write(t, errs, "b")
	_, err := io.WriteString(out, "c")
	assert.ErrorIs(t, err, gone)
	drained(t, s) // it has been told
	assert.Equal(t, "e:b ", d.String())
}

func TestNothingIsWrittenAfterClose(t *testing.T) {
	var d desk
	s := New(1 << 20)
	out := s.To(&reader{name: "o", desk: &d})
	s.Live()
	write(t, out, "a")
	s.Close()
	_, err := io.WriteString(out, "b")
	assert.ErrorIs(t, err, io.ErrClosedPipe)
	drained(t, s)
	assert.Equal(t, "o:a ", d.String())
}
