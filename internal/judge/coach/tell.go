package coach

import (
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/judge/rules"
	"undersong/internal/listen/handsep"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
)

// finding is a finding about stroke j of a hand.
func (c *Coach) finding(h *handsep.Hand, j int, k finding.Kind, at time.Duration) finding.Finding {
	w := h.Want(j)
	return finding.Finding{
		Kind: k, Part: finding.PartOf(h.Which), Bar: w.Bar, Pass: h.Pass(j), Beat: w.Beat, At: at,
		Want: h.WantIndex(j), Heard: h.Stroke(j).Heard, Second: -1,
	}
}

// extra is the finding of a stroke that nothing asked for, struck at one time and
// known at another.
func (c *Coach) extra(h *handsep.Hand, struck, known time.Duration, heard pitch.Nums) finding.Finding {
	p := c.timing.Position(struck)
	bar, beat := rules.Unasked(c.score, p.Bar, p.Beat)
	return finding.Finding{
		Kind: finding.Extra, Part: finding.PartOf(h.Which), Bar: bar, Pass: max(0, p.Pass), Beat: beat, At: known,
		Want: -1, Heard: heard, Second: -1,
	}
}

// Tell tells a finding about a hand that is judged, once timing admits it.
func (c *Coach) Tell(f finding.Finding) {
	if f.Part <= finding.RightHand && !c.score.Only.Judges(pattern.Hand(f.Part)) {
		return
	}
	if f.Kind != finding.Right && f.Want >= 0 && f.Goal.Len() == 0 {
		f.Goal = c.goal(&f)
	}
	c.telling = f // a finding of its own would be new memory for each, since timing is an interface
	if c.timing.Admit(&c.telling) {
		c.Say(&c.telling)
	}
}

// Say puts a finding among those to be taken.
func (c *Coach) Say(f *finding.Finding) {
	c.tally.Count(f)
	c.out = append(c.out, *f)
}

// goal is where the hands should be instead; both hands' goals are joined.
func (c *Coach) goal(f *finding.Finding) pitch.Nums {
	var goal pitch.Nums
	for _, want := range []int{f.Want, f.Second} {
		if want < 0 {
			continue
		}
		h := c.sep.Hands[c.score.Wants[want].Hand]
		if j, ok := h.StrokeOf(want, f.Pass); ok {
			part := h.Goal(j)
			goal.InsertAll(&part)
		}
	}
	return goal
}
