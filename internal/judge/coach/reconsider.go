package coach

import "undersong/internal/sheet/pattern"

// handBefore is how a hand and its open stroke stood before the group took a
// part of it.
type handBefore struct {
	valid              bool
	slot               slot
	drift, shift, lift int
	loose              bool
}

func (l *line) stand(j int) handBefore {
	return handBefore{true, *l.at(j), l.drift, l.shift, l.lift, l.loose}
}

func (l *line) standAgain(b *handBefore) {
	l.slots[b.slot.index%ring] = b.slot
	l.drift, l.shift, l.lift, l.loose = b.drift, b.shift, b.lift, b.loose
}

// reconsider looks at a group anew that was partly told of when its first notes
// came: the right hand's thumb, struck a little before the bass, may have passed
// for it. Where another division between the hands explains the group better, and
// what was told stays right in it, the notes change hands.
func (c *Coach) reconsider() {
	g := &c.group
	if !g.told() || g.allTaken() {
		return
	}
	troubles := c.troubles()
	if troubles == 0 {
		return
	}
	kept := g.notes
	var stood [2]handBefore
	for h, l := range c.lines {
		if g.before[h].valid {
			stood[h] = l.stand(g.slots[h])
			l.standAgain(&g.before[h])
		}
	}
	for i := range g.notes[:g.n] {
		g.notes[i].taken = false
	}
	c.assign()
	if c.stillRight() && c.troubles() < troubles {
		c.changeHands(&stood)
		return
	}
	g.notes = kept
	for h, l := range c.lines {
		if stood[h].valid {
			l.standAgain(&stood[h])
		}
	}
}

func (g *group) allTaken() bool {
	for i := range g.notes[:g.n] {
		if !g.notes[i].taken {
			return false
		}
	}
	return true
}

// troubles counts what is wrong with the group as it is divided: notes that belong
// to nothing, and notes that lack.
func (c *Coach) troubles() int {
	n := 0
	for h, l := range c.lines {
		if l.free() {
			continue
		}
		j := c.group.slots[h]
		if j < 0 {
			for range c.group.fresh(l.hand) {
				n++
			}
			continue
		}
		served, foreign := c.divided(l, j)
		n += foreign
		if !l.at(j).judged {
			n += lacking(l.want(j), served)
		}
	}
	return n
}

// divided is what a hand's notes serve of stroke j, and how many serve nothing.
func (c *Coach) divided(l *line, j int) (served uint32, wrong int) {
	w := l.want(j)
	served = l.at(j).matched
	for n := range c.group.fresh(l.hand) {
		switch f, tone, _ := l.match(w, n.key, served); f {
		case foreign:
			wrong++
		case wanted:
			served |= 1 << uint(tone)
		}
	}
	return served, wrong
}

// stillRight reports that the strokes told of are right as the group is divided.
func (c *Coach) stillRight() bool {
	for h, l := range c.lines {
		if !c.group.before[h].valid {
			continue
		}
		served, wrong := c.divided(l, c.group.slots[h])
		if wrong > 0 || lacking(l.want(c.group.slots[h]), served) > 0 {
			return false
		}
	}
	return true
}

// changeHands gives the strokes told of the notes that are theirs now.
func (c *Coach) changeHands(stood *[2]handBefore) {
	for h, l := range c.lines {
		if !stood[h].valid {
			continue
		}
		c.commit(pattern.Hand(h))
		s := l.at(c.group.slots[h])
		s.judged, s.complete, s.doneAt = true, true, stood[h].slot.doneAt
		l.moved(c.group.slots[h], &s.heard)
	}
}
