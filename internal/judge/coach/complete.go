package coach

import (
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

// tellIfComplete confirms a hand's stroke as soon as its last note has come.
func (c *Coach) tellIfComplete(h pattern.Hand, at time.Duration) {
	j := c.group.slots[h]
	l := c.lines[h]
	if j < 0 || l.free() {
		return
	}
	s, w := l.at(j), l.want(j)
	if s.judged || s.foreign > 0 || c.longBefore(l, j) || c.led.unsure {
		return
	}
	served, ok := c.served(l, j)
	if !ok || !settled(w, served) || c.contested(h) || c.displaced(l, j) {
		return
	}
	c.commit(h)
	c.judgeComplete(l, j, at)
}

// served is the tones of stroke j that are there with the group's notes of the
// hand; ok reports that all those notes are wanted, and none is lacking.
func (c *Coach) served(l *line, j int) (served uint32, ok bool) {
	served, wrong := c.divided(l, j)
	return served, wrong == 0 && served != 0 && lacking(l.want(j), served) == 0
}

// displaced reports a figure's note in another octave: its own octave may still
// come, and this be the other hand's.
func (c *Coach) displaced(l *line, j int) bool {
	w, served := l.want(j), l.at(j).matched
	for n := range c.group.fresh(l.hand) {
		if _, _, octave := l.match(w, n.key, served); octave {
			return true
		}
	}
	return false
}

// contested reports that one of a hand's notes is wanted by the other hand too,
// which is no farther from it: its own hand's note may still be on the way.
func (c *Coach) contested(h pattern.Hand) bool {
	l, j := c.lines[h.Other()], c.group.slots[h.Other()]
	if l.free() {
		return c.sung(h)
	}
	if j < 0 || l.at(j).judged {
		return false
	}
	mine := c.lines[h].place(c.group.slots[h])
	for n := range c.group.fresh(h) {
		f, _, _ := l.match(l.want(j), n.key, l.at(j).matched)
		if f == wanted && distanceCost(int(n.key), l.place(j)) <= distanceCost(int(n.key), mine) {
			return true
		}
	}
	return false
}

// sung reports that one of a hand's notes lies where the other, free hand may
// have struck it as a note of the tune.
func (c *Coach) sung(h pattern.Hand) bool {
	place := c.lines[h].place(c.group.slots[h])
	for n := range c.group.fresh(h) {
		off := int(n.key) - place
		if h == pattern.Right {
			off = -off
		}
		if off > handSpan {
			return true
		}
	}
	return false
}

// settled reports a stroke that no further note can change: every note is there,
// those that may be left out too. Otherwise it waits for the group to end.
func settled(w *score.Want, served uint32) bool {
	return served == 1<<uint(len(w.Tones))-1
}

// commit gives the group's notes of a hand to its open stroke.
func (c *Coach) commit(h pattern.Hand) {
	l, j := c.lines[h], c.group.slots[h]
	s, w := l.at(j), l.want(j)
	if b := &c.group.before[h]; !b.valid {
		*b = l.stand(j)
	}
	for n := range c.group.fresh(h) {
		n.taken = true
		f, tone, octave := l.match(w, n.key, s.matched)
		s.heard.Insert(n.key)
		switch f {
		case foreign:
			s.foreign++
		case wanted:
			s.matched |= 1 << uint(tone)
			s.octave = s.octave || octave
			if w.Role != score.Block && w.Role != score.Melody && (w.Anchor || l.loose) {
				l.shift, l.loose = int(n.key-w.Tones[tone].Key)/12*12, false
			}
		}
		if f != foreign && !s.judged {
			if s.struck == 0 || n.at < s.firstAt {
				s.firstAt = n.at
			}
			s.sumAt += n.at
			s.struck++
			s.velocity += int(n.velocity)
			if w.Role == score.Melody && s.heard.At(s.heard.Len()-1) == n.key {
				s.sung = int(n.velocity)
			}
		}
		c.own(n.key, l, j)
	}
}

func (c *Coach) own(key pitch.Num, l *line, j int) {
	c.owner[key] = owner{l, j}
	l.at(j).sounding++
}

// closeSlot ends a stroke's time: what has not come by now is missing.
func (c *Coach) closeSlot(l *line, at time.Duration) {
	j := l.cursor
	l.cursor++
	s := l.at(j)
	if s.judged {
		return
	}
	s.judged = true
	f := c.finding(l, j, finding.Missing, at)
	if s.early.Len() > 0 && s.heard.Len() == 0 {
		f.Kind, f.Heard, f.Offset = finding.Early, s.early, s.earlyAt-l.time(j)
	}
	c.tell(f)
}
