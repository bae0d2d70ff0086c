package coach

import (
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/music/meter"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

// afterthought is how long after a stroke was complete more of its chord still
// belongs to it; later it is a stroke of its own.
const afterthought = 2 * Together

// closeGroup judges what can no longer become right.
func (c *Coach) closeGroup() {
	g := &c.group
	at := g.ends()
	if c.leader != nil && !g.settled && !g.told() {
		if !c.conclude(at) {
			return
		}
		c.assign()
	}
	c.reconsider()
	var told [2]*finding.Finding
	var spare [2]finding.Finding
	for h, l := range c.lines {
		if l.free() {
			continue
		}
		j := g.slots[h]
		if c.unasked(l) {
			c.tellUnasked(l, at)
			continue
		}
		if c.astray(l, j) {
			c.setAside(l.at(j), l.hand)
			continue
		}
		c.dropEarly(l, j, at)
		s := l.at(j)
		before := s.foreign
		c.commit(pattern.Hand(h))
		if s.foreign > before {
			if f, ok := c.judgeForeign(l, j, at); ok {
				spare[h] = f
				told[h] = &spare[h]
			}
		} else if !s.judged && s.matched != 0 && lacking(l.want(j), s.matched) == 0 {
			c.judgeComplete(l, j, at)
		}
	}
	g.n = 0
	c.tellTogether(told)
}

// longBefore reports a group that comes too early to be judged at once.
func (c *Coach) longBefore(l *line, j int) bool {
	if c.leader != nil {
		return false
	}
	before, _ := l.attempt(j, c.level)
	return c.group.start < l.time(j)-before
}

// astray reports notes of a hand that are no try at stroke j: struck long
// before it, or wrong and long after.
func (c *Coach) astray(l *line, j int) bool {
	if c.longBefore(l, j) || !c.longAfter(l, j) {
		return c.longBefore(l, j)
	}
	_, ok := c.served(l, j)
	return !ok
}

// longAfter reports a group that comes too late to be a try at stroke j.
func (c *Coach) longAfter(l *line, j int) bool {
	if c.leader != nil {
		return false
	}
	_, after := l.attempt(j, c.level)
	return c.group.start > l.time(j)+after
}

// unasked reports a hand whose notes nothing asks for: it has nothing to play, or
// has played it, or they are no try at its stroke and not to be kept for it.
func (c *Coach) unasked(l *line) bool {
	j := c.group.slots[l.hand]
	switch {
	case l.free():
		return false
	case j < 0 || c.past(l.at(j)):
		return true
	case !c.astray(l, j):
		return false
	}
	_, ok := c.served(l, j)
	return !c.longBefore(l, j) || !ok || l.at(j).early.Len() > 0
}

// past reports a stroke that was complete so long before the group that this is no
// part of it.
func (c *Coach) past(s *slot) bool {
	return s.complete && c.group.start > s.doneAt+afterthought
}

// setAside keeps the right notes struck long before their time, in case none
// come nearer to it.
func (c *Coach) setAside(s *slot, h pattern.Hand) {
	s.early = c.take(h)
	s.earlyAt = c.group.start
}

// take takes a hand's fresh notes out of the group.
func (c *Coach) take(h pattern.Hand) finding.Keys {
	var keys finding.Keys
	for n := range c.group.fresh(h) {
		n.taken = true
		keys.Insert(n.key)
	}
	return keys
}

// dropEarly tells of notes set aside as an extra stroke, now that stroke j has
// come after all.
func (c *Coach) dropEarly(l *line, j int, at time.Duration) {
	s := l.at(j)
	if s.early.Len() == 0 || !c.has(l.hand) {
		return
	}
	c.tell(c.extraAt(l, s.earlyAt, at, s.early))
	s.early = finding.Keys{}
}

// has reports notes of a hand in the group.
func (c *Coach) has(h pattern.Hand) bool {
	for i := range c.group.notes[:c.group.n] {
		if c.group.notes[i].hand == h {
			return true
		}
	}
	return false
}

// tellUnasked tells of notes struck where the hand has nothing to play. A stroke of
// both hands that nothing asks for is one.
func (c *Coach) tellUnasked(l *line, at time.Duration) {
	ended := c.position(c.group.start).Ended // after the end everything is allowed
	heard := c.take(l.hand)
	if heard.Len() == 0 || ended {
		return
	}
	f := c.extraAt(l, c.group.start, at, heard)
	if right := c.lines[pattern.Right]; l.hand == pattern.Left && c.score.Only == score.BothHands && c.unasked(right) {
		if more := c.take(right.hand); more.Len() > 0 {
			f.Part = finding.BothHands
			for i := range more.Len() {
				f.Heard.Insert(more.At(i))
			}
		}
	}
	c.tell(f)
}

// extraAt is the finding of a stroke that nothing asked for, struck at one time
// and known at another.
func (c *Coach) extraAt(l *line, struck, known time.Duration, heard finding.Keys) finding.Finding {
	p := c.position(struck)
	f := finding.Finding{
		Kind: finding.Extra, Part: partOf(l.hand), At: known, Want: -1, Second: -1, Heard: heard,
		Pass: max(0, p.Pass), Bar: p.Bar, Beat: nearestPlace(p.Beat, c.score.Meter),
	}
	if f.Beat >= c.score.Meter.BeatAt(c.score.Bars[f.Bar].Len) && f.Bar+1 < len(c.score.Bars) {
		f.Bar, f.Beat = f.Bar+1, 1
	}
	return f
}

// nearestPlace rounds a beat to the nearest sixteenth of the bar.
func nearestPlace(beat float64, m meter.Meter) float64 {
	steps := float64(m.Beat() / meter.Sixteenth)
	return 1 + float64(int((beat-1)*steps+0.5))/steps
}
