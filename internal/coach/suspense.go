package coach

import "time"

// suspense keeps mistakes that were found while the place was in doubt, where the
// player leads: what seems a stroke left out may be one that comes early, and a
// wrong chord the beginning of another bar. The next onsets say which.
type suspense struct {
	list [8]Finding
	n    int
	age  int // groups since the first was put there
}

// mostSuspense is how many groups of notes a mistake is kept for. By then a
// place that was never given up is taken for right.
const mostSuspense = 2

// hold keeps a finding; where there is no room it is dropped.
func (s *suspense) hold(f *Finding) {
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
