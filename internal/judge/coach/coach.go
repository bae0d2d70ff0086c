// Package coach compares what is played with what is wanted.
package coach

import (
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/listen/chordid"
	"undersong/internal/listen/follow"
	"undersong/internal/listen/keyboard"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

// Coach judges one performance against a score, in time with a click or led by
// the player. Feed it strikes and ends of notes in the order of their times; it
// answers with findings. It knows no clock: what is due is worked out from the
// times it is given, so the same notes bring the same findings however often
// Advance is called.
type Coach struct {
	score  *score.Score
	click  *follow.Click    // nil where the player leads
	leader *follow.Follower // nil where the click does
	led    led
	level  Level
	keys   *keyboard.Keys
	ear    *chordid.Recognizer

	lines   [2]*line
	group   group
	owner   [128]owner
	out     []finding.Finding
	streak  streak
	shorts  shortQueue
	blur    blurWatch
	balance balanceWatch
	tally   finding.Tally
	habit   habit
	lastOn  time.Duration
	struck  bool // whether anything was struck yet
}

// owner is the stroke that a sounding key belongs to.
type owner struct {
	line *line
	slot int
}

// New makes a coach for a score whose time a click gives. It looks at keys,
// which the caller keeps up to date, to see what the pedal holds.
func New(s *score.Score, c *follow.Click, l Level, keys *keyboard.Keys, ear *chordid.Recognizer) *Coach {
	k := &Coach{score: s, click: c, level: l, keys: keys, ear: ear, out: make([]finding.Finding, 0, 64)}
	k.lines = [2]*line{newLine(s, c, pattern.Left), newLine(s, c, pattern.Right)}
	k.blur = newBlurWatch(s, c)
	k.balance = newBalanceWatch(s, c)
	k.tally = finding.NewTally(s)
	return k
}

// Take hands over the findings since the last call; the slice is good until the
// next.
func (c *Coach) Take() []finding.Finding {
	out := c.out
	c.out = c.out[:0]
	return out
}

// Advance deals with everything that was due before now.
func (c *Coach) Advance(now time.Duration) {
	for c.next(now) {
	}
}

// next deals with the earliest thing due before now and reports whether there
// was one. At one time a group ends first, then strokes left before right.
func (c *Coach) next(now time.Duration) bool {
	due, what := now, 0
	take := func(t time.Duration, w int) {
		if t < due {
			due, what = t, w
		}
	}
	if c.group.active() {
		take(c.group.ends(), 1)
	}
	for h, l := range c.lines {
		if c.leader == nil && !l.over() {
			take(c.closing(l), 2+h)
		}
	}
	take(c.blur.due(), 4)
	take(c.balance.due(), 5)
	take(c.shorts.due(), 6)
	switch what {
	case 1:
		c.closeGroup()
	case 2, 3:
		c.closeSlot(c.lines[what-2], due)
	case 4:
		c.checkBlur(due)
	case 5:
		c.checkBalance(due)
	case 6:
		c.tell(c.shorts.pop())
	}
	return what != 0
}

// closing is when the line's open stroke is over: not while notes that may
// belong to it are still coming.
func (c *Coach) closing(l *line) time.Duration {
	t := l.closes(l.cursor)
	if c.group.active() && c.group.slots[l.hand] == l.cursor {
		t = max(t, c.group.ends()+1)
	}
	return t
}

// Strike takes a key struck with a velocity.
func (c *Coach) Strike(key pitch.Num, velocity uint8, at time.Duration) {
	c.Advance(at)
	c.shorts.restruck(key)
	c.owner[key] = owner{}
	c.lastOn, c.struck = at, true
	g := &c.group
	switch {
	case c.leader != nil:
		if !c.lead(key, velocity, at) {
			return
		}
	case at < c.click.Start-c.lines[0].reach:
		return // warming up before the music begins
	case c.click.PositionAt(at - c.lines[0].reach).Ended:
		return // after the end everything is allowed
	case !g.active():
		g.start = at
		for h, l := range c.lines {
			g.slots[h] = l.open(at)
		}
	}
	if !g.add(strike{key: key, velocity: velocity, at: at}) {
		return
	}
	c.assign()
	for h := range c.lines {
		c.tellIfComplete(pattern.Hand(h), at)
	}
}

// End takes a key that stopped sounding.
func (c *Coach) End(key pitch.Num, at time.Duration) {
	c.Advance(at)
	c.end(key, at)
}

// Release forgets what sounds without judging it, as when a cable is pulled.
func (c *Coach) Release() { c.owner = [128]owner{} }

func (c *Coach) finding(l *line, j int, k finding.Kind, at time.Duration) finding.Finding {
	w := l.want(j)
	return finding.Finding{
		Kind: k, Part: partOf(l.hand), Bar: w.Bar, Pass: j / len(l.wants), Beat: w.Beat, At: at,
		Want: int(l.wants[j%len(l.wants)]), Heard: l.at(j).heard, Second: -1,
	}
}

func (c *Coach) tell(f finding.Finding) {
	if f.Part <= finding.RightHand && !c.score.Only.Judges(pattern.Hand(f.Part)) {
		return
	}
	if f.Kind != finding.Right && f.Want >= 0 {
		f.Goal = c.goalOf(&f)
	}
	mistake := f.Kind >= finding.Extra && f.Kind < finding.Lost
	switch {
	case mistake && c.led.mute:
	case mistake && c.leader != nil && c.led.doubt:
		c.led.suspense.hold(&f)
	default:
		c.say(&f)
	}
}

// say puts a finding among those to be taken.
func (c *Coach) say(f *finding.Finding) {
	c.tally.Count(f)
	c.out = append(c.out, *f)
}

// goalOf is where the hands should be instead; both hands' goals are joined.
func (c *Coach) goalOf(f *finding.Finding) finding.Keys {
	var g finding.Keys
	for _, want := range []int{f.Want, f.Second} {
		if want < 0 {
			continue
		}
		l := c.lines[c.score.Wants[want].Hand]
		j, ok := l.strokeOf(want, f.Pass)
		if !ok {
			continue
		}
		part := l.goal(j)
		for i := 0; i < part.Len(); i++ {
			g.Insert(part.At(i))
		}
	}
	return g
}

// end notes that a key no longer sounds, and tells of strokes cut short.
func (c *Coach) end(key pitch.Num, at time.Duration) {
	o := c.owner[key]
	c.owner[key] = owner{}
	if o.line == nil {
		return
	}
	s := &o.line.slots[o.slot%ring]
	if s.index != o.slot {
		return
	}
	s.sounding--
	if s.sounding == 0 && s.complete {
		c.checkLength(o.line, o.slot, at)
	}
}

// Finish ends the performance at a time and tells what is left to tell. A
// player who stops more than a bar before the end has stopped: what was never
// reached is not missing.
func (c *Coach) Finish(at time.Duration) {
	if c.leader != nil {
		c.finishLed(at)
		return
	}
	if !c.click.Loop {
		last := c.click.PositionAt(c.lastOn)
		end := c.click.TimeOf(0, c.score.Length) + c.lines[0].reach + Together + 1
		if c.struck && (last.Ended || last.Bar >= len(c.score.Bars)-2) {
			at = max(at, end)
		}
	}
	c.Advance(at)
}

// position is the place at a time.
func (c *Coach) position(at time.Duration) follow.Position {
	if c.leader != nil {
		return c.ledPlace(at)
	}
	return c.click.PositionAt(at)
}

// lasts is how long a stretch of the score takes.
func (c *Coach) lasts(from, to meter.Ticks) time.Duration {
	if c.leader != nil {
		return time.Duration(float64(c.leader.Beat()) * (c.score.Elapsed(to) - c.score.Elapsed(from)) / float64(c.score.Meter.Beat()))
	}
	return c.score.Lasts(from, to)
}

// Summary sums up what was found so far.
func (c *Coach) Summary() finding.Summary { return c.tally.Summary() }

func partOf(h pattern.Hand) finding.Part {
	if h == pattern.Left {
		return finding.LeftHand
	}
	return finding.RightHand
}
