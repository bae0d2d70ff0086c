package term

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"runtime/debug"
	"sync"
	"sync/atomic"
	"syscall"
	"time"

	tea "charm.land/bubbletea/v2"

	"undersong/internal/ui/spool"
	"undersong/internal/ui/words"
)

// ErrForced is what Run returns when the player asked to stop a second time
// before Quit was called: something hangs, so the screen is left at once.
var ErrForced = errors.New("stopped at once, on the second request")

// frame is the least time between two pictures: 30 a second are as many as an
// eye at the piano takes in, and leave the machine to the listening.
const frame = time.Second / 30

// Options set up a Program. The zero value uses the process's own terminal.
type Options struct {
	Style   Style
	In      io.Reader        // nil: standard input
	Out     io.Writer        // nil: standard output
	Signals <-chan os.Signal // requests to stop; nil: interrupt, terminate and hang-up of the process
	Width   int              // size until the terminal tells its own; 0: 80x24
	Height  int
}

// Program shows States on a terminal until Quit. Its methods may be called from
// any goroutine.
type Program struct {
	options Options
	out     *spool.End    // to the terminal, which may stall
	changed chan struct{} // holds one token while a state waits to be shown
	keys    chan string
	asked   chan struct{}
	quit    chan struct{}
	hurry   chan struct{}
	wrap    func(tea.Model) tea.Model // lets tests see inside

	interrupted             atomic.Bool
	mu                      sync.Mutex
	state                   words.View
	started, ended          bool // of Run
	isAsked, isQuit, forced bool
	hurried                 bool
	panicked                *PanicError
}

// New makes a program; nothing happens to the terminal before Run.
func New(o Options) *Program {
	if o.Out == nil {
		o.Out = os.Stdout
	}
	if o.Width < 1 || o.Height < 1 {
		o.Width, o.Height = 80, 24
	}
	return &Program{
		options: o,
		changed: make(chan struct{}, 1),
		keys:    make(chan string, 16),
		asked:   make(chan struct{}),
		quit:    make(chan struct{}),
		hurry:   make(chan struct{}),
		wrap:    func(m tea.Model) tea.Model { return m },
	}
}

// Show sets the state to be shown and returns at once. Of states that come
// faster than 30 a second only the latest is drawn.
func (p *Program) Show(s words.View) {
	p.mu.Lock()
	p.state = s
	p.mu.Unlock()
	select {
	case p.changed <- struct{}{}:
	default:
	}
}

// Keys delivers the computer keys pressed, other than those that ask to stop:
// "space", "enter", "left", "a". Keys that nobody takes are dropped, from the
// seventeenth on.
func (p *Program) Keys() <-chan string { return p.keys }

// Asked is closed when the player asks to stop: q, Ctrl-C or a signal. The
// screen stays until Quit, so that notes can be ended and the record saved
// first. Asking again makes Run return ErrForced.
func (p *Program) Asked() <-chan struct{} { return p.asked }

// Interrupted reports that the player asked to stop by Ctrl-C: nothing is to follow.
func (p *Program) Interrupted() bool { return p.interrupted.Load() }

// Quit makes Run leave the screen and return. It does not wait.
func (p *Program) Quit() {
	p.mu.Lock()
	defer p.mu.Unlock()
	if !p.isQuit {
		p.isQuit = true
		close(p.quit)
	}
}

// Hurry says that the program is to be gone: a terminal that takes nothing is not
// waited for. Asking to stop says so, too.
func (p *Program) Hurry() {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.makeHaste()
}

func (p *Program) makeHaste() {
	if !p.hurried {
		p.hurried = true
		close(p.hurry)
	}
}

// Rescue is deferred at the top of every goroutine that works beside a running
// Program. If that panics, Run restores the terminal and returns a *PanicError;
// without a running Program the panic goes on.
func (p *Program) Rescue() {
	r := recover()
	if r == nil {
		return
	}
	if !p.report(&PanicError{r, debug.Stack()}) {
		panic(r)
	}
	p.Quit()
}

// report hands e to Run; false if Run is not there to take it.
func (p *Program) report(e *PanicError) bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	if !p.started || p.ended {
		return false
	}
	if p.panicked == nil {
		p.panicked = e
	}
	return true
}

// PanicError is a panic in a goroutine beside the screen.
type PanicError struct {
	Value any
	Stack []byte // where it happened, as of runtime/debug
}

func (e *PanicError) Error() string { return fmt.Sprintf("fault in the program: %v", e.Value) }

// Run takes over the terminal until Quit is called or ctx ends, and restores it
// on every way out, a panic while drawing included. A Program runs once.
func (p *Program) Run(ctx context.Context) error {
	p.mu.Lock()
	if p.started {
		p.mu.Unlock()
		return errors.New("the screen has been run already")
	}
	p.started = true
	p.mu.Unlock()

	signals, release := p.signals()
	defer release()
	s := spool.New(mostKept)
	p.out = s.To(p.options.Out)
	s.Live()
	defer s.Close()
	program := tea.NewProgram(p.wrap(model{p, p.options.Width, p.options.Height, p.latest()}), p.teaOptions()...)
	stop, stopped := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(stopped)
		p.feed(ctx, program, signals, stop)
	}()
	_, err := program.Run()
	close(stop)
	<-stopped
	p.drain(s, signals)
	return p.outcome(err)
}

func (p *Program) outcome(err error) error {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.ended = true
	switch {
	case p.panicked != nil:
		return p.panicked
	case err != nil:
		return fmt.Errorf("the screen stopped: %w", err)
	case p.forced:
		return ErrForced
	}
	return nil
}

func (p *Program) teaOptions() []tea.ProgramOption {
	options := []tea.ProgramOption{
		tea.WithoutSignalHandler(), tea.WithOutput(p.output()),
		tea.WithWindowSize(p.options.Width, p.options.Height),
	}
	if p.options.In != nil {
		options = append(options, tea.WithInput(p.options.In))
	}
	return options
}

func (p *Program) signals() (signals <-chan os.Signal, release func()) {
	if p.options.Signals != nil {
		return p.options.Signals, func() {}
	}
	c := make(chan os.Signal, 2)
	signal.Notify(c, os.Interrupt, syscall.SIGTERM, syscall.SIGHUP)
	return c, func() { signal.Stop(c) }
}

// feed hands states to the terminal at most once a frame, and brings requests
// from outside to it.
func (p *Program) feed(ctx context.Context, program *tea.Program, signals <-chan os.Signal, stop <-chan struct{}) {
	changed := p.changed
	pause := time.NewTimer(0)
	defer pause.Stop()
	for {
		select {
		case <-changed:
			program.Send(p.latest())
			changed = nil
			pause.Reset(frame)
		case <-pause.C:
			if !p.out.Idle() { // the last picture has not been taken yet
				pause.Reset(frame)
				continue
			}
			changed = p.changed
		case <-signals:
			if p.ask() {
				program.Quit()
				return
			}
		case <-p.quit:
			program.Quit()
			return
		case <-ctx.Done():
			program.Quit()
			return
		case <-stop:
			return
		}
	}
}

func (p *Program) latest() words.View {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.state
}

// ask notes a request to stop; again reports that it was not the first.
func (p *Program) ask() (again bool) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.isAsked {
		p.forced = true
		return true
	}
	p.isAsked = true
	p.makeHaste()
	close(p.asked)
	return false
}

// model is the Program as bubbletea sees it.
type model struct {
	program       *Program
	width, height int
	state         words.View
}

func (m model) Init() tea.Cmd { return nil }

func (m model) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	switch msg := msg.(type) {
	case words.View:
		m.state = msg
	case tea.WindowSizeMsg:
		m.width, m.height = msg.Width, msg.Height
	case tea.KeyPressMsg:
		return m, m.key(msg.String())
	}
	return m, nil
}

func (m model) key(name string) tea.Cmd {
	switch name {
	case "ctrl+c":
		m.program.interrupted.Store(true)
		fallthrough
	case "q", "Q":
		if m.program.ask() {
			return tea.Quit
		}
		return nil
	}
	select {
	case m.program.keys <- name:
	default:
	}
	return nil
}

func (m model) View() tea.View {
	view := tea.NewView(Render(m.state, m.width, m.height, m.program.options.Style))
	view.AltScreen = true
	view.DisableBracketedPasteMode = true
	return view
}
