package firstbass

import (
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/music/pitch"
)

// judgeUpper takes a key above the bass.
func (l *Listener) judgeUpper(v *visit, k struck, now time.Duration) {
	f := v.last()
	if l.o.Voicing == BassAlone || f == nil || f.chord < 0 || k.key <= f.key {
		return
	}
	b := &l.th.primary[f.chord]
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
		hasOther = hasOther || c == b.Other.Class()
	}
	if hasOther && !has {
		return b.Other, false
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
func (l *Listener) wrongUpper(v *visit, f *placedBass, k struck, now time.Duration) {
	b := &l.th.primary[f.chord]
	third, _ := l.third(b, v.bar)
	toFifth := distance(nearestOf(b.Fifth.Class(), k.key), k.key)
	toThird := distance(nearestOf(third.Class(), k.key), k.key)
	asFifth := l.o.Voicing == WithFifth || toFifth < toThird && !f.fifth || f.third
	kind, tone := finding.WrongThird, third
	if asFifth {
		kind, tone = finding.WrongFifth, b.Fifth
	}
	l.tell(v, wrong(kind, f.chord, k.key, nearestOf(tone.Class(), k.key), nil), f.pos, now)
}

// needs is the first thing that a bass lacks in this voicing; Right where nothing.
func (l *Listener) needs(f *placedBass) finding.Kind {
	if l.o.Voicing >= WithFifth && !f.fifth {
		return finding.NoFifth
	}
	if l.o.Voicing < WithTriad || f.third {
		return finding.Right
	}
	if f.high {
		return finding.HighThird
	}
	return finding.NoThird
}
