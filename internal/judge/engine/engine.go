// Package engine wires listening, following and judging into one thing that is
// fed events and answers with findings. Live practice, file review, tests and
// benchmarks all feed the same engine.
package engine

import (
	"time"

	"undersong/internal/judge/coach"
	"undersong/internal/judge/finding"
	"undersong/internal/judge/flow"
	"undersong/internal/judge/rules"
	"undersong/internal/judge/timing"
	"undersong/internal/listen/chordid"
	"undersong/internal/listen/follow"
	"undersong/internal/listen/keyboard"
	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
)

// Options say how an engine listens.
type Options struct {
	Level rules.Level
	Start time.Duration // when the first tick of the score sounds, by the click; or when the player may begin
	Loop  bool          // the score begins again without end
	Led   bool          // the player leads: there is no click
	Sung  bool          // Led: somebody sings to it, and what counts is that it goes on
	From  meter.Ticks   // Led: the place that is played first, most likely
}

// Engine judges one performance. It reads no clock and does no I/O; it is not
// safe for two goroutines at once.
type Engine struct {
	Score *score.Score
	Click follow.Click // gives the time unless the player leads
	Keys  keyboard.Keys
	Ear   *chordid.Recognizer

	leader *follow.Follower // nil with a click
	coach  *coach.Coach

	flow   *flow.Flow    // nil with a click
	sung   bool          // what it hears is told
	breaks []flow.Break  // else it is kept
	quiet  time.Duration // since when nothing sounds, where nothing does
}

// New makes an engine for a score.
func New(s *score.Score, o Options) *Engine {
	low, high := pitch.Num(0), pitch.Num(127)
	if o.Led && s.Only != score.BothHands {
		// A follower must not wait for a hand that may be silent, nor be misled by
		// one that is not.
		s, low, high = s.Alone()
	}
	e := &Engine{Score: s, Click: follow.NewClick(s, o.Start, o.Loop), Ear: chordid.New()}
	if o.Led {
		e.leader = follow.NewFollower(s, follow.FollowOptions{Loop: o.Loop, From: o.From})
		e.flow, e.sung = flow.New(s), o.Sung
		lead := timing.LeadOptions{Loop: o.Loop, Low: low, High: high}
		if o.Sung {
			lead.Waits = e.flow.Waits
		}
		e.coach = coach.NewLed(s, e.leader, lead, o.Level, &e.Keys, e.Ear)
	} else {
		e.coach = coach.New(s, &e.Click, o.Level, &e.Keys, e.Ear)
	}
	return e
}

// Leader follows a player who leads; nil by a click.
func (e *Engine) Leader() *follow.Follower { return e.leader }

// Position is the place in the score at a time not before the last event.
func (e *Engine) Position(now time.Duration) follow.Position {
	if e.leader != nil {
		return e.leader.PositionAt(now)
	}
	return e.Click.PositionAt(now)
}

// Tempo is the tempo of the music: the click's, or the player's own.
func (e *Engine) Tempo() meter.Tempo {
	if e.leader != nil {
		return e.leader.Estimate().Tempo
	}
	return e.Score.Tempo
}

// Feed takes an event and returns what it brought to light, with all that was
// due before it. Times must not run backwards. The slice is good until the next
// call.
func (e *Engine) Feed(ev event.Event) []finding.Finding {
	e.coach.Advance(ev.At)
	e.breaks = e.breaks[:0]
	before := e.Keys.Sounding()
	change := e.Keys.Feed(ev)
	switch change {
	case keyboard.Struck:
		e.coach.Strike(pitch.Num(ev.Data1), ev.Data2, ev.At)
		e.flows(before, ev.At)
	case keyboard.Released, keyboard.PedalUp, keyboard.Silenced, keyboard.Nothing:
		e.ended(before, ev.At)
	}
	return e.coach.Take()
}

// flows tells, or keeps, where the music did not go on, after a key struck over others.
func (e *Engine) flows(before keyboard.Set, at time.Duration) {
	if e.flow == nil {
		return
	}
	s := flow.Stroke{Place: e.leader.Estimate(), Beat: e.leader.Beat(), At: at}
	s.Since = e.leader.TimeOf(s.Place.Pass, s.Place.At)
	if before == (keyboard.Set{}) {
		s.Silent = at - e.quiet
	}
	switch f, ok := e.flow.Hear(&s); {
	case ok && e.sung:
		e.coach.Say(&f)
	case ok:
		e.breaks = append(e.breaks, e.flow.Broke())
	}
}

// Breaks are where a player who leads, and to whom nobody sings, left the order or lost
// time with the last event. The slice is good until the next call of Feed.
func (e *Engine) Breaks() []flow.Break { return e.breaks }

// ended tells the coach of every key that sounded before and no longer does.
func (e *Engine) ended(before keyboard.Set, at time.Duration) {
	now := e.Keys.Sounding()
	if now == (keyboard.Set{}) && before != now {
		e.quiet = at
	}
	gone := keyboard.Set{before[0] &^ now[0], before[1] &^ now[1]}
	if gone == (keyboard.Set{}) {
		return
	}
	for k := gone.Lowest(); k >= 0; k = gone.Next(k) {
		e.coach.End(k, at)
	}
}

// Tick lets time pass up to now.
func (e *Engine) Tick(now time.Duration) []finding.Finding {
	e.coach.Advance(now)
	return e.coach.Take()
}

// Unplugged forgets every held note, as when the cable is pulled.
func (e *Engine) Unplugged() {
	e.Keys.Silence()
	e.coach.Release()
}

// Finish ends the performance at a time and returns the last findings.
func (e *Engine) Finish(at time.Duration) []finding.Finding {
	e.coach.Finish(at)
	return e.coach.Take()
}

// Summary sums up the performance so far.
func (e *Engine) Summary() finding.Summary { return e.coach.Summary() }
