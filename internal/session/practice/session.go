// Package practice is a pattern practised over a chart: count-in, click, findings as
// they come, commands from the computer and the piano, a keyboard that is unplugged
// and plugged in again, and the end.
package practice

import (
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/judge/rules"
	"undersong/internal/listen/live"
	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
	"undersong/internal/session/gesture"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

// Options say what is practised. Heading and Score must be set.
type Options struct {
	Heading sitting.Heading // what is asked for; Hands, Tempo and what is played are those of Score
	Score   *score.Score
	// Lay lays the piece anew, for some bars and hands, and for going round; nil where
	// that cannot be asked for.
	Lay   func(bars score.Span, hands score.Only, round bool) (*score.Score, error)
	Level rules.Level
	// Others are accompaniments that may be heard in place of what is asked for.
	Others []*pattern.Pattern

	CountIn int  // bars before the music, 0 or more
	Wait    bool // until a key is struck
	// Stay keeps the session for a while when all that was asked for is over: there is
	// something to read, and to ask for.
	Stay bool
	// Fixed leaves nothing to be asked for but the end.
	Fixed bool

	// Delay is how long what is played takes to arrive, from -sitting.MostDelay to
	// that; by a click it is judged as played that much sooner.
	Delay time.Duration

	Opening sitting.Notice // to begin with; may be none

	// Sound plays a message on the instrument, at once; nil: nothing is heard.
	Sound   func(event.Event)
	NoClick bool // the click is not heard
	With    With // what undersong plays too
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
	paused
	reading // between passes, until a key is struck
	away    // the keyboard is gone
	over    // what was asked for is; something else may be
	ended
)

// Session is one practice session.
type Session struct {
	sitting.Teller
	o     Options
	stage stage
	back  stage // away: to go back to

	first *sitting.Piece // what was asked for first
	piece *sitting.Piece // what is played now
	begun *sitting.Piece // the last that was
	take  *take          // nil before the first
	past  finding.Summary
	tempi tempi
	next  int         // the bar at which the next take begins, an index into the piece's
	tempo meter.Tempo // of the next take

	ear   *live.Listener
	piano gesture.Piano
	anew  bool // the piece was laid anew, and the music is to go on
	aside aside
	port  string

	shown   shown
	history history
	picture sitting.Picture
	later   []sitting.Item   // kept until the pass is over
	causes  []sitting.Cause  // the same
	mended  []sitting.Notice // the same
	right   int
	wrong   int
	pass    passCount
	lost    bool          // the player leads, and the place is not known
	unended time.Duration // when last something was struck, or the end not reached
}

// New makes a session.
func New(o Options) *Session {
	s := &Session{o: o, tempo: o.Score.Tempo, ear: live.NewListener(live.Options{Key: &o.Score.Key})}
	s.first = sitting.NewPiece(o.Heading, o.Score, o.Score.Chart)
	s.piece = s.first
	s.history.turns.Led = o.Heading.Follow
	return s
}

// Begin starts the session at a time: with the count-in, or waiting for a key.
func (s *Session) Begin(now time.Duration) {
	s.Open(now, s.piece, s.o.Opening)
	if !s.waits() {
		s.start(now)
	}
}

// Done reports that the session is over and its result told.
func (s *Session) Done() bool { return s.stage == ended }

// leads reports that the player does: no count-in, no click, and the first key begins.
func (s *Session) leads() bool { return s.o.Heading.Follow }

// waits reports that a key begins a take.
func (s *Session) waits() bool { return s.o.Wait || s.leads() }

// loops reports that the piece goes round and round.
func (s *Session) loops() bool { return s.piece.Heading.Loop }

// ramps reports that the tempo rises from pass to pass.
func (s *Session) ramps() bool { return s.o.Heading.Ramp != sitting.Ramp{} }

// apart reports that a bar is counted between one pass and the next: hands and
// ears need it where the tempo changes, or where there is something to read.
func (s *Session) apart() bool {
	return s.loops() && !s.leads() && (s.ramps() || s.o.Heading.After)
}

// start begins a take, with its count-in unless the player leads.
func (s *Session) start(at time.Duration) {
	bars, passes := s.o.CountIn, 0
	if s.take != nil {
		bars = max(bars, 1) // hands that come back to the keys need the time
		passes = s.take.passes
	}
	s.take = s.newTake(bars, at, passes)
	s.stage = playing
	s.history.again()
	s.shown.clear()
	s.pass, s.lost, s.unended = passCount{}, false, at
	if s.leads() {
		return
	}
	music := s.take.engine.Click.Start
	if s.o.Music != nil {
		s.o.Music(music)
	}
	s.Tell(sitting.Record{CountIn: &sitting.CountIn{
		Music: music - s.Began, Bar: s.take.score.Bars[0].Number, Tempo: s.tempo, First: s.piece.FirstWant(s.next),
	}})
	if n, ok := s.piece.FirstNote(); ok && s.next == 0 {
		s.shown.notice = n
		if s.begun != s.piece {
			s.Notice(n)
		}
	}
	s.begun = s.piece
}

// leave ends a take that has been through some passes; the next begins anew.
func (s *Session) leave(passes int) {
	sum := s.take.engine.Summary()
	s.past = s.past.Join(sum)
	s.tempi = s.tempi.with(&sum, s.take.score.Tempo)
	s.take.passes += passes
	s.take.over = true
}

// tempi are the first and the last tempo in which anything was played or should have
// been; 0 for none.
type tempi struct{ first, last meter.Tempo }

func (t tempi) with(sum *finding.Summary, tempo meter.Tempo) tempi {
	if sum.Count(finding.Right)+sum.Wrong() == 0 {
		return t
	}
	if t.first == 0 {
		t.first = tempo
	}
	t.last = tempo
	return t
}

// result is the session so far, over all takes.
func (s *Session) result() *sitting.Result {
	sum, tempi := s.past, s.tempi
	if s.take != nil && !s.take.over {
		now := s.take.engine.Summary()
		sum, tempi = s.past.Join(now), tempi.with(&now, s.take.score.Tempo)
	}
	r := &sitting.Result{Heading: s.first.Heading, Length: s.Length(), Summary: sum, Picture: s.picture.Clone()}
	r.Tempo = s.tempo
	if tempi.last != 0 {
		r.Tempo = tempi.last
	}
	if tempi.first != r.Tempo {
		r.Began = tempi.first
	}
	return r
}
