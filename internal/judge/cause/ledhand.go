package cause

import (
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/listen/keyboard"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

// alone is a score of the hand that does play, where the other is silent: a follower is
// surer of the place where it waits for nothing that does not come.
func (r *reading) alone(s *score.Score) *score.Score {
	if r.mute == ([2]bool{}) {
		return s
	}
	c := *s
	c.Only = score.LeftAlone
	if r.mute[pattern.Left] {
		c.Only = score.RightAlone
	}
	return &c
}

// reachOf are the keys of the hand that does play, where the other is silent; else all.
func (j *Judge) reachOf(r *reading) (low, high pitch.Num) {
	if r.mute == ([2]bool{}) {
		return 0, 127
	}
	_, low, high = r.alone(j.Score).Alone()
	return low, high
}

// heardWants are the strokes that the engine knows by their places in the score; nil where
// it knows all.
func (j *Judge) heardWants() []int {
	if j.reading.mute == ([2]bool{}) {
		return nil
	}
	all := []int{}
	for i := range j.Score.Wants {
		if !j.reading.mute[j.Score.Wants[i].Hand] {
			all = append(all, i)
		}
	}
	return all
}

// asWritten puts the strokes of a finding where the whole score has them.
func (l *led) asWritten(f *finding.Finding) {
	for _, w := range []*int{&f.Want, &f.Second} {
		if l.wants != nil && *w >= 0 {
			*w = l.wants[*w]
		}
	}
}

// returns looks whether a hand that is silent plays again, once it has struck some keys out
// of the other's reach, and again after twice as many.
func (j *Judge) returns(key pitch.Num, at time.Duration) {
	l := j.led
	if l.wants == nil || key >= l.low && key <= l.high {
		return
	}
	if l.again++; l.again == 1 {
		l.returned, l.look = at, fewestStrange
	}
	if l.again < l.look {
		return
	}
	l.look *= 2
	if d := &j.doubt; !d.on {
		d.begin(max(0, l.returned-keyboard.Together), at)
		d.pass = j.heard.Leader().Estimate().Pass + j.reading.pass
	}
	if j.consider(at, false) {
		j.judgeAnew(at)
	}
}
