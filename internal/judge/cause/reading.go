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
	mute  [2]bool       // nothing comes from the hand
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

// mutes reports a finding about a stroke of a hand that is silent.
func (r *reading) mutes(f *finding.Finding) bool {
	return f.Part <= finding.RightHand && r.mute[f.Part] && (f.Kind == finding.Right || mistaken(f.Kind))
}

// nothing reports that nothing comes at all, where the reading says so, for
// long enough that nobody is just late.
func (j *Judge) nothing(r *reading, w *weight, now time.Duration) bool {
	since := max(j.doubt.since, j.Click.Start)
	return r.mute == [2]bool{true, true} && w.right+w.wrong+w.notes == 0 && now-since >= longestDoubt*j.barLasts()
}

// unheard takes a finding about a hand that is silent: what is missing is explained, and
// with anything else it is silent no more.
func (j *Judge) unheard(f *finding.Finding) bool {
	if !j.reading.mutes(f) {
		return false
	}
	if f.Kind == finding.Missing {
		j.all[j.current].ToBar, j.back = j.Score.Bars[f.Bar].Number, 0
		return true
	}
	if j.back++; j.back > 1 { // one may be the other hand's
		j.reading, j.back = reading{pass: j.reading.pass}, 0
	}
	return false
}

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
