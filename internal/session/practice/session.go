// Package practice is live practice: count-in, click, findings as they come,
// the view, a keyboard that is unplugged and plugged in again, and the end.
//
// Session is all of that without clock, goroutine or port: it is told what
// happened and when. Loop runs a Session against the clock and a keyboard.
package practice

import (
	"math"
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/judge/rules"
	"undersong/internal/listen/live"
	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/score"
	"undersong/internal/ui/term"
)

// Options say what is practised and who is told. Score, Chart and Writer must be
// set.
type Options struct {
	Score   *score.Score
	Chart   *chart.Chart // in the score's key, for the view
	Level   rules.Level
	Heading sitting.Heading
	Writer  sitting.Writer

	Loop    bool
	CountIn int   // bars before the music, 0 or more
	Wait    bool  // until a key is struck
	Follow  bool  // the player leads: no count-in, no click, and the first key begins
	Ramp    *Ramp // tempi that rise from pass to pass; Loop must be set, Follow not
	After   bool  // nothing is told before a pass is over
	// All leaves out the word that a bar was right, where every finding is told.
	All bool

	// Delay is how long what is played takes to arrive, from -MostDelay to
	// MostDelay; by a click it is judged as played that much sooner.
	Delay time.Duration

	Opening string // a notice to begin with; may be empty

	// Sound plays a message on the instrument, at once; nil: nothing is heard.
	Sound   func(event.Event)
	NoClick bool // the click is not heard
	With    With // what undersong plays too; not where the player leads
	// Back, where not nil, is called when a lost keyboard is there again.
	Back func()
	// Music, where not nil, is told when the music begins, as soon as that is
	// known: the end of each count-in, on the clock.
	Music func(at time.Duration)
}

// apart reports that a bar is counted between one pass and the next: hands and
// ears need it where the tempo changes, or where there is something to read.
func (o *Options) apart() bool { return o.Loop && !o.Follow && (o.Ramp != nil || o.After) }

// waits reports that a key begins a take.
func (o *Options) waits() bool { return o.Wait || o.Follow }

// MostDelay is the longest delay that is made up for. More is no instrument's,
// and would be half a beat in quick music.
const MostDelay = 80 * time.Millisecond

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
	now   time.Duration   // the latest time heard of
	take  *take           // nil before the first
	past  finding.Summary // of the takes that are over
	next  int             // the bar at which the next take begins, an index into Score.Bars
	tempo meter.Tempo     // of the next take
	ear   *live.Listener
	view  view
	port  string // that is gone

	history history
	gate    sitting.Gate // of the screen
	picture sitting.Picture
	items   []sitting.Item // room for what was just found
	later   []sitting.Item // kept until the pass is over
	mended  []string       // the same
	right   int
	wrong   int
	pass    passCount
	lost    bool          // the player leads, and the place is not known
	unended time.Duration // when last something was struck, or the end not reached
}

// New makes a session.
func New(o Options) *Session {
	s := &Session{
		o: o, view: newView(o.Score, o.Chart), tempo: o.Score.Tempo,
		ear: live.NewListener(live.Options{Key: &o.Score.Key}),
	}
	s.history.turns.Led = o.Follow
	return s
}

// Begin starts the session at a time: with the count-in, or waiting for a key.
func (s *Session) Begin(now time.Duration) error {
	s.began, s.now = now, now
	if err := s.o.Writer.Start(s.o.Heading); err != nil {
		return err
	}
	if s.o.Opening != "" {
		if err := s.notice(s.o.Opening); err != nil {
			return err
		}
	}
	if s.o.waits() {
		return nil
	}
	return s.start(now)
}

func (s *Session) notice(text string) error { return s.o.Writer.Notice(s.now-s.began, text) }

// Done reports that the session is over and its summary written.
func (s *Session) Done() bool { return s.stage == ended }

// start begins a take, with its count-in unless the player leads.
func (s *Session) start(at time.Duration) error {
	bars, passes := s.o.CountIn, 0
	if s.take != nil {
		bars = max(bars, 1) // hands that come back to the keys need the time
		passes = s.take.passes
	}
	s.take = newTake(s.o, s.tempo, s.next, bars, at, passes)
	s.stage = playing
	s.history.again()
	s.view.clear()
	s.pass, s.lost, s.unended = passCount{}, false, at
	if s.o.Follow {
		return nil
	}
	music := s.take.engine.Click.Start
	if s.o.Music != nil {
		s.o.Music(music)
	}
	return s.o.Writer.CountIn(sitting.CountIn{
		At: at - s.began, Music: music - s.began, Bar: s.take.score.Bars[0].Number, Tempo: s.tempo,
	})
}

// Event takes what was played.
func (s *Session) Event(ev event.Event) error {
	if s.o.With.echoes(ev) {
		return nil
	}
	ev.At = max(ev.At, s.now)
	s.now = ev.At
	s.listen(ev.At)
	s.ear.Feed(ev)
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
	if ev.IsNoteOn() {
		s.unended = ev.At
	}
	return s.tell(s.take.feed(ev))
}

// Key takes a key of the computer's keyboard: it begins what waits for a key,
// but not for the player who leads.
func (s *Session) Key(now time.Duration) error {
	s.now = max(s.now, now)
	if s.stage == ready && !s.o.Follow {
		return s.start(s.now)
	}
	return nil
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

// Tick lets time pass.
func (s *Session) Tick(now time.Duration) error {
	s.now = max(s.now, now)
	s.listen(s.now)
	if s.stage != playing {
		return nil
	}
	s.take.along.play(s.now, s.o.Sound)
	s.take.clicks.play(s.now, s.click())
	if err := s.tell(s.take.tick(s.now)); err != nil {
		return err
	}
	if err := s.praise(); err != nil {
		return err
	}
	if err := s.handOver(s.passesOver()); err != nil {
		return err
	}
	switch {
	case !s.over():
		return nil
	case s.o.apart():
		return s.turnBack()
	}
	return s.finish(true)
}

// passesOver is how many passes are over, with all that is to be known of them.
func (s *Session) passesOver() int {
	p := s.take.position(s.now)
	if p.Pass > 0 && p.Bar == 0 && p.Beat < 2 {
		p.Pass--
	}
	return s.take.passes + max(0, p.Pass)
}

// afterEnd is how long after the end of the chart a player who leads may hold
// the last chord, or begin again, before the session is over.
const afterEnd = 3 * time.Second

// over reports that the take has come to its end.
func (s *Session) over() bool {
	switch {
	case s.take.loop:
		return false
	case !s.o.Follow:
		return s.now >= s.take.end(s.o.apart())
	case s.lost || !s.take.position(s.now).Ended:
		s.unended = s.now
	}
	return s.now >= s.unended+afterEnd
}

// Until is how long nothing is due: to the next click, or most at the latest.
func (s *Session) Until(now, most time.Duration) time.Duration {
	if s.stage != playing || s.o.Sound == nil {
		return most
	}
	return min(most, max(0, min(s.take.clicks.next(), s.take.along.next())-now))
}

// Stop ends the session before its time and writes the summary.
func (s *Session) Stop(now time.Duration) error {
	s.now = max(s.now, now)
	if s.stage == ended {
		return nil
	}
	return s.finish(false)
}

// finish ends the session.
func (s *Session) finish(whole bool) error {
	if s.take != nil && !s.take.over {
		if err := s.close(whole); err != nil {
			return err
		}
	}
	s.stage = ended
	return s.o.Writer.Summary(s.Summary())
}

// close ends a take and tells what is left to tell. What is still open is judged
// only where the music is over: nobody has to play on after stopping.
func (s *Session) close(whole bool) error {
	s.take.quiet(s.o.Sound)
	if err := s.tell(s.take.tick(s.now)); err != nil {
		return err
	}
	if whole {
		if err := s.tell(s.take.finish(s.now)); err != nil {
			return err
		}
		if err := s.settle(math.MaxInt); err != nil {
			return err
		}
	}
	return s.handOver(math.MaxInt)
}

// turnBack ends a pass and goes back to the first bar.
func (s *Session) turnBack() error {
	if err := s.close(true); err != nil {
		return err
	}
	s.leave(1)
	if s.o.After {
		if err := s.tellPass(); err != nil {
			return err
		}
	}
	if err := s.raise(); err != nil {
		return err
	}
	if s.o.After && s.o.Wait {
		s.stage = ready
		return nil
	}
	return s.start(s.now)
}

// leave ends a take that has been through some passes; the next begins anew.
func (s *Session) leave(passes int) {
	s.past = s.past.Join(s.take.engine.Summary())
	s.take.passes += passes
	s.take.over = true
}

// Summary is the session so far, over all takes.
func (s *Session) Summary() sitting.Result {
	sum := s.past
	if s.take != nil && !s.take.over {
		sum = s.past.Join(s.take.engine.Summary())
	}
	h := s.o.Heading
	h.Tempo = s.tempo
	return sitting.Result{Heading: h, Length: s.now - s.began, Summary: sum, Picture: s.picture}
}

// View is what the screen shows.
func (s *Session) View() term.State { return s.view.state(s) }
