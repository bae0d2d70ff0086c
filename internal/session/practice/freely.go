package practice

import (
	"time"

	"undersong/internal/session/sitting"
)

// freely is what lessons share in which the student plays freely, without a click:
// their clock, their writer, and a keyboard that may go away.
type freely struct {
	writer  sitting.EarWriter
	opening string // a notice to begin with; may be empty

	began time.Duration
	now   time.Duration
	away  string // why nothing is heard
	done  bool
}

// Tell says where findings go, and a notice to begin with, which may be empty. It
// comes before Begin.
func (f *freely) Tell(w sitting.EarWriter, opening string) { f.writer, f.opening = w, opening }

func (f *freely) begin(now time.Duration) { f.began, f.now = now, now }

// reach lets time pass, which never goes back.
func (f *freely) reach(now time.Duration) time.Duration {
	f.now = max(f.now, now)
	return f.now
}

func (f *freely) length() time.Duration { return f.now - f.began }

func (f *freely) notice(text string) error { return f.writer.Notice(f.length(), text) }

// open writes the notice to begin with.
func (f *freely) open() error {
	if f.opening == "" {
		return nil
	}
	return f.notice(f.opening)
}

// lost tells that the keyboard is gone.
func (f *freely) lost(now time.Duration, port string) error {
	f.reach(now)
	f.away = unplugged(port)
	return f.notice(f.away)
}

// Found tells that the keyboard is back.
func (f *freely) Found(now time.Duration, port string) error {
	f.reach(now)
	f.away = ""
	return f.notice(pluggedIn(port))
}

// Key does nothing: the music begins with a key of the piano.
func (f *freely) Key(time.Duration) error { return nil }

// Done reports that listening is over.
func (f *freely) Done() bool { return f.done }
