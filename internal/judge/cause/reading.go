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
	causes [2]finding.Cause // without their places: of what is struck, and of when that is
	up     int              // semitones: all of the score
	lift   [2]int           // octaves: of each hand
	mute   [2]bool          // nothing comes from the hand
	pass   int              // from whose beginning on times are counted
	late   time.Duration    // after the click's, when that pass begins
	pace   float64          // tempo played to tempo written; 0 for 1
	score  *score.Score     // other music over the same bars; nil for what is asked for
	change change
}

// What a cause tells of: what is struck, or when.
const (
	what = iota
	when
)

// change is where a reading takes the place of another.
type change struct {
	leave time.Duration // what is wanted before that, where it was wanted, belongs to the other
	enter time.Duration // and what is wanted from then on, where it is wanted now, to this one
	leaps bool          // what was struck before enter has nothing to do with it
}

func (r *reading) plain() bool {
	return r.causes[what].Kind == finding.NoCause && r.causes[when].Kind == finding.NoCause
}

// moves reports that what is wanted is wanted at another time.
func (r *reading) moves() bool { return r.late != 0 || r.pace != 0 }

// is reports a reading under which a cause of this kind holds.
func (r *reading) is(k finding.CauseKind) bool {
	return r.causes[what].Kind == k || r.causes[when].Kind == k
}

// strays reports that the music is elsewhere than where the click has it, and not by a
// beat or so from the beginning on.
func (j *Judge) strays(r *reading) bool {
	switch r.causes[when].Kind {
	case finding.EarlyStart, finding.LateStart:
		return j.told || max(r.late, -r.late) >= j.barLasts()-j.close()
	}
	return r.leaps()
}

// leaps reports that the player went back, or left bars out.
func (r *reading) leaps() bool { return r.causes[when].Kind.Leaps() }

// tempo is the pace of the reading, never 0.
func (r *reading) tempo() float64 {
	if r.pace == 0 {
		return 1
	}
	return r.pace
}

// inTime is the reading with what is struck as it is written.
func (r *reading) inTime() reading {
	t := *r
	t.causes[what], t.up, t.lift, t.mute, t.score = finding.Cause{}, 0, [2]int{}, [2]bool{}, nil
	return t
}

// byClick is the reading with what is struck when it is written.
func (r *reading) byClick() reading {
	t := *r
	t.causes[when], t.late, t.pace = finding.Cause{}, 0, 0
	return t
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

// mutes reports a finding about a stroke of a hand that is silent.
func (r *reading) mutes(f *finding.Finding) bool {
	return f.Part <= finding.RightHand && r.mute[f.Part] && (f.Kind == finding.Right || mistaken(f.Kind))
}

// nothing reports that nothing comes at all, where the reading says so, for
// long enough that nobody is just late.
func (j *Judge) nothing(r *reading, w *weight, now time.Duration) bool {
	since := max(r.change.enter, j.Click.Start)
	return r.mute == [2]bool{true, true} && w.right+w.wrong == 0 && now-since >= longestDoubt*j.barLasts()
}

// unheard takes a finding about a hand that is silent: what is missing is explained, and
// with anything else it is silent no more.
func (j *Judge) unheard(f *finding.Finding) bool {
	if !j.reading.mutes(f) {
		return false
	}
	if f.Kind == finding.Missing || beyond(f, j.heard.Score) {
		j.all[j.current[what]].ToBar, j.back = j.Score.Bars[f.Bar].Number, 0
		return true
	}
	if j.back++; j.back >= heardAgain {
		j.reading, j.back = j.reading.inTime(), 0
	}
	return false
}

// refines reports the same cause of a kind with its tempo heard better.
func (r *reading) refines(s *reading) bool {
	return r.pace != 0 && s.pace != 0 && r.causes[when].Kind == s.causes[when].Kind && r.causes[what] == s.causes[what]
}

// click is when the score sounds under a reading.
func (j *Judge) click(r *reading) follow.Click {
	s := j.plain.Score
	if r.pace != 0 {
		s, _ = (&reading{pace: r.pace}).of(s)
	}
	return follow.NewClick(s, j.begins(r), j.options.Loop)
}

// begins is when the pass from which a reading counts begins under it.
func (j *Judge) begins(r *reading) time.Duration { return j.Click.PassStart(r.pass) + r.late }

// inScore is how far the music is at a time under a reading: since that pass began, at
// the written tempo.
func (j *Judge) inScore(r *reading, t time.Duration) time.Duration {
	return time.Duration(float64(t-j.begins(r)) * r.tempo())
}

// sounds is when the music is so far under a reading.
func (j *Judge) sounds(r *reading, far time.Duration) time.Duration {
	return j.begins(r) + time.Duration(float64(far)/r.tempo())
}

// judge is an engine for a stretch of the score under a reading.
func (j *Judge) judge(r *reading, at stretch, loop bool) (*engine.Engine, bool) {
	s, c := j.plain.Score, j.click(r)
	if r.score != nil {
		s = r.score
	}
	begins := c.TimeOf(at.pass-r.pass, s.Bars[at.first].At)
	s, ok := r.of(s.Part(at.first, at.last))
	if !ok {
		return nil, false
	}
	return engine.New(s, engine.Options{Level: j.options.Level, Start: begins, Loop: loop}), true
}

// asRead puts a finding of the present reading where the score as written has it.
func (j *Judge) asRead(f *finding.Finding) {
	f.Pass += j.reading.pass
	f.Up = j.reading.up
	if j.led != nil {
		j.led.asWritten(f)
	}
}

// onThePiano reports that a reading leaves the piano nowhere in the score, as it may
// elsewhere than in the stretch that was weighed.
func (j *Judge) onThePiano(r *reading) bool {
	_, ok := r.of(j.Score)
	return ok
}
