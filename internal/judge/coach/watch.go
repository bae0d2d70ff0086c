package coach

import (
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/judge/rules"
	"undersong/internal/listen/handsep"
	"undersong/internal/sheet/score"
)

// pedalWatch waits for a change of harmony to see what the pedal still holds.
type pedalWatch struct {
	change rules.Change
	on     bool
}

func (p *pedalWatch) due() time.Duration {
	if !p.on {
		return rules.Never
	}
	return p.change.Due()
}

func (c *Coach) watchPedal(change rules.Change, ok bool) { c.pedal = pedalWatch{change, ok} }

// Expect watches a change of harmony.
func (c *Coach) Expect(change rules.Change) { c.watchPedal(change, true) }

// checkPedal looks at a change of harmony some time after it.
func (c *Coach) checkPedal(at time.Duration) {
	change := c.pedal.change
	c.watchPedal(c.timing.NextChange(change.Harmony, change.Pass))
	h := &c.score.Harmonies[change.Harmony]
	f := finding.Finding{Kind: finding.Blurred, Part: finding.Foot, At: at, Pass: change.Pass, Want: -1, Second: -1}
	if f.Heard = rules.Blurred(h.Chord, c.keys, change.At, c.lastOn); f.Heard.Len() == 0 {
		return
	}
	f.Bar = c.score.BarAt(h.At)
	f.Beat = c.score.Meter.BeatAt(h.At - c.score.Bars[f.Bar].At)
	c.Tell(f)
}

// barWatch weighs each bar when it is over. Bars are counted through all passes.
type barWatch struct {
	next  int // bar to be weighed, by a click
	bars  [barRing]heardBar
	touch rules.Touch
}

// barRing is how many bars may be open at once: a stroke may come before or after
// its bar.
const barRing = 4

// heardBar is how loud a bar was. The zero value is any bar of which nothing was heard.
type heardBar struct {
	bar int
	rules.Loudness
}

func (b *barWatch) at(bar int) *heardBar {
	s := &b.bars[bar%len(b.bars)]
	if s.bar != bar {
		*s = heardBar{bar: bar}
	}
	return s
}

func (b *barWatch) add(bar int, w *score.Want, st *handsep.Stroke) {
	b.touch.Add(st.Velocity / st.Struck)
	b.at(bar).Add(w, st)
}

// EndBar tells whether a bar was out of balance.
func (c *Coach) EndBar(bar int, at time.Duration) {
	n := len(c.score.Bars)
	heard := c.bars.at(bar)
	out := c.level.Balance(&heard.Loudness, &c.bars.touch, c.score.Only != score.BothHands)
	heard.Loudness = rules.Loudness{}
	if out == rules.Balanced {
		return
	}
	f := finding.Finding{Kind: finding.Balance, At: at, Bar: bar % n, Pass: bar / n, Want: -1, Second: -1}
	out.Place(&f, c.score)
	c.Tell(f)
}
