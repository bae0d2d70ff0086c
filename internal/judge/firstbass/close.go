package firstbass

import (
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/music/pitch"
)

// rejoice tells a bar that is right as soon as nothing lacks.
func (l *Listener) rejoice(v *visit, now time.Duration) {
	f := v.last()
	if v.told || v.right || !v.full || l.s.Bars[v.bar].Number == 0 || f == nil || f.chord < 0 || f.reach < l.barEnd(v.bar) || l.lacking(v) != nil {
		return
	}
	if !l.strays(v) {
		l.praise(v, now)
	}
}

// lacking is the first bass of a bar that lacks something, of those that stand
// for a while: one that gave way within its own beat, or was struck again, does
// not.
func (l *Listener) lacking(v *visit) *placedBass {
	for i := range v.basses {
		f := &v.basses[i]
		if i+1 < len(v.basses) {
			g := &v.basses[i+1]
			if g.chord == f.chord {
				g.fifth, g.third, g.high = g.fifth || f.fifth, g.third || f.third, g.high || f.high
				continue
			}
			if g.pos-f.pos < l.s.Meter.Beat() {
				continue
			}
		}
		if f.chord >= 0 && l.needs(f) != finding.Right {
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
	if v != l.here || v.bar < n.Bar || f == nil || f.chord <= int(Tonic) {
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
	if f := v.last(); l.strays(v) && !l.heldChord(v, now) {
		home := []int{int(Tonic)}
		at := max(l.s.Melody[len(l.s.Melody)-1].At, l.s.Bars[v.bar].At)
		l.tell(v, wrong(finding.NotHome, f.chord, f.key, l.nearest(f.key, home), home), at, now)
	}
	l.rejoice(v, now)
}

func (l *Listener) closeBar(v *visit, now time.Duration) {
	l.takeCarried(v, now)
	f := v.last()
	if f == nil {
		at := l.s.Bars[v.bar].At
		choices := l.th.Choices(at)
		l.tell(v, wrong(finding.Missing, -1, 0, l.nearest(l.lastBass(v), choices), choices), at, now)
		return
	}
	if f.chord >= 0 && f.reach < l.barEnd(v.bar) && v.moving != never {
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
	c.pos, c.reach = bar.At, l.th.Reach(c.chord, bar.At)
	if half := time.Duration(float64(bar.Len) * l.tr.perTick / 2); until-v.at >= half && c.reach > bar.At {
		v.basses = append(v.basses, *c)
	}
}

// closeUppers tells a fifth or third that did not come. Where a bass was held on
// and another key taken for a new one, that key may have been its fifth.
func (l *Listener) closeUppers(v *visit, now time.Duration) {
	f := l.lacking(v)
	if f == nil || l.heldChord(v, now) {
		return
	}
	b := &l.th.primary[f.chord]
	lacks, tone := l.needs(f), b.Fifth
	if lacks != finding.NoFifth {
		tone, _ = l.third(b, v.bar)
	}
	l.tell(v, wrong(lacks, f.chord, f.key, tone.Class().From(f.key), nil), f.pos, now)
}

// heldChord reports that all that was struck stands on a bass held on from the
// bar before, and is what was asked for.
func (l *Listener) heldChord(v *visit, now time.Duration) bool {
	c := v.carried
	if c == nil || !v.heldOut(now) || len(v.basses) != 1 || l.o.Voicing != WithFifth {
		return false
	}
	return v.basses[0].key > c.key && v.basses[0].key.Class() == l.th.primary[c.chord].Fifth.Class()
}

// lastBass is a key near which the hand was last.
func (l *Listener) lastBass(v *visit) pitch.Num {
	if v.carried != nil {
		return v.carried.key
	}
	return homeBass
}
