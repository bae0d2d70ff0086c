package coach

import (
	"time"

	"undersong/internal/meter"
	"undersong/internal/pattern"
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
	var told [2]*Finding
	var spare [2]Finding
	for h, l := range c.lines {
		if l.free() {
			continue
		}
		j := g.slots[h]
		if j < 0 {
			c.tellUnasked(l, at)
			continue
		}
		s := l.at(j)
		if s.complete && g.start > s.doneAt+afterthought {
			c.tellUnasked(l, at)
			continue
		}
		if c.astray(l, j) {
			c.setAside(l, j, at)
			continue
		}
		c.dropEarly(l, j, at)
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

// setAside keeps the right notes struck long before their time, in case none
// come nearer to it; all others are told as a stroke that nothing asked for.
func (c *Coach) setAside(l *line, j int, at time.Duration) {
	s := l.at(j)
	_, ok := c.served(l, j)
	if !c.longBefore(l, j) || !ok || s.early.Len() > 0 {
		c.tellUnasked(l, at)
		return
	}
	for i := range c.group.notes[:c.group.n] {
		if n := &c.group.notes[i]; n.hand == l.hand && !n.taken {
			n.taken = true
			s.early.insert(n.key)
		}
	}
	s.earlyAt = c.group.start
}

// dropEarly tells of notes set aside as an extra stroke, now that stroke j has
// come after all.
func (c *Coach) dropEarly(l *line, j int, at time.Duration) {
	s := l.at(j)
	if s.early.Len() == 0 || !c.has(l.hand) {
		return
	}
	c.tell(c.extraAt(l, s.earlyAt, at, s.early))
	s.early = Keys{}
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

// tellUnasked tells of notes struck where the hand has nothing to play.
func (c *Coach) tellUnasked(l *line, at time.Duration) {
	var heard Keys
	ended := c.position(c.group.start).Ended // after the end everything is allowed
	for i := range c.group.notes[:c.group.n] {
		n := &c.group.notes[i]
		if n.hand == l.hand && !n.taken {
			n.taken = true
			heard.insert(n.key)
		}
	}
	if heard.Len() == 0 || ended {
		return
	}
	f := c.extraAt(l, c.group.start, at, heard)
	if before := c.unaskedBefore(&f); before != nil {
		before.Part = BothHands
		for i := range heard.Len() {
			before.Heard.insert(heard.At(i))
		}
		return
	}
	c.tell(f)
}

// unaskedBefore is what was told of the other hand's part of the same stroke, or
// nil.
func (c *Coach) unaskedBefore(f *Finding) *Finding {
	last := len(c.out) - 1
	if last < 0 || f.Part != RightHand {
		return nil
	}
	if o := &c.out[last]; o.Kind == Extra && o.Part == LeftHand && o.Want < 0 && o.At == f.At && o.Bar == f.Bar && o.Beat == f.Beat {
		return o
	}
	return nil
}

// extraAt is the finding of a stroke that nothing asked for, struck at one time
// and known at another.
func (c *Coach) extraAt(l *line, struck, known time.Duration, heard Keys) Finding {
	p := c.position(struck)
	f := Finding{
		Kind: Extra, Part: partOf(l.hand), At: known, Want: -1, Second: -1, Heard: heard,
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
