package coach

import (
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/listen/follow"
)

// suspense keeps mistakes that were found while the place was in doubt, where the
// player leads: what seems a stroke left out may be one that comes early, and a
// wrong chord the beginning of another bar. The next onsets say which.
type suspense struct {
	list [8]finding.Finding
	n    int
	age  int // groups since the first was put there
}

// mostSuspense is how many groups of notes a mistake is kept for. By then a
// place that was never given up is taken for right.
const mostSuspense = 2

// hold keeps a finding; where there is no room it is dropped.
func (s *suspense) hold(f *finding.Finding) {
	if s.n < len(s.list) {
		s.list[s.n] = *f
		s.n++
	}
}

// grow counts one more group.
func (s *suspense) grow() {
	if s.n > 0 {
		s.age++
	}
}

// dropUnasked drops strokes that nothing seemed to ask for.
func (s *suspense) dropUnasked() {
	kept := s.list[:0]
	for _, f := range s.list[:s.n] {
		if f.Kind != finding.Extra || f.Want >= 0 {
			kept = append(kept, f)
		}
	}
	s.n = len(kept)
}

func (s *suspense) drop() { s.n, s.age = 0, 0 }

// release tells what was kept: the place has proved right.
func (c *Coach) release(at time.Duration) {
	s := &c.led.suspense
	for i := range s.list[:s.n] {
		s.list[i].At = at
		c.say(&s.list[i])
	}
	s.drop()
}

// concede takes back that the group before stood for nothing, where the player
// has gone on as if it had been a stroke, only out of time.
func (c *Coach) concede(est *follow.Estimate) {
	if est.Before <= c.led.at || est.Before >= est.At || est.Pass != c.led.pass {
		return
	}
	c.led.suspense.dropUnasked()
	for _, l := range c.lines {
		if j := l.strokeAt(est.Pass, est.Before); j >= 0 {
			l.at(j).judged = true
		}
	}
}
