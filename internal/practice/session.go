// Package practice is live practice: count-in, click, findings as they come,
// the view, a keyboard that is unplugged and plugged in again, and the end.
//
// Session is all of that without clock, goroutine or port: it is told what
// happened and when. Loop runs a Session against the clock and a keyboard.
package practice

import (
	"fmt"
	"time"

	"undersong/internal/chart"
	"undersong/internal/coach"
	"undersong/internal/event"
	"undersong/internal/follow"
	"undersong/internal/hands"
	"undersong/internal/report"
	"undersong/internal/score"
	"undersong/internal/screen"
)

// Options say what is practised and who is told. Score, Chart and Writer must be
// set.
type Options struct {
	Score   *score.Score
	Chart   *chart.Chart // in the score's key, for the view
	Level   coach.Level
	Heading report.Heading
	Writer  report.Writer

	Loop    bool
	CountIn int  // bars before the music, 0 or more
	Wait    bool // until a key is struck
	// All tells the writer every finding. Without it a bar brings one correction,
	// or else, when it is over, that it was right.
	All bool

	Opening string // a notice to begin with; may be empty

	// Sound plays a message on the instrument, at once; nil: there is no click.
	Sound func(event.Event)
	// Back, where not nil, is called when a lost keyboard is there again.
	Back func()
	// Music, where not nil, is told when the music begins, as soon as that is
	// known: the end of each count-in, on the clock.
	Music func(at time.Duration)
}

// stage is where a session stands.
type stage uint8

const (
	ready   stage = iota // for the first key
	playing              // the count-in too
	away                 // the keyboard is gone
	ended
)

// Session is one practice session. Times are the clock's and never run
// backwards. It is not safe for two goroutines at once.
type Session struct {
	o     Options
	stage stage
	began time.Duration
	now   time.Duration // the latest time heard of
	take  *take         // nil before the first
	past  coach.Summary // of the takes that are over
	next  int           // the bar at which the next take begins, an index into Score.Bars
	keys  hands.Keys    // for the view between takes
	view  view
	gate  gate
	port  string // that is gone
	right int
	wrong int
}

// New makes a session.
func New(o Options) *Session {
	return &Session{o: o, view: newView(o.Score, o.Chart)}
}

// Begin starts the session at a time: with the count-in, or waiting for a key.
func (s *Session) Begin(now time.Duration) error {
	s.began, s.now = now, now
	if err := s.o.Writer.Start(s.o.Heading); err != nil {
		return err
	}
	if s.o.Opening != "" {
		if err := s.o.Writer.Notice(0, s.o.Opening); err != nil {
			return err
		}
	}
	if s.o.Wait {
		return nil
	}
	return s.start(now)
}

// Done reports that the session is over and its summary written.
func (s *Session) Done() bool { return s.stage == ended }

// start begins a take with its count-in.
func (s *Session) start(at time.Duration) error {
	bars := s.o.CountIn
	if s.take != nil {
		bars = max(bars, 1) // hands that come back to the keys need the time
	}
	passes := 0
	if s.take != nil {
		passes = s.take.passes
	}
	s.take = newTake(s.o, s.next, bars, at, passes)
	s.stage = playing
	s.gate = gate{}
	s.view.clear()
	music := s.take.engine.Click.Start
	if s.o.Music != nil {
		s.o.Music(music)
	}
	return s.o.Writer.CountIn(at-s.began, music-s.began, s.take.score.Bars[0].Number)
}

// Event takes what was played.
func (s *Session) Event(ev event.Event) error {
	if ev.Channel() == percussion {
		return nil // our own click, where an instrument sends it back
	}
	ev.At = max(ev.At, s.now)
	s.now = ev.At
	s.keys.Feed(ev)
	switch s.stage {
	case ready:
		if !ev.IsNoteOn() {
			return nil
		}
		if err := s.start(ev.At); err != nil {
			return err
		}
	case away, ended:
		return nil
	}
	return s.tell(s.take.engine.Feed(ev))
}

// Key takes a key of the computer's keyboard: it begins what waits for a key.
func (s *Session) Key(now time.Duration) error {
	s.now = max(s.now, now)
	if s.stage == ready {
		return s.start(s.now)
	}
	return nil
}

// Tick lets time pass.
func (s *Session) Tick(now time.Duration) error {
	s.now = max(s.now, now)
	if s.stage != playing {
		return nil
	}
	s.take.clicks.play(s.now, s.o.Sound)
	if err := s.tell(s.take.engine.Tick(s.now)); err != nil {
		return err
	}
	if err := s.praise(); err != nil {
		return err
	}
	if s.now >= s.take.end() {
		return s.finish(true)
	}
	return nil
}

// Until is how long nothing is due: to the next click, or most at the latest.
func (s *Session) Until(now, most time.Duration) time.Duration {
	if s.stage != playing || s.o.Sound == nil {
		return most
	}
	return min(most, max(0, s.take.clicks.next()-now))
}

// Lost tells that the keyboard is gone. What was held is held no longer, and
// the music waits: once the keyboard is back, a new count-in leads to the bar
// where it stopped; in a loop, to the loop's first bar.
func (s *Session) Lost(now time.Duration, port string) error {
	s.now = max(s.now, now)
	s.keys.Silence()
	s.port = port
	if s.stage == playing {
		s.take.engine.Unplugged()
		s.take.clicks.stop(s.o.Sound)
		s.next = s.take.resume(s.now, s.o.Loop)
		s.past = s.past.Join(s.take.engine.Summary())
		s.take.count(s.now)
		s.take.over = true
	}
	if s.stage != ended {
		s.stage = away
	}
	return s.o.Writer.Notice(s.now-s.began, fmt.Sprintf("keyboard unplugged: waiting for %s", port))
}

// Found tells that the keyboard is back.
func (s *Session) Found(now time.Duration, port string) error {
	s.now = max(s.now, now)
	if s.o.Back != nil {
		s.o.Back()
	}
	if err := s.o.Writer.Notice(s.now-s.began, "keyboard is back: "+port); err != nil {
		return err
	}
	if s.stage != away {
		return nil
	}
	s.stage = ready
	if s.o.Wait {
		return nil
	}
	return s.start(s.now + comeBack)
}

// comeBack is how long after the keyboard is back the count-in begins: its
// output is opened anew meanwhile, and hands come back to the keys.
const comeBack = time.Second

// Stop ends the session before its time and writes the summary.
func (s *Session) Stop(now time.Duration) error {
	s.now = max(s.now, now)
	if s.stage == ended {
		return nil
	}
	return s.finish(false)
}

// finish ends the session. What is still open is judged only where the music is
// over: nobody has to play on after stopping.
func (s *Session) finish(whole bool) error {
	if s.take != nil && !s.take.over {
		s.take.clicks.stop(s.o.Sound)
		found := s.take.engine.Tick(s.now)
		if whole {
			found = append(append([]coach.Finding(nil), found...), s.take.engine.Finish(s.now)...)
		}
		if err := s.tell(found); err != nil {
			return err
		}
		if whole {
			if err := s.praiseUpTo(len(s.take.score.Bars)); err != nil {
				return err
			}
		}
	}
	s.stage = ended
	return s.o.Writer.Summary(s.Summary())
}

// Summary is the session so far, over all takes.
func (s *Session) Summary() report.Session {
	sum := s.past
	if s.take != nil && !s.take.over {
		sum = s.past.Join(s.take.engine.Summary())
	}
	return report.Session{Heading: s.o.Heading, Length: s.now - s.began, Summary: sum}
}

// tell passes findings on.
func (s *Session) tell(found []coach.Finding) error {
	for i := range found {
		if found[i].Kind == coach.Right {
			s.right++
		} else {
			s.wrong++
		}
		if s.o.All {
			if err := s.o.Writer.Finding(s.item(&found[i])); err != nil {
				return err
			}
		}
	}
	s.view.praise(found, s.now)
	worst := s.gate.choose(found, s.take.position(s.now))
	if worst == nil {
		return nil
	}
	s.view.correct(s.take, worst, s.now)
	if s.o.All {
		return nil
	}
	return s.o.Writer.Finding(s.item(worst))
}

func (s *Session) item(f *coach.Finding) report.Item {
	return report.Item{Finding: f, Voice: s.take.voice, At: f.At - s.began, Pass: s.take.passes + f.Pass + 1}
}

// praise tells of bars that went well, where corrections come bar by bar. A bar
// is looked back at on the next one's second beat: by then all that was missing
// in it or extra is known.
func (s *Session) praise() error {
	p := s.take.position(s.now)
	bars := p.Pass*len(s.take.score.Bars) + p.Bar
	if p.Beat < 2 {
		bars--
	}
	return s.praiseUpTo(bars)
}

func (s *Session) praiseUpTo(bars int) error {
	if s.o.All {
		return nil
	}
	for _, number := range s.gate.wellPlayed(bars, s.take.score) {
		if err := s.o.Writer.Notice(s.now-s.began, fmt.Sprintf("bar %d: right", number)); err != nil {
			return err
		}
	}
	return nil
}

// View is what the screen shows.
func (s *Session) View() screen.State { return s.view.state(s) }

// position is the place in a take's score.
func (t *take) position(now time.Duration) follow.Position { return t.engine.Click.PositionAt(now) }
