package term

import (
	"bytes"
	"context"
	"errors"
	"io"
	"os"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	tea "charm.land/bubbletea/v2"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/ui/words"

	"undersong/internal/session/sitting"
)

// tape records what a program writes and lets a test wait for a text.
type tape struct {
	mu      sync.Mutex
	text    bytes.Buffer
	written chan struct{}
}

func newTape() *tape { return &tape{written: make(chan struct{}, 1)} }

func (t *tape) Write(p []byte) (int, error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	n, err := t.text.Write(p)
	select {
	case t.written <- struct{}{}:
	default:
	}
	return n, err
}

func (t *tape) String() string {
	t.mu.Lock()
	defer t.mu.Unlock()
	return t.text.String()
}

// patience ends tests that would hang; nothing is measured by it.
const patience = 20 * time.Second

func (t *tape) await(tt *testing.T, text string) {
	tt.Helper()
	deadline := time.After(patience)
	for !strings.Contains(t.String(), text) {
		select {
		case <-t.written:
		case <-deadline:
			require.FailNow(tt, "never written", "%q in %q", text, t.String())
		}
	}
}

func await[T any](t *testing.T, c <-chan T, what string) T {
	t.Helper()
	select {
	case v := <-c:
		return v
	case <-time.After(patience):
		require.FailNow(t, "waited in vain", what)
		panic("unreachable")
	}
}

const (
	enterAlternate = "\x1b[?1049h"
	leaveAlternate = "\x1b[?1049l"
	showCursor     = "\x1b[?25h"
)

// stage is a running program with a hand on its keys, signals and output.
type stage struct {
	*Program
	out     *tape
	keys    *io.PipeWriter
	signals chan os.Signal
	result  chan error
}

func start(t *testing.T, ctx context.Context) *stage {
	t.Helper()
	in, keys := io.Pipe()
	s := &stage{out: newTape(), keys: keys, signals: make(chan os.Signal, 2), result: make(chan error, 1)}
	s.Program = New(Options{In: in, Out: s.out, Signals: s.signals})
	go func() { s.result <- s.Run(ctx) }()
	t.Cleanup(func() {
		s.Quit()
		keys.Close()
	})
	s.out.await(t, "q ends")
	return s
}

func (s *stage) press(t *testing.T, keys string) {
	t.Helper()
	_, err := io.WriteString(s.keys, keys)
	require.NoError(t, err)
}

// left checks that the normal screen and the cursor are back.
func (s *stage) left(t *testing.T) {
	t.Helper()
	assertRestored(t, s.out.String())
}

func assertRestored(t *testing.T, out string) {
	t.Helper()
	assert.Contains(t, out, enterAlternate)
	assert.Greater(t, strings.LastIndex(out, leaveAlternate), strings.LastIndex(out, enterAlternate))
	assert.Contains(t, out[strings.LastIndex(out, enterAlternate):], showCursor)
}

func TestShowAndQuit(t *testing.T) {
	s := start(t, context.Background())
	s.Show(playing())
	s.out.await(t, "bass A, this bar is C7")
	s.Quit()
	s.Quit()
	assert.NoError(t, await(t, s.result, "Run"))
	s.left(t)
	assert.Error(t, s.Run(context.Background()), "a program runs once")
}

// frozen is a terminal that takes nothing.
type frozen struct{ thawed chan struct{} }

func (f frozen) Write(p []byte) (int, error) {
	<-f.thawed
	return len(p), nil
}

// A terminal that takes nothing stops neither keys nor signals, nor the end.
func TestAFrozenTerminalStopsNothing(t *testing.T) {
	for _, way := range []string{"key", "signal", "haste"} {
		f := frozen{make(chan struct{})}
		in, keys := io.Pipe()
		signals := make(chan os.Signal, 2)
		p := New(Options{In: in, Out: f, Signals: signals})
		result := make(chan error, 1)
		go func() { result <- p.Run(context.Background()) }()
		for range 100 {
			p.Show(playing())
			time.Sleep(time.Millisecond) // pictures are made meanwhile
		}
		switch way {
		case "key":
			_, err := io.WriteString(keys, "\x03")
			require.NoError(t, err)
			await(t, p.Asked(), way)
		case "signal":
			signals <- syscall.SIGTERM
			await(t, p.Asked(), way)
		case "haste":
			p.Hurry()
		}
		p.Quit()
		assert.NoError(t, await(t, result, way))
		close(f.thawed)
		keys.Close()
	}
}

func TestLatestOfManyStatesIsShown(t *testing.T) {
	s := start(t, context.Background())
	for range 5000 {
		s.Show(words.View{Phase: sitting.Playing, Heard: "C"})
	}
	s.Show(words.View{Phase: sitting.Playing, HeardWords: "the last one"})
	s.out.await(t, "the last one")
}

func TestShowBeforeAndAfterRunDoesNotBlock(t *testing.T) {
	p := New(Options{In: strings.NewReader(""), Out: newTape(), Signals: make(chan os.Signal)})
	for range 100 {
		p.Show(playing())
	}
	p.Quit()
	require.NoError(t, p.Run(context.Background()))
	p.Show(playing())
}

func TestAskingToStop(t *testing.T) {
	for name, ask := range map[string]func(*testing.T, *stage){
		"q":         func(t *testing.T, s *stage) { s.press(t, "q") },
		"Ctrl-C":    func(t *testing.T, s *stage) { s.press(t, "\x03") },
		"interrupt": func(_ *testing.T, s *stage) { s.signals <- os.Interrupt },
		"terminate": func(_ *testing.T, s *stage) { s.signals <- syscall.SIGTERM },
	} {
		t.Run(name, func(t *testing.T) {
			s := start(t, context.Background())
			ask(t, s)
			await(t, s.Asked(), "Asked")
			s.Show(words.View{Phase: sitting.Playing, HeardWords: "ending the notes"})
			s.out.await(t, "ending the notes")
			assert.NotContains(t, s.out.String(), leaveAlternate, "the screen stays until Quit")
			s.Quit()
			assert.NoError(t, await(t, s.result, "Run"))
			s.left(t)
		})
		t.Run(name+" twice", func(t *testing.T) {
			s := start(t, context.Background())
			ask(t, s)
			await(t, s.Asked(), "Asked")
			ask(t, s)
			assert.ErrorIs(t, await(t, s.result, "Run"), ErrForced)
			s.left(t)
		})
	}
}

func TestKeysArrive(t *testing.T) {
	s := start(t, context.Background())
	for _, key := range []struct{ typed, name string }{{" ", "space"}, {"r", "r"}, {"\r", "enter"}, {"\x1b[D", "left"}} {
		s.press(t, key.typed)
		assert.Equal(t, key.name, await(t, s.Keys(), key.name))
	}
	for range 100 { // nobody listens: nothing hangs
		s.press(t, "x")
	}
	s.press(t, "q")
	await(t, s.Asked(), "Asked")
}

func TestContextEndsRun(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	s := start(t, ctx)
	cancel()
	assert.NoError(t, await(t, s.result, "Run"))
	s.left(t)
}

func TestPanicBesideRestoresTheScreen(t *testing.T) {
	s := start(t, context.Background())
	go func() {
		defer s.Rescue()
		panic("broken engine")
	}()
	var fault *PanicError
	require.ErrorAs(t, await(t, s.result, "Run"), &fault)
	assert.Equal(t, "broken engine", fault.Value)
	assert.Contains(t, string(fault.Stack), "TestPanicBesideRestoresTheScreen")
	s.left(t)
	assert.PanicsWithValue(t, "late", func() {
		defer s.Rescue()
		panic("late")
	}, "nobody would hear of it")
}

func TestRescueWithoutRun(t *testing.T) {
	p := New(Options{})
	assert.PanicsWithValue(t, "early", func() {
		defer p.Rescue()
		panic("early")
	})
	assert.NotPanics(t, func() { defer p.Rescue() })
}

// counter counts the states that reach bubbletea.
type counter struct {
	tea.Model
	states *atomic.Int64
}

func (c counter) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	if _, ok := msg.(words.View); ok {
		c.states.Add(1)
	}
	m, cmd := c.Model.Update(msg)
	return counter{m, c.states}, cmd
}

func TestAtMostThirtyPicturesASecond(t *testing.T) {
	out := newTape()
	in, keys := io.Pipe()
	defer keys.Close()
	p := New(Options{In: in, Out: out, Signals: make(chan os.Signal)})
	var states atomic.Int64
	p.wrap = func(m tea.Model) tea.Model { return counter{m, &states} }
	result := make(chan error, 1)
	begun := time.Now()
	go func() { result <- p.Run(context.Background()) }()
	for i := 0; states.Load() < 5; i++ {
		p.Show(words.View{CountIn: i})
	}
	p.Quit()
	require.NoError(t, await(t, result, "Run"))
	assert.LessOrEqual(t, states.Load(), int64(time.Since(begun)/frame)+2)
}

// bomb goes off inside bubbletea's own loop, at the first state.
type bomb struct{ tea.Model }

func (b bomb) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	if _, ok := msg.(words.View); ok {
		panic("cannot draw")
	}
	m, cmd := b.Model.Update(msg)
	return bomb{m}, cmd
}

func TestPanicWhileDrawingRestoresTheScreen(t *testing.T) {
	out := newTape()
	in, keys := io.Pipe()
	defer keys.Close()
	p := New(Options{In: in, Out: out, Signals: make(chan os.Signal)})
	p.wrap = func(m tea.Model) tea.Model { return bomb{m} }
	result := make(chan error, 1)
	go func() { result <- p.Run(context.Background()) }()
	out.await(t, enterAlternate)
	p.Show(playing())
	err := await(t, result, "Run")
	require.Error(t, err)
	assert.True(t, errors.Is(err, tea.ErrProgramPanic), "%v", err)
	assertRestored(t, out.String())
}
