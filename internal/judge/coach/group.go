package coach

import (
	"iter"
	"math/bits"
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

// Together is how long after its first note a chord's notes may still come:
// chords rolled by up to 50 ms were made to test whether listeners hear them as
// one event (Hove, Keller and Krumhansl 2007), and the onsets of players in
// ensemble differ by 30 to 50 ms unheard (Rasch 1979, quoted second-hand).
const Together = 50 * time.Millisecond

// Rolled is the same for a chord that is rolled on purpose. A roll may take
// longer; then its notes are judged as they come.
const Rolled = 200 * time.Millisecond

// strike is one note as it was struck.
type strike struct {
	key      pitch.Num
	velocity uint8
	at       time.Duration
	hand     pattern.Hand // where it is thought to belong
	taken    bool         // already part of a stroke that was told
}

// group is the notes struck together, lowest first.
type group struct {
	notes [finding.MostKeys]strike
	n     int
	start time.Duration
	place meter.Ticks   // where the tune is then; only where the chart has one
	roll  time.Duration // how long a roll in it may take; 0 where none is wanted
	slots [2]int        // the stroke open in each hand when the group began, or -1

	before  [2]handBefore
	settled bool // where the player leads: its place is taken for known
}

func (g *group) active() bool { return g.n > 0 }

func (g *group) ends() time.Duration { return g.start + max(Together, g.roll) }

// add puts a note in its place. It reports false where the group is full.
func (g *group) add(s strike) bool {
	if g.n == 0 {
		g.before[0].valid, g.before[1].valid = false, false
	}
	if g.n == finding.MostKeys {
		return false
	}
	i := g.n
	for ; i > 0 && g.notes[i-1].key > s.key; i-- {
		g.notes[i] = g.notes[i-1]
	}
	g.notes[i] = s
	g.n++
	return true
}

// fresh goes through a hand's notes that are no part yet of a stroke that was told,
// low to high.
func (g *group) fresh(h pattern.Hand) iter.Seq[*strike] {
	return func(yield func(*strike) bool) {
		for i := range g.notes[:g.n] {
			if n := &g.notes[i]; n.hand == h && !n.taken && !yield(n) {
				return
			}
		}
	}
}

// Weights of the search for which hand struck which note. One wrong note costs
// more than one missing, so that notes go where they are wanted; then the hand
// that is nearer gets them.
const (
	costForeign = 32
	costLacking = 24
	costDoubled = 24 // a note of the chord that is there already
	costSilent  = 12 // a hand that strikes nothing at all where it should
	mostSilent  = 72 // at most: it may yet come
	costSpare   = 12 // a note that may be left out, left out
	costUnasked = 36 // a note of a hand that has nothing to play now
	costBeside  = 16 // a wrong note beside the lone note of the tune, which has come
	costMelody  = 4  // a note of a hand that plays the tune
	costCrowded = 24 // each semitone less than a third between a tune's note and the other hand's
	costInside  = 10 // each semitone that a note of the tune lies inside the other hand's figure
	costOffBeat = 72 // a stroke as far from its time as a stroke may be
	costPerStep = 5  // each semitone beyond the hand's span, from where it is expected
	handSpan    = 9  // semitones to either side that a hand reaches without moving
)

// assign decides which notes of the group each hand struck: the lower ones the
// left, the upper ones the right, cut where that explains them best.
func (c *Coach) assign() {
	g := &c.group
	g.roll = c.rollTime()
	if len(c.score.Melody) > 0 {
		g.place = c.position(g.start).At
	}
	best, cut := int(^uint(0)>>1), 0
	for s := 0; s <= g.n; s++ {
		cost := c.handCost(pattern.Left, 0, s) + c.handCost(pattern.Right, s, g.n)
		if cost < best {
			best, cut = cost, s
		}
	}
	for i := range g.notes[:g.n] {
		if g.notes[i].taken {
			continue
		}
		g.notes[i].hand = pattern.Right
		if i < cut {
			g.notes[i].hand = pattern.Left
		}
	}
}

// rollTime is how long the group may wait for the rest of a rolled chord: not
// past half the way to the next stroke of either hand, and not at all while
// another stroke is to come first.
func (c *Coach) rollTime() time.Duration {
	roll := c.rolled()
	if roll == nil {
		return 0
	}
	room := Rolled
	for h, l := range c.lines {
		if j := c.group.slots[h]; j >= 0 && !l.free() && l.want(j).At < roll.At {
			return 0 // which comes before it
		}
		if i := l.firstFrom(roll.At + 1); i < len(l.wants) {
			room = min(room, c.lasts(roll.At, l.want(i).At)/2)
		}
	}
	return room
}

// rolled is a rolled stroke that is still to be told, or nil.
func (c *Coach) rolled() *score.Want {
	for h, l := range c.lines {
		if j := c.group.slots[h]; j >= 0 && !l.free() && l.want(j).Roll && !l.at(j).judged && c.mayBegin(l, j) {
			return l.want(j)
		}
	}
	return nil
}

// mayBegin reports a group that comes late enough to begin a roll, which begins on
// its beat; an earlier one is the end of what goes before.
func (c *Coach) mayBegin(l *line, j int) bool {
	return c.leader != nil || l.time(j)-c.group.start <= 2*Together
}

// handCost is how badly the group's notes from to before explain what a hand is
// to play. Notes that were already told of count only for the hand they are in.
func (c *Coach) handCost(h pattern.Hand, from, before int) int {
	l := c.lines[h]
	j := c.group.slots[h]
	if l.free() {
		return c.melodyCost(h, from, before)
	}
	if j < 0 {
		return c.unaskedCost(l, from, before)
	}
	w, s := l.want(j), l.at(j)
	if c.past(s) {
		return c.unaskedCost(l, from, before)
	}
	served, cost, wrong := s.matched, 0, 0
	place := l.place(j)
	if from < before {
		cost += costOffBeat * l.away(j, c.group.start) / 100
	}
	for i := from; i < before; i++ {
		n := &c.group.notes[i]
		if n.taken {
			cost += takenElsewhere(n, h)
			continue
		}
		f, tone, _ := l.match(w, n.key, served)
		switch f {
		case wanted:
			served |= 1 << uint(tone)
		case doubling:
			cost += costDoubled
		case foreign:
			if c.longBefore(l, j) || c.longAfter(l, j) {
				return c.unaskedCost(l, from, before) + c.lackCost(l, j, s.matched, true)
			}
			cost += costForeign
			wrong++
		}
	}
	cost += c.reachCost(from, before, place)
	if w.Role != score.Block && len(w.Tones) == 1 && served != 0 {
		cost += costBeside * wrong
	}
	return cost + c.lackCost(l, j, served, from == before)
}

// lackCost is the cost of what stroke j still lacks with some tones served: nothing
// once it was told of, or before it is due; not much for a hand that is silent as
// yet.
func (c *Coach) lackCost(l *line, j int, served uint32, silent bool) int {
	w, s := l.want(j), l.at(j)
	if s.judged || !c.due(l, j) {
		return 0
	}
	lacks := lacking(w, served)
	spared := len(w.Tones) - bits.OnesCount32(served) - lacks
	cost := costLacking*lacks + costSpare*spared
	if silent && s.heard.Len() == 0 {
		return min(cost+costSilent, mostSilent)
	}
	return cost
}

// reachCost is how far a hand with the group's notes from to before has moved from
// the key around which it is expected, and how wide it is open.
func (c *Coach) reachCost(from, before, place int) int {
	if from == before {
		return 0
	}
	low, high := int(c.group.notes[from].key), int(c.group.notes[before-1].key)
	return distanceCost((low+high)/2, place) + costPerStep*max(0, high-low-openHand)
}

// openHand is how many semitones a hand spans with ease: a ninth.
const openHand = 14

// due reports that stroke j may be expected by now.
func (c *Coach) due(l *line, j int) bool {
	if c.leader != nil {
		return true
	}
	before, _ := l.attempt(j, c.level)
	return c.group.start >= l.time(j)-max(before/2, l.tolerance(j, c.level))
}

// takenElsewhere keeps the cut from crossing notes that were told already.
func takenElsewhere(n *strike, h pattern.Hand) int {
	if n.hand == h {
		return 0
	}
	return costForeign
}

func distanceCost(key, place int) int {
	d := key - place
	if d < 0 {
		d = -d
	}
	return d/4 + costPerStep*max(0, d-handSpan)
}

func (c *Coach) unaskedCost(l *line, from, before int) int {
	j := min(l.cursor, len(l.wants)-1)
	if l.loops {
		j = l.cursor
	}
	place, cost := l.place(j), 0
	for i := from; i < before; i++ {
		if n := &c.group.notes[i]; n.taken {
			cost += takenElsewhere(n, l.hand)
		} else {
			cost += costUnasked + distanceCost(int(n.key), place)
		}
	}
	return cost
}
