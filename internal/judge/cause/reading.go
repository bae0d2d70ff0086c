package cause

import (
	"time"

	"undersong/internal/judge/engine"
	"undersong/internal/judge/finding"
	"undersong/internal/listen/follow"
	"undersong/internal/music/meter"
	"undersong/internal/sheet/score"
)

// reading is a way to take what is played: the score as if it stood in another key, say.
// The zero value takes it as it is written.
type reading struct {
	cause finding.Cause // without its place
	up    int           // semitones: all of the score
	lift  [2]int        // octaves: of each hand
	pass  int           // from whose beginning on times are counted
	late  time.Duration // after the click's, when that pass begins
	pace  float64       // tempo played to tempo written; 0 for 1
}

func (r *reading) plain() bool { return r.cause.Kind == finding.NoCause }

// moves reports that what is wanted is wanted at another time.
func (r *reading) moves() bool { return r.late != 0 || r.pace != 0 }

// of is the score as the reading has it; ok is false where that leaves the piano.
func (r *reading) of(s *score.Score) (read *score.Score, ok bool) {
	ok = true
	if r.up != 0 {
		s, ok = s.Up(r.up)
	}
	if ok && r.lift != ([2]int{}) {
		s, ok = s.Lifted(r.lift)
	}
	if r.pace != 0 {
		c := *s
		c.Tempo = meter.Tempo(float64(c.Tempo) * r.pace)
		s = &c
	}
	return s, ok
}

// stretch is bars of a pass, as they are judged by themselves.
type stretch struct{ pass, first, last int }

// refines reports the same cause with its tempo heard better.
func (r *reading) refines(s *reading) bool {
	return r.pace != 0 && s.pace != 0 && r.cause.Kind == s.cause.Kind
}

// click is when the score sounds under a reading.
func (j *Judge) click(r *reading) follow.Click {
	s := j.plain.Score
	if r.pace != 0 {
		s, _ = (&reading{pace: r.pace}).of(s)
	}
	return follow.NewClick(s, j.Click.PassStart(r.pass)+r.late, j.options.Loop)
}

// judge is an engine for a stretch of the score under a reading.
func (j *Judge) judge(r *reading, at stretch, loop bool) (*engine.Engine, bool) {
	s, c := j.plain.Score, j.click(r)
	begins := c.TimeOf(at.pass-r.pass, s.Bars[at.first].At)
	if at.first > 0 || at.last < len(s.Bars)-1 {
		s = s.Part(at.first, at.last)
	}
	s, ok := r.of(s)
	if !ok {
		return nil, false
	}
	return engine.New(s, engine.Options{Level: j.options.Level, Start: begins, Loop: loop}), true
}
