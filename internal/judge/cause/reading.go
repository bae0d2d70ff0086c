package cause

import (
	"time"

	"undersong/internal/judge/engine"
	"undersong/internal/judge/finding"
	"undersong/internal/music/meter"
	"undersong/internal/sheet/score"
)

// reading is a way to take what is played: the score as if it stood in another key, say.
// The zero value takes it as it is written.
type reading struct {
	cause finding.Cause // without its place
	up    int           // semitones: all of the score
	lift  [2]int        // octaves: of each hand
	late  time.Duration // after the click's, when a pass begins
	pace  float64       // tempo played to tempo written; 0 for 1
}

func (r *reading) plain() bool { return r.cause.Kind == finding.NoCause }

// moves reports that what is wanted is wanted at another time.
func (r *reading) moves() bool { return r.late != 0 || r.pace != 0 }

// lasts is how long music takes that lasts so long as it is written.
func (r *reading) lasts(written time.Duration) time.Duration {
	if r.pace == 0 {
		return written
	}
	return time.Duration(float64(written) / r.pace)
}

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

// judge is an engine for a stretch of the score under a reading, at the click's time but
// for what the reading says.
func (j *Judge) judge(r *reading, at stretch, loop bool) (*engine.Engine, bool) {
	s := j.plain.Score
	begins := j.plain.Click.PassStart(at.pass) + r.late + r.lasts(s.Time(s.Bars[at.first].At))
	if at.first > 0 || at.last < len(s.Bars)-1 {
		s = s.Part(at.first, at.last)
	}
	s, ok := r.of(s)
	if !ok {
		return nil, false
	}
	return engine.New(s, engine.Options{Level: j.options.Level, Start: begins, Loop: loop}), true
}
