package practice

import (
	"time"

	"undersong/internal/listen/live"
	"undersong/internal/midi/event"
	"undersong/internal/ui/term"
)

// Listener names what is held as it changes, without a chart. It is a Lesson for
// Loop.
type Listener struct {
	live.Options
	// Changed is told what becomes of each sound; its times count from the beginning.
	Changed func(live.Change) error
	// Notice is told of a keyboard that went away or came back.
	Notice func(string) error

	ear   *live.Listener
	began time.Duration
	done  bool
}

// Begin starts listening.
func (l *Listener) Begin(now time.Duration) error {
	l.ear, l.began = live.NewListener(l.Options), now
	return nil
}

func (l *Listener) tell() error {
	for _, c := range l.ear.Take() {
		c.Start, c.End = c.Start-l.began, c.End-l.began
		if err := l.Changed(c); err != nil {
			return err
		}
	}
	return nil
}

// Event takes what was played.
func (l *Listener) Event(ev event.Event) error {
	l.ear.Feed(ev)
	return l.tell()
}

// Tick lets time pass.
func (l *Listener) Tick(now time.Duration) error {
	l.ear.Tick(now)
	return l.tell()
}

// Lost tells that the keyboard is gone, and every sound with it.
func (l *Listener) Lost(now time.Duration, port string) error {
	l.ear.Silence(now)
	if err := l.tell(); err != nil {
		return err
	}
	return l.Notice(unplugged(port))
}

// Found tells that the keyboard is back.
func (l *Listener) Found(_ time.Duration, port string) error {
	return l.Notice(pluggedIn(port))
}

// Stop ends listening.
func (l *Listener) Stop(now time.Duration) error {
	if l.done {
		return nil
	}
	l.done = true
	l.ear.Finish(now)
	return l.tell()
}

// Until is how long nothing is due.
func (l *Listener) Until(now, most time.Duration) time.Duration {
	if due, ok := l.ear.Due(); ok {
		return min(most, max(0, due-now))
	}
	return most
}

// Key does nothing: there is nothing to begin.
func (l *Listener) Key(time.Duration) error { return nil }

// Done reports that listening is over.
func (l *Listener) Done() bool { return l.done }

// View is nothing: a line of text does.
func (l *Listener) View() term.State { return term.State{} }
