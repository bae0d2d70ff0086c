package coach

import (
	"math"
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/listen/follow"
	"undersong/internal/music/meter"
	"undersong/internal/sheet/score"
)

// never is a time that does not come.
const never = time.Duration(1<<63 - 1)

// Grace for the pedal after a change of harmony: half a beat, but at least as
// long as a foot needs and at most as long as an ear forgives (common practice,
// no source).
const (
	leastGrace = 250 * time.Millisecond
	mostGrace  = 600 * time.Millisecond
)

// lingers is how long before a change a note may be struck and still be meant
// for the new harmony.
const lingers = 100 * time.Millisecond

// blurWatch waits for each change of harmony to see what the pedal still holds.
// By a click it knows when the next comes; where the player leads, it is told.
type blurWatch struct {
	score  *score.Score
	click  *follow.Click
	grace  time.Duration
	pass   int
	next   int // harmony whose beginning is watched; -1 for none
	change time.Duration
}

func newBlurWatch(s *score.Score, c *follow.Click) blurWatch {
	b := blurWatch{score: s, click: c, next: -1}
	if c != nil {
		b.grace, b.next = graceAt(c.Beat()), 0
		b.step()
	}
	return b
}

func graceAt(beat time.Duration) time.Duration {
	return min(mostGrace, max(leastGrace, beat/2))
}

// step goes to the next harmony that differs from the one before it.
func (b *blurWatch) step() {
	b.next++
	if b.next == len(b.score.Harmonies) {
		b.next = 0
		b.pass++
	}
	if b.click == nil || b.pass > 0 && !b.click.Loop {
		b.next = -1
		return
	}
	b.change = b.click.TimeOf(b.pass, b.score.Harmonies[b.next].At)
}

// arm watches a change of harmony that the player has just made.
func (b *blurWatch) arm(harmony, pass int, at, beat time.Duration) {
	b.next, b.pass, b.change, b.grace = harmony, pass, at, graceAt(beat)
}

func (b *blurWatch) due() time.Duration {
	if b.next < 0 {
		return never
	}
	return b.change + b.grace
}

// checkBlur looks at a change of harmony some time after it: what the pedal has
// held since before it, and the new chord does not have, is blurred. A chord
// that no one plays blurs nothing.
func (c *Coach) checkBlur(at time.Duration) {
	b := &c.blur
	h, change := b.next, b.change
	pass := b.pass
	b.step()
	chord := c.score.Harmonies[h].Chord
	if chord.IsNone() || c.lastOn < change-lingers {
		return
	}
	set := chord.Set()
	f := finding.Finding{Kind: finding.Blurred, Part: finding.Foot, At: at, Pass: pass, Want: -1, Second: -1}
	held := c.keys.Pedalled()
	for k := held.Lowest(); k >= 0; k = held.Next(k) {
		if !set.Has(k.Class()) && c.keys.StruckAt(k) < change-lingers {
			f.Heard.Add(k)
		}
	}
	if f.Heard.Len() == 0 {
		return
	}
	f.Bar = c.score.BarAt(c.score.Harmonies[h].At)
	f.Beat = c.score.Meter.BeatAt(c.score.Harmonies[h].At - c.score.Bars[f.Bar].At)
	c.tell(f)
}

// mean is a running mean.
type mean struct{ sum, n int }

func (m *mean) add(v int) { m.sum += v; m.n++ }

func (m *mean) value() float64 { return float64(m.sum) / float64(m.n) }

// balances is how loud the strokes of a bar were.
type balances struct {
	bar                           int // counted through all passes; -1 unused
	accented, plain, bass, chords mean
	tune, under                   mean // under: what lies beneath the tune, and the other hand's chords
}

// balanceWatch weighs each bar when it is over.
type balanceWatch struct {
	score *score.Score
	click *follow.Click
	bar   int // counted through all passes
	bars  [4]balances
	touch touch
}

// touch is how loud and how unevenly a player strikes: what is a great difference
// for one keyboard and hand is none for another.
type touch struct {
	n            int
	mean, square float64 // running mean, and mean square distance from it
}

const (
	knownTouch  = 24  // strokes before a touch is known
	usualTouch  = 6.0 // standard deviation of velocities that the levels are made for
	narrowTouch = 0.5 // bounds of stretching
	wideTouch   = 1.5
)

func (t *touch) add(velocity int) {
	t.n++
	weight := max(1.0/64, 1/float64(t.n))
	d := float64(velocity) - t.mean
	t.mean += weight * d
	t.square += weight * (d*d*(1-weight) - t.square)
}

// stretch is by what the levels' steps of velocity are multiplied for this player.
func (t *touch) stretch() float64 {
	if t.n < knownTouch {
		return 1
	}
	return min(wideTouch, max(narrowTouch, math.Sqrt(t.square)/usualTouch))
}

func newBalanceWatch(s *score.Score, c *follow.Click) balanceWatch {
	b := balanceWatch{score: s, click: c}
	for i := range b.bars {
		b.bars[i].bar = -1
	}
	return b
}

func (b *balanceWatch) at(bar int) *balances {
	s := &b.bars[bar%len(b.bars)]
	if s.bar != bar {
		*s = balances{bar: bar}
	}
	return s
}

func (b *balanceWatch) add(bar int, w *score.Want, stroke *slot) {
	s := b.at(bar)
	velocity := stroke.velocity / stroke.struck
	b.touch.add(velocity)
	if w.Accent {
		s.accented.add(velocity)
	} else {
		s.plain.add(velocity)
	}
	switch w.Role {
	case score.Bass:
		s.bass.add(velocity)
	case score.Block:
		s.chords.add(velocity)
		s.under.add(velocity)
	case score.Melody:
		if stroke.buried {
			return // another note was on top: that is told already
		}
		s.tune.add(stroke.sung)
		if stroke.struck > 1 {
			s.under.add((stroke.velocity - stroke.sung) / (stroke.struck - 1))
		}
	}
}

// due is when the last stroke of the bar has had its time.
func (b *balanceWatch) due() time.Duration {
	n := len(b.score.Bars)
	if b.click == nil || !b.click.Loop && b.bar >= n {
		return never
	}
	bar := &b.score.Bars[b.bar%n]
	return b.click.TimeOf(b.bar/n, bar.At+bar.Len+meter.Eighth/2)
}

func (c *Coach) checkBalance(at time.Duration) {
	bar := c.balance.bar
	c.balance.bar++
	c.weighBar(bar, at)
}

// weighBar tells whether a bar, counted through all passes, was out of balance.
func (c *Coach) weighBar(bar int, at time.Duration) {
	b := &c.balance
	s := b.at(bar)
	defer func() { s.bar = -1 }()
	stretch := b.touch.stretch()
	f := finding.Finding{Kind: finding.Balance, Part: finding.BothHands, At: at, Bar: bar % len(b.score.Bars), Pass: bar / len(b.score.Bars), Beat: 1, Want: -1, Second: -1}
	switch {
	case s.tune.n > 0 && s.under.n > 0 && s.under.value() > s.tune.value()+stretch*c.level.Sung:
		f.Sung, f.Part = true, finding.RightHand
	case c.score.Only != score.BothHands:
		return // a hand alone has nothing to be balanced with
	case s.accented.n > 0 && s.plain.n > 0 && s.accented.value() < s.plain.value()+stretch*c.level.Accent:
		f.Accent = true
		f.Part, f.Beat, f.Want = c.firstAccent(f.Bar)
	case s.accented.n == 0 && s.bass.n > 0 && s.chords.n > 0 && s.chords.value() > s.bass.value()+stretch*c.level.Louder:
		f.Part = finding.RightHand
	default:
		return
	}
	c.tell(f)
}

func (c *Coach) firstAccent(bar int) (finding.Part, float64, int) {
	for i := range c.score.Wants {
		if w := &c.score.Wants[i]; w.Bar == bar && w.Accent {
			return partOf(w.Hand), w.Beat, i
		}
	}
	return finding.BothHands, 1, -1
}
