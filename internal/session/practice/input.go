package practice

import (
	"math"
	"time"

	"undersong/internal/listen/live"
	"undersong/internal/midi/event"
	"undersong/internal/session/gesture"
	"undersong/internal/session/sitting"
)

// Event takes what was played.
func (s *Session) Event(ev event.Event) {
	if s.o.With.echoes(ev) {
		return
	}
	ev.At = max(ev.At, s.Now)
	s.Now = ev.At
	s.piano.Feed(ev)
	s.heed()
}

// heed does what is asked for at the piano, and hears what is music.
func (s *Session) heed() {
	for _, ev := range s.piano.Music() {
		s.play(ev)
	}
	switch s.piano.Change() {
	case gesture.Opened:
		s.pause()
	case gesture.GoesOn:
		s.letGo()
	}
	s.piano.Ask(s, s.Now)
}

// letGo lets the music begin again when the keys of a command are let go.
func (s *Session) letGo() {
	if s.leads() {
		s.stage = ready
		return
	}
	s.start(s.Now + comeBack)
}

// play takes an event that is music.
func (s *Session) play(ev event.Event) {
	s.listen(ev.At)
	s.ear.Feed(ev)
	switch s.stage {
	case ready, reading:
		if !ev.IsNoteOn() {
			return
		}
		s.start(ev.At)
	case playing:
	case over:
		s.unended = s.Now
		return
	default:
		return
	}
	if ev.IsNoteOn() {
		s.unended = ev.At
	}
	found := s.take.feed(ev)
	s.lead(ev)
	s.findings(found)
}

// listen tells the ear what the chart has now, and lets time pass for it.
func (s *Session) listen(now time.Duration) {
	if s.stage == playing && !s.lost {
		s.ear.Expect(s.take.written(now))
	} else {
		s.ear.Expect(live.Written{})
	}
	s.ear.Tick(now)
	s.ear.Take()
}

// known is up to when it is known what was played.
func (s *Session) known() time.Duration { return s.piano.Known(s.Now) }

// staying is how long a session stays when what was asked for is over, after the last
// note: time to read, and to think of something else.
const staying = time.Minute

// Tick lets time pass.
func (s *Session) Tick(now time.Duration) {
	s.Reach(now)
	s.piano.Tick(s.Now)
	s.heed()
	s.listen(s.known())
	switch s.stage {
	case playing:
		s.passTime()
	case over:
		if s.Now >= s.unended+staying {
			s.end()
		}
	}
}

func (s *Session) passTime() {
	s.take.along.Play(s.Now, s.o.Sound)
	s.take.clicks.Play(s.Now, s.click())
	known := s.known()
	s.findings(s.take.tick(known))
	s.praise()
	s.handOver(s.passesOver())
	switch {
	case known < s.Now || !s.isOver():
	case s.take.partial || s.apart():
		s.turnBack()
	default:
		s.finish()
	}
}

// passesOver is how many passes are over, with all that is to be known of them.
func (s *Session) passesOver() int {
	p := s.take.position(s.known())
	if p.Pass > 0 && p.Bar == 0 && p.Beat < 2 {
		p.Pass--
	}
	return s.take.passes + max(0, p.Pass)
}

// afterEnd is how long after the end of the chart a player who leads may hold
// the last chord, or begin again, before the session is over.
const afterEnd = 3 * time.Second

// isOver reports that the take has come to its end.
func (s *Session) isOver() bool {
	switch {
	case s.take.loop:
		return false
	case !s.leads():
		return s.Now >= s.take.end(s.take.partial || s.apart())
	case s.lost || !s.take.position(s.Now).Ended:
		s.unended = s.Now
	}
	return s.Now >= s.unended+afterEnd
}

// Until is how long nothing is due: to the next click, or most at the latest.
func (s *Session) Until(now, most time.Duration) time.Duration {
	due := s.piano.Due(now + most)
	if s.stage == playing && s.o.Sound != nil {
		due = min(due, s.take.clicks.Next(), s.take.along.Next())
	}
	return max(0, due-now)
}

// finish ends what was asked for.
func (s *Session) finish() {
	s.close(true)
	s.leave(1)
	s.next = 0
	s.stop()
}

// stop ends the session, or waits for what is asked for next.
func (s *Session) stop() {
	if !s.o.Stay {
		s.end()
		return
	}
	s.stage, s.unended = over, s.Now
}

// end ends the session. What is still open is not judged: nobody has to play on after
// stopping.
func (s *Session) end() {
	if s.take != nil && !s.take.over {
		s.close(false)
	}
	s.stage = ended
	s.Tell(sitting.Record{Result: s.result()})
}

// close ends a take and tells what is left to tell, the rest of the piece too where
// the whole is over.
func (s *Session) close(whole bool) {
	s.take.quiet(s.o.Sound)
	s.findings(s.take.tick(s.known()))
	s.findings(s.take.release())
	if whole {
		s.findings(s.take.finish(s.Now))
		s.settle(math.MaxInt)
	}
	s.handOver(math.MaxInt)
}

// turnBack ends a pass and goes back to the first bar.
func (s *Session) turnBack() {
	whole := !s.take.partial
	s.close(true)
	s.next = 0
	s.leave(1)
	if s.o.Heading.After && whole {
		s.Notice(s.passOver())
	}
	if s.ramps() && whole && s.raise() {
		s.stop()
		return
	}
	if s.o.Heading.After && s.o.Wait {
		s.stage = reading
		return
	}
	s.start(s.Now)
}

// Lost tells that the keyboard is gone. What was held is held no longer, and
// the music waits: once the keyboard is back, a new count-in leads to the bar
// where it stopped; in a loop, to the loop's first bar. A player who leads goes on
// where it suits.
func (s *Session) Lost(now time.Duration, port string) {
	s.Reach(now)
	if s.stage == ended {
		return
	}
	s.piano.Forget()
	s.port = port
	s.ear.Silence(s.Now)
	switch s.stage {
	case away:
	case playing:
		s.take.engine.Unplugged()
		s.stopTake()
		s.back = ready
		if s.loops() {
			s.next = 0
		}
	default:
		s.back = s.stage
	}
	s.stage = away
	s.Notice(sitting.Notice{Kind: sitting.Unplugged, Port: port})
}

// Found tells that the keyboard is back.
func (s *Session) Found(now time.Duration, port string) {
	s.Reach(now)
	if s.stage == ended {
		return
	}
	if s.o.Back != nil {
		s.o.Back()
	}
	s.silence()
	s.Notice(sitting.Notice{Kind: sitting.PluggedIn, Port: port})
	if s.stage != away {
		return
	}
	s.stage = s.back
	if s.stage == ready && !s.waits() {
		s.start(s.Now + comeBack)
	}
}

// comeBack is how long after the keyboard is back the count-in begins, or after the
// keys of a command are let go: its output is opened anew meanwhile, and hands come
// back to the keys.
const comeBack = time.Second
