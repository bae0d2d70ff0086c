package coach

import (
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/judge/rules"
	"undersong/internal/listen/handsep"
	"undersong/internal/music/chord"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

// closeOnset judges what can no longer become right.
func (c *Coach) closeOnset() {
	o := &c.sep.Onset
	at := o.Ends()
	if !c.timing.Settle(at) {
		return
	}
	c.sep.Reconsider()
	c.sep.Reclaim()
	var told [2]finding.Finding
	var wrong [2]bool
	for i, h := range c.sep.Hands {
		if !h.Free() {
			told[i], wrong[i] = c.closeHand(h, at)
		}
	}
	o.End()
	c.tellTogether(&told, wrong)
}

// closeHand judges a hand's part of an onset that is over. It returns a mistake
// that both hands may have made together.
func (c *Coach) closeHand(h *handsep.Hand, at time.Duration) (f finding.Finding, wrong bool) {
	switch {
	case c.sep.Unasked(h):
		c.tellUnasked(h, at)
		return f, false
	case c.sep.Astray(h): // but right: in case nothing comes nearer
		st := h.Stroke(c.sep.Onset.Open[h.Which].Stroke)
		st.Early, st.EarlyAt = c.sep.Onset.Take(h.Which), c.sep.Onset.Start
		return f, false
	}
	j := c.sep.Onset.Open[h.Which].Stroke
	c.dropEarly(h, j, at)
	st := h.Stroke(j)
	before := st.Foreign
	c.sep.Commit(h)
	if st.Foreign > before {
		return c.judgeForeign(h, j, at)
	}
	if !st.Judged && st.Served != 0 && handsep.Lacking(h.Want(j), st.Served) == 0 {
		c.judgeWhole(h, j, at)
	}
	return f, false
}

// dropEarly tells of notes set aside as an extra stroke, now that stroke j has
// come after all.
func (c *Coach) dropEarly(h *handsep.Hand, j int, at time.Duration) {
	st := h.Stroke(j)
	if st.Early.Len() == 0 || !c.sep.Onset.Has(h.Which) {
		return
	}
	c.Tell(c.extra(h, st.EarlyAt, at, st.Early))
	st.Early.Clear()
}

// tellUnasked tells of notes struck where the hand has nothing to play. A stroke of
// both hands that nothing asks for is one.
func (c *Coach) tellUnasked(h *handsep.Hand, at time.Duration) {
	o := &c.sep.Onset
	ended := c.timing.Position(o.Start).Ended // after the end everything is allowed
	heard := o.Take(h.Which)
	if heard.Len() == 0 || ended {
		return
	}
	f := c.extra(h, o.Start, at, heard)
	if right := c.sep.Hands[pattern.Right]; h.Which == pattern.Left && c.score.Only == score.BothHands && c.sep.Unasked(right) {
		if more := o.Take(pattern.Right); more.Len() > 0 {
			f.Part = finding.BothHands
			f.Heard.InsertAll(&more)
		}
	}
	c.Tell(f)
}

// tellTogether tells both hands' mistakes, as one wrong chord where they make
// one.
func (c *Coach) tellTogether(told *[2]finding.Finding, wrong [2]bool) {
	left, right := &told[pattern.Left], &told[pattern.Right]
	if c.score.Only == score.BothHands && wrong[pattern.Left] && wrong[pattern.Right] && rules.SameChord(left, right, c.namesChord(left, right)) {
		left.Kind, left.Part, left.Second = finding.WrongChord, finding.BothHands, right.Want
		left.Heard.InsertAll(&right.Heard)
		wrong[pattern.Right] = false
	}
	for i := range told {
		if wrong[i] {
			c.Tell(told[i])
		}
	}
}

// namesChord reports that what both hands struck is a plain chord of its own.
func (c *Coach) namesChord(left, right *finding.Finding) bool {
	var set chord.Set
	for _, f := range []*finding.Finding{left, right} {
		for i := 0; i < f.Heard.Len(); i++ {
			set = set.With(f.Heard.At(i).Class())
		}
	}
	r := c.ear.Best(set, left.Heard.At(0).Class())
	return r.Named() && r.Added == 0
}
