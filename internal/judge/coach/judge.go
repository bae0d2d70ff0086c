package coach

import (
	"math/bits"
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/music/chord"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

// judgeComplete tells of a stroke that has all its notes: right, or in another
// inversion or octave, or out of time.
func (c *Coach) judgeComplete(l *line, j int, at time.Duration) {
	s, w := l.at(j), l.want(j)
	s.judged, s.complete, s.doneAt = true, true, at
	f := c.finding(l, j, finding.Right, at)
	var tolerance, usual time.Duration
	if c.leader == nil {
		f.Offset = s.sumAt/time.Duration(s.struck) - l.time(j)
		if w.Roll { // a roll begins on the beat, and takes its time
			f.Offset = s.firstAt - l.time(j)
		}
		tolerance = l.tolerance(j, c.level)
		c.tally.Time(l.hand, at, f.Offset)
		usual = c.habit.usual()
		c.habit.add(f.Offset)
	}
	s.buried = w.Role == score.Melody && !l.tuneOnTop(w, s)
	switch {
	case !c.inversionHolds(l, j):
		f.Kind = finding.WrongInversion
		s.ideal = l.goal(j)
	case s.buried:
		f.Kind = finding.WrongInversion
	case s.octave:
		f.Kind = finding.WrongNote
	case f.Offset < -tolerance && f.Offset-usual < -tolerance:
		f.Kind = finding.Early
	case f.Offset > tolerance && f.Offset-usual > tolerance:
		f.Kind = finding.Late
	}
	if w.Role != score.Melody {
		c.streak.right(w, f.Pass)
	}
	c.balance.add(j/len(l.wants)*len(c.score.Bars)+w.Bar, w, s)
	l.moved(j, &s.heard)
	c.tell(f)
}

// inversionHolds checks a whole chord's lowest note. The nearest inversion is
// one whose fingers travel no further than the shortest way, from what was
// really played before, from what should have been, or from what is shown; or it is
// the one that is shown, which a register may keep from being the nearest. After a
// wrong chord any inversion is a fair new beginning.
func (c *Coach) inversionHolds(l *line, j int) bool {
	w, s := l.want(j), l.at(j)
	if !w.Whole || w.Inversion == pattern.AnyInversion {
		return true
	}
	if w.Inversion >= 0 {
		return s.heard.At(0).Class() == w.Bottom
	}
	before := l.lastWhole(j)
	if before == nil || !before.complete {
		return true
	}
	shown := l.shown(before.index)
	near := func(from *finding.Keys) bool {
		return from.Len() > 0 && motion(from, &s.heard) <= shortest(from, w, s.matched)+nearEnough
	}
	return near(&before.heard) || near(&before.ideal) || near(&shown) || s.heard == l.shown(j)
}

// nearEnough is by how many semitones of finger travel another voicing may miss
// the nearest one: as near as makes no difference to the hand.
const nearEnough = 1

// lastWhole is the slot of the whole chord before stroke j, where it is still
// remembered.
func (l *line) lastWhole(j int) *slot {
	for i := j - 1; i >= 0 && i > j-ring; i-- {
		if s := &l.slots[i%ring]; l.want(i).Whole && s.index == i {
			return s
		}
	}
	return nil
}

// tellTogether tells both hands' mistakes, as one wrong chord where they make
// one.
func (c *Coach) tellTogether(told [2]*finding.Finding) {
	left, right := told[pattern.Left], told[pattern.Right]
	if c.score.Only == score.BothHands && left != nil && right != nil && left.Kind == finding.WrongBass && (right.Kind == finding.WrongChord || right.Kind == finding.WrongNote && c.makesChord(left, right)) {
		f := *left
		f.Kind, f.Part, f.Second = finding.WrongChord, finding.BothHands, right.Want
		for i := 0; i < right.Heard.Len(); i++ {
			f.Heard.Insert(right.Heard.At(i))
		}
		c.tell(f)
		return
	}
	for _, f := range told {
		if f != nil {
			c.tell(*f)
		}
	}
}

// makesChord reports that what both hands struck is a plain chord of its own.
func (c *Coach) makesChord(left, right *finding.Finding) bool {
	var set chord.Set
	for _, f := range []*finding.Finding{left, right} {
		for i := 0; i < f.Heard.Len(); i++ {
			set = set.With(f.Heard.At(i).Class())
		}
	}
	r := c.ear.Best(set, left.Heard.At(0).Class())
	return r.Named() && r.Added == 0
}

// judgeForeign tells of a stroke with notes that do not belong.
func (c *Coach) judgeForeign(l *line, j int, at time.Duration) (finding.Finding, bool) {
	s, w := l.at(j), l.want(j)
	f := c.finding(l, j, finding.Extra, at)
	if s.judged {
		if !s.complete {
			return f, false // told once is enough
		}
		return f, true
	}
	s.judged = true
	if !c.led.unsure { // where the stroke stands elsewhere the hand may be where it should
		l.moved(j, &s.heard)
	}
	lacks := lacking(w, s.matched)
	switch {
	case lacks == 0 && !replaced(w, s):
		s.complete, s.doneAt = true, at
	case w.Role == score.Melody && len(w.Tones) == 1:
		f.Kind = finding.WrongNote
	case w.Role != score.Block && w.Role != score.Melody:
		f.Kind = finding.WrongNote
		if w.Role == score.Bass {
			f.Kind = finding.WrongBass
		}
		return f, c.streak.wrong(&f, w)
	case replaced(w, s):
		f.Kind = finding.WrongNote
	default:
		f.Kind = finding.WrongChord
	}
	return f, true
}

// replaced reports a chord in which one note stands for another, one that may
// be left out included.
func replaced(w *score.Want, s *slot) bool {
	absent := len(w.Tones) - bits.OnesCount32(s.matched)
	return len(w.Tones) > 1 && s.foreign == 1 && s.matched != 0 && lacking(w, s.matched) <= 1 && absent > 0
}

func (c *Coach) checkLength(l *line, j int, at time.Duration) {
	s, w := l.at(j), l.want(j)
	if w.Free || w.Dur < c.score.Meter.Beat() {
		return
	}
	written := c.lasts(w.At, w.At+w.Dur)
	from := s.sumAt / time.Duration(s.struck)
	if c.leader == nil {
		from = min(from, l.time(j)) // a late stroke may end in time
	}
	share := float64(at-from) / float64(written)
	if share < c.level.Held {
		f := c.finding(l, j, finding.Short, at)
		f.Share = share
		c.shorts.push(f)
	}
}
