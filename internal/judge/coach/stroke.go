package coach

import (
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/judge/rules"
	"undersong/internal/listen/handsep"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
)

// tellIfSure confirms a hand's stroke as soon as its last note has come.
func (c *Coach) tellIfSure(h *handsep.Hand, at time.Duration) {
	if c.sep.Sure(h) && !c.timing.Unsure() {
		c.sep.Commit(h)
		c.judgeWhole(h, c.sep.Onset.Open[h.Which].Stroke, at)
	}
}

// judgeWhole tells of a stroke that has all its notes: right, or in another
// inversion or octave, or out of time.
func (c *Coach) judgeWhole(h *handsep.Hand, j int, at time.Duration) {
	st, w := h.Stroke(j), h.Want(j)
	st.Judged, st.Complete, st.DoneAt = true, true, at
	f := c.finding(h, j, finding.Right, at)
	if w.Role == score.Melody {
		c.checkTune(h, j, at)
	}
	var whole rules.Whole
	tolerance, clicked := c.timing.Tolerance(h, j)
	if clicked {
		whole.Spread = rules.Spread(w, c.timing.Off(h, j, st.FirstAt), c.timing.Off(h, j, st.LastAt), tolerance)
		struck := st.Mean()
		if w.Roll { // a roll begins on the beat, and takes its time
			struck = st.FirstAt
		}
		whole.Offset, whole.Tolerance, whole.Usual = c.timing.Off(h, j, struck), tolerance, c.habit.Usual()
	}
	far := h.FarBass(j)
	whole.Misplaced = far && rules.Misplaced(st.Heard.At(0), h.Home(j))
	whole.Turned, whole.Buried, whole.OtherOctave = turned(h, j), st.Buried, st.OtherOctave
	if whole.Turned {
		st.Ideal = h.Goal(j)
	}
	f.Kind, f.Offset = whole.Kind(), whole.Offset
	if f.Kind == finding.Spread {
		f.Offset = st.LastAt - st.FirstAt
	} else if clicked {
		c.tally.Time(h.Which, at, f.Offset)
		c.habit.Add(f.Offset)
	}
	if w.Role != score.Melody {
		c.streak.Right(w, f.Pass)
	}
	c.bars.add(h.Pass(j)*len(c.score.Bars)+w.Bar, w, st)
	if !far {
		h.Moved(j)
	}
	c.Tell(f)
}

// checkTune finds out whether a stroke of the tune has the tune on top, and tells of
// the one before where that alone lay in another octave.
func (c *Coach) checkTune(h *handsep.Hand, j int, at time.Duration) {
	onTop, leapt := h.TuneOnTop(j)
	h.Stroke(j).Buried = !onTop
	if leapt >= 0 {
		f := c.finding(h, leapt, finding.WrongNote, at)
		f.Goal = h.Written(leapt)
		c.Tell(f)
	}
}

// turned reports a chord in another inversion than is asked for.
func turned(h *handsep.Hand, j int) bool {
	st, shown := h.Stroke(j), h.Shown(j)
	before := h.LastWhole(j)
	if before == nil || !before.Complete {
		return rules.Turned(h.Want(j), &st.Heard, &shown, st.Served, nil)
	}
	from := [3]pitch.Nums{before.Heard, before.Ideal, h.Shown(before.Index)}
	return rules.Turned(h.Want(j), &st.Heard, &shown, st.Served, from[:])
}

// judgeForeign judges a stroke with notes that do not belong, and reports whether
// it is to be told.
func (c *Coach) judgeForeign(h *handsep.Hand, j int, at time.Duration) (finding.Finding, bool) {
	st, w := h.Stroke(j), h.Want(j)
	f := c.finding(h, j, finding.Extra, at)
	if st.Judged {
		return f, st.Complete // told once is enough
	}
	st.Judged = true
	if !c.timing.Unsure() && !h.FarBass(j) { // where the stroke stands elsewhere the hand may be where it should
		h.Moved(j)
	}
	f.Kind, st.Complete = rules.Foreign(w, st.Served, st.Foreign)
	if st.Complete {
		st.DoneAt = at
		return f, true
	}
	if w.Role == score.Bass || w.Role == score.Figure {
		tell := c.streak.Wrong(&f, w)
		return f, tell
	}
	return f, true
}

// Close ends the time of a hand's next stroke: what has not come by now is missing.
func (c *Coach) Close(h *handsep.Hand, now time.Duration) {
	j := h.Cursor
	h.Cursor++
	st := h.Stroke(j)
	if st.Judged {
		return
	}
	st.Judged = true
	f := c.finding(h, j, rules.Passed(&st.Heard, &st.Early), now)
	if f.Kind == finding.Early {
		f.Heard, f.Offset = st.Early, c.timing.Off(h, j, st.EarlyAt)
	}
	c.Tell(f)
}

// checkLength looks at a stroke whose last key was let go.
func (c *Coach) checkLength(h *handsep.Hand, j int, at time.Duration) {
	st, w := h.Stroke(j), h.Want(j)
	if !rules.Held(w, c.score.Meter) {
		return
	}
	from := st.Mean()
	from -= max(0, c.timing.Off(h, j, from)) // a late stroke may end in time
	if share, short := c.level.Short(at-from, c.timing.Lasts(w.At, w.At+w.Dur)); short {
		f := c.finding(h, j, finding.Short, at)
		f.Share = share
		c.shorts.Push(f)
	}
}

// Begin drops what lies open, where the player begins anew.
func (c *Coach) Begin() {
	c.sep.ReleaseAll()
	c.shorts = rules.Shorts{}
	c.streak = rules.Streak{}
	c.pedal.on = false
	c.bars.bars = [barRing]heardBar{}
}
