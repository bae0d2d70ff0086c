package practice

import "time"

// Lost tells that the keyboard is gone. What was held is held no longer, and
// the music waits: once the keyboard is back, a new count-in leads to the bar
// where it stopped; in a loop, to the loop's first bar. A player who leads goes on
// where it suits.
func (s *Session) Lost(now time.Duration, port string) error {
	s.now = max(s.now, now)
	s.ear.Silence(s.now)
	s.port = port
	if s.stage == playing {
		s.take.engine.Unplugged()
		s.take.quiet(s.o.Sound)
		s.next = s.take.resume(s.now, s.o)
		s.leave(s.take.begun(s.now))
	}
	if s.stage != ended {
		s.stage = away
	}
	return s.notice(unplugged(port))
}

// Found tells that the keyboard is back.
func (s *Session) Found(now time.Duration, port string) error {
	s.now = max(s.now, now)
	if s.o.Back != nil {
		s.o.Back()
	}
	s.silence()
	if err := s.notice(pluggedIn(port)); err != nil {
		return err
	}
	if s.stage != away {
		return nil
	}
	s.stage = ready
	if s.o.waits() {
		return nil
	}
	return s.start(s.now + comeBack)
}

// comeBack is how long after the keyboard is back the count-in begins: its
// output is opened anew meanwhile, and hands come back to the keys.
const comeBack = time.Second

// unplugged and pluggedIn tell of a keyboard that went away and came back.
func unplugged(port string) string { return "keyboard unplugged: waiting for " + port }
func pluggedIn(port string) string { return "keyboard is back: " + port }
