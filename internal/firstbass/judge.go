package firstbass

import (
	"time"

	"undersong/internal/meter"
	"undersong/internal/pitch"
	"undersong/internal/score"
)

// judge takes keys struck together under the tune, low to high, at a place in a
// bar.
func (l *Listener) judge(v *visit, group []struck, pos meter.Ticks, now time.Duration) {
	if g := v.ground(&l.keys); l.stands(v, g, group[0], pos) {
		if v == l.here {
			l.closeBefore(now) // its bass cannot come any more
		}
		v.begin(l.footing(group[0], pos))
		l.judgeBass(v, group, now)
		group = group[1:]
	}
	if f := v.last(); f == nil && v.carried != nil && len(group) > 0 {
		v.begin(l.footing(v.carried.struck, l.s.Bars[v.bar].At)) // what is struck above it makes it this bar's own
	}
	for _, k := range group {
		l.judgeUpper(v, k, now)
	}
	l.rejoice(v, now)
}

func (v *visit) begin(f footing) {
	v.basses = append(v.basses, f)
	v.moving = 0
}

// footing is a key as a bass at a place.
func (l *Listener) footing(k struck, pos meter.Ticks) footing {
	f := footing{struck: k, pos: pos, stock: -1, reach: pos}
	for i := range l.th.stock {
		if l.th.stock[i].Root.Class() == k.key.Class() {
			f.stock, f.reach = i, l.th.Stays(i, pos)
		}
	}
	return f
}

// stands reports that a key begins a new bass, where ground is the one before: a
// lower key does, and one that fits where nothing else holds it. What belongs to
// the chord on the bass that stands is part of it.
func (l *Listener) stands(v *visit, ground *footing, k struck, pos meter.Ticks) bool {
	is := l.footing(k, pos)
	if ground == nil || k.key <= ground.key {
		return l.low(k.key) || is.stock >= 0 && l.apart(k.key)
	}
	held := l.keys.Down.Has(ground.key)
	if ground == v.carried {
		return is.stock >= 0 && (is.reach > pos || !l.chordal(ground, k.key))
	}
	switch {
	case held:
		return false
	case is.stock < 0:
		return l.o.Rung == BassAlone && l.low(k.key) && !l.chordal(ground, k.key)
	case ground.stock < 0:
		return true
	case l.chordal(ground, k.key):
		return ground.reach <= pos && is.reach > pos
	}
	return is.reach > pos || l.o.Rung == BassAlone
}

// chordal reports a key of the chord on a bass.
func (l *Listener) chordal(f *footing, k pitch.Num) bool {
	return f.stock >= 0 && l.th.stock[f.stock].Has(k.Class())
}

// low reports a key that stands apart from the tune. Closer ones may be slips of
// the hand that plays the tune.
func (l *Listener) low(k pitch.Num) bool {
	return k <= l.tr.lowNear(l.tr.bestO, l.heard)-aFifthBelow
}

// apart reports a key that is no slip to a key beside the tune's.
func (l *Listener) apart(k pitch.Num) bool {
	return k < l.tr.lowNear(l.tr.bestO, l.heard)-slipNear
}

// judgeBass tells what is wrong with the bass that was just struck, the lowest of
// a group.
func (l *Listener) judgeBass(v *visit, group []struck, now time.Duration) {
	f := v.last()
	end := l.barEnd(v.bar)
	choices := l.th.Choices(f.pos)
	switch {
	case f.stock < 0:
		kind := NotStock
		for _, k := range group[1:] {
			if is := l.footing(k, f.pos); is.stock >= 0 && is.reach > f.pos {
				kind = NotLowest
			}
		}
		l.tell(v, Finding{Kind: kind, Key: f.key, Bass: -1, Choices: choices, Goal: l.nearest(f.key, choices)}, f.pos, now)
	case f.reach == f.pos:
		l.tell(v, Finding{
			Kind: Misfit, Key: f.key, Bass: f.stock, Choices: choices,
			Goal: l.nearest(f.key, choices), Tune: l.against(f.stock, f.pos, end),
		}, f.pos, now)
	}
}

// left tells that the tune has left a bass behind that fitted at first.
func (l *Listener) left(v *visit, now time.Duration) {
	v.moving = never
	f := v.last()
	choices := l.th.Choices(f.reach)
	l.tell(v, Finding{
		Kind: Misfit, Key: f.key, Bass: f.stock, Choices: choices, Later: true,
		Goal: l.nearest(f.key, choices), Tune: l.against(f.stock, f.reach, l.barEnd(v.bar)),
	}, f.reach, now)
}

// nearest is the root among choices that lies nearest to a key; 0 where there is
// no choice.
func (l *Listener) nearest(k pitch.Num, choices []int) pitch.Num {
	best := pitch.Num(0)
	for _, i := range choices {
		n := nearestOf(l.th.stock[i].Root.Class(), k)
		if best == 0 || distance(n, k) < distance(best, k) {
			best = n
		}
	}
	return best
}

func distance(a, b pitch.Num) pitch.Num { return max(a-b, b-a) }

// nearestOf is the key of a class at most six semitones from another key, on the
// piano.
func nearestOf(c pitch.Class, from pitch.Num) pitch.Num {
	up := c.Above(from.Class())
	if up > 6 {
		up -= 12
	}
	k := from + pitch.Num(up)
	for k < pitch.PianoLow {
		k += 12
	}
	for k > pitch.PianoHigh {
		k -= 12
	}
	return k
}

// against lists up to three notes of the tune, each pitch class once, that are
// foreign to bass i and no mere ornaments; where all adorn it, the first foreign
// one.
func (l *Listener) against(i int, from, to meter.Ticks) []int {
	var all, spare []int
	var seen [12]bool
	b := &l.th.stock[i]
	for _, r := range l.th.runs(from, to) {
		c := l.s.Melody[r.first].Key().Class()
		if b.Has(c) || seen[c] {
			continue
		}
		if l.th.embellishes(b, r, from, to) {
			spare = append(spare, r.first)
			continue
		}
		seen[c] = true
		if len(all) < mostNamed {
			all = append(all, r.first)
		}
	}
	if len(all) == 0 && len(spare) > 0 {
		return spare[:1]
	}
	return all
}

// mostNamed notes are named at most.
const mostNamed = 3

// judgeUpper takes a key above the bass.
func (l *Listener) judgeUpper(v *visit, k struck, now time.Duration) {
	f := v.last()
	if l.o.Rung == BassAlone || f == nil || f.stock < 0 || k.key <= f.key {
		return
	}
	b := &l.th.stock[f.stock]
	class := k.key.Class()
	switch {
	case class == b.Fifth.Class():
		f.fifth = true
	case l.thirdHere(b, v.bar, class):
		if k.key < l.tr.tuneKey(l.heard) {
			f.third = true
		} else {
			f.high = true
		}
	case class == b.Root.Class(), b.Has(class) && !b.isThird(class):
	case !l.apart(k.key), !l.low(k.key) && !l.nearTone(b, class):
		// too near the tune and too far from the chord to be told from a slip
	default:
		l.wrongUpper(v, f, k, now)
	}
}

// thirdHere reports a third that goes with the tune of a bar: where the tune has
// one of the two kinds, the other one does not.
func (l *Listener) thirdHere(b *Bass, bar int, c pitch.Class) bool {
	if !b.isThird(c) {
		return false
	}
	want, both := l.third(b, bar)
	return both || c == want.Class()
}

// third is the third that is wanted above a bass in a bar, and whether the other
// kind does as well.
func (l *Listener) third(b *Bass, bar int) (want pitch.Note, both bool) {
	has, hasOther := false, false
	for i := l.first[bar] - 1; i >= 0 && i < l.lastIn[bar]; i++ {
		c := l.s.Melody[i].Key().Class()
		has = has || c == b.Third.Class()
		hasOther = hasOther || c == b.other.Class()
	}
	if hasOther && !has {
		return b.other, false
	}
	return b.Third, !has
}

// nearTone reports a class within a half step of the third or the fifth.
func (l *Listener) nearTone(b *Bass, c pitch.Class) bool {
	for _, n := range []pitch.Note{b.Third, b.Fifth} {
		if d := c.Above(n.Class()); d == 1 || d == 11 {
			return true
		}
	}
	return false
}

// wrongUpper tells a note that stands in the place of the fifth or the third.
func (l *Listener) wrongUpper(v *visit, f *footing, k struck, now time.Duration) {
	b := &l.th.stock[f.stock]
	third, _ := l.third(b, v.bar)
	toFifth := distance(nearestOf(b.Fifth.Class(), k.key), k.key)
	toThird := distance(nearestOf(third.Class(), k.key), k.key)
	asFifth := l.o.Rung == WithFifth || toFifth < toThird && !f.fifth || f.third
	found := Finding{Kind: WrongThird, Key: k.key, Bass: f.stock, Goal: nearestOf(third.Class(), k.key)}
	if asFifth {
		found.Kind, found.Goal = WrongFifth, nearestOf(b.Fifth.Class(), k.key)
	}
	l.tell(v, found, f.pos, now)
}

// needs is the first thing that a bass lacks on this rung; Right where nothing.
func (l *Listener) needs(f *footing) Kind {
	switch {
	case l.o.Rung >= WithFifth && !f.fifth:
		return NoFifth
	case l.o.Rung == WithTriad && !f.third && f.high:
		return HighThird
	case l.o.Rung == WithTriad && !f.third:
		return NoThird
	}
	return Right
}

// rejoice tells a bar that is right as soon as nothing lacks.
func (l *Listener) rejoice(v *visit, now time.Duration) {
	f := v.last()
	if v.told || v.right || !v.full || l.s.Bars[v.bar].Number == 0 || f == nil || f.stock < 0 || f.reach < l.barEnd(v.bar) || l.lacking(v) != nil {
		return
	}
	if !l.strays(v) {
		l.praise(v, now)
	}
}

// lacking is the first bass of a bar that lacks something, of those that stand
// for a while: one that gave way within its own beat, or was struck again, does
// not.
func (l *Listener) lacking(v *visit) *footing {
	for i := range v.basses {
		f := &v.basses[i]
		if i+1 < len(v.basses) {
			g := &v.basses[i+1]
			if g.stock == f.stock {
				g.fifth, g.third, g.high = g.fifth || f.fifth, g.third || f.third, g.high || f.high
				continue
			}
			if g.pos-f.pos < l.s.Meter.Beat() {
				continue
			}
		}
		if f.stock >= 0 && l.needs(f) != Right {
			return f
		}
	}
	return nil
}

// strays reports a tune that ends in this bar, where its last note would bear the
// tonic, over another bass.
func (l *Listener) strays(v *visit) bool {
	f := v.last()
	n := &l.s.Melody[len(l.s.Melody)-1]
	if v != l.here || v.bar < n.Bar || f == nil || f.stock <= int(Tonic) {
		return false
	}
	at := max(n.At, l.s.Bars[v.bar].At)
	return l.th.Reach(int(Tonic), at) > at
}

// closeBefore judges the bar before the one that is played, if it waits.
func (l *Listener) closeBefore(now time.Duration) {
	if v := l.before; v != nil {
		l.before = nil
		l.close(v, now)
	}
}

// close judges what can only be known when a bar is over.
func (l *Listener) close(v *visit, now time.Duration) {
	defer l.enter(v)
	switch {
	case v.full && l.s.Bars[v.bar].Number > 0:
		l.closeBar(v, now)
	case v.held:
		l.closeUppers(v, now)
	}
	if f := v.last(); l.strays(v) {
		home := []int{int(Tonic)}
		at := max(l.s.Melody[len(l.s.Melody)-1].At, l.s.Bars[v.bar].At)
		l.tell(v, Finding{Kind: NotHome, Key: f.key, Bass: f.stock, Choices: home, Goal: l.nearest(f.key, home)}, at, now)
	}
	l.rejoice(v, now)
}

func (l *Listener) closeBar(v *visit, now time.Duration) {
	l.takeCarried(v, now)
	f := v.last()
	if f == nil {
		at := l.s.Bars[v.bar].At
		choices := l.th.Choices(at)
		l.tell(v, Finding{Kind: Missing, Bass: -1, Choices: choices, Goal: l.nearest(l.lastBass(v), choices)}, at, now)
		return
	}
	if f.stock >= 0 && f.reach < l.barEnd(v.bar) && v.moving != never {
		l.left(v, now)
	}
	l.closeUppers(v, now)
}

// takeCarried counts a bass that was held on from the bar before, through half of
// this one, as its own, where this bar has none that fits and it does.
func (l *Listener) takeCarried(v *visit, now time.Duration) {
	c := v.carried
	if c == nil || len(v.basses) > 0 {
		return
	}
	until := v.heldTo
	if until == 0 {
		until = now
	}
	bar := &l.s.Bars[v.bar]
	c.pos, c.reach = bar.At, l.th.Reach(c.stock, bar.At)
	if half := time.Duration(float64(bar.Len) * l.tr.perTick / 2); until-v.at >= half && c.reach > bar.At {
		v.basses = append(v.basses, *c)
	}
}

// closeUppers tells a fifth or third that did not come. Where a bass was held on
// and another key taken for a new one, that key may have been its fifth.
func (l *Listener) closeUppers(v *visit, now time.Duration) {
	f := l.lacking(v)
	if f == nil || l.heldChord(v) {
		return
	}
	b := &l.th.stock[f.stock]
	found := Finding{Kind: l.needs(f), Bass: f.stock, Key: f.key, Goal: f.key + pitch.Num(b.Fifth.Class().Above(f.key.Class()))}
	if found.Kind != NoFifth {
		third, _ := l.third(b, v.bar)
		found.Goal = f.key + pitch.Num(third.Class().Above(f.key.Class()))
	}
	l.tell(v, found, f.pos, now)
}

// heldChord reports that all that was struck stands on a bass held on from the
// bar before, and is what was asked for.
func (l *Listener) heldChord(v *visit) bool {
	c := v.carried
	if c == nil || !l.keys.Down.Has(c.key) || len(v.basses) != 1 || l.o.Rung != WithFifth {
		return false
	}
	return v.basses[0].key > c.key && v.basses[0].key.Class() == l.th.stock[c.stock].Fifth.Class()
}

// lastBass is a key near which the hand was last.
func (l *Listener) lastBass(v *visit) pitch.Num {
	if v.carried != nil {
		return v.carried.key
	}
	return homeBass
}

// homeBass is where a bass is looked for before one was heard (common practice, no
// source).
const homeBass pitch.Num = 48

func beatIn(s *score.Score, bar int, pos meter.Ticks) float64 {
	b := &s.Bars[bar]
	return s.Meter.BeatAt(pos - b.At + s.Meter.Bar() - b.Len)
}
