package coach

import (
	"sort"
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/listen/chordid"
	"undersong/internal/listen/follow"
	"undersong/internal/listen/keyboard"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
)

// sure is how likely a place must be, after a jump, for what does not fit there
// to be told as a mistake and not as a place misheard.
const sure = 0.6

// surely is how likely a place must be for a stroke to be told before the last of
// its group has come.
const surely = 0.9

// likely is how likely it must be for a mistake to be told at once; below, the
// next onset has to confirm the place.
const likely = 0.75

// led is what a coach keeps where the player leads.
type led struct {
	at        meter.Ticks   // the moment that sounds
	since     time.Duration // when it was first struck
	pass      int
	bar       int // counted through all passes
	harmony   int
	begun     bool
	low, high pitch.Num     // the keys that are listened to
	joined    bool          // others were struck: the other hand plays, too,
	other     time.Duration // the last of them then
	doubts    int           // onsets in a row that leave the place in doubt
	adrift    bool          // the place is lost
	unsure    bool          // the open group may yet turn out to stand elsewhere
	doubt     bool          // so much so that its mistakes wait for the next
	suspense  suspense
	mute      bool // the open group may be misplaced: only right strokes are told
}

// NewLed makes a coach for a player who leads. A place that was passed makes
// what was not played there missing; nothing is missing by time alone, and
// nothing early or late.
func NewLed(s *score.Score, f *follow.Follower, loop bool, l Level, keys *keyboard.Keys, ear *chordid.Recognizer) *Coach {
	c := New(s, nil, l, keys, ear)
	c.leader = f
	c.Within(0, 127)
	for _, line := range c.lines {
		line.loops = loop
	}
	return c
}

// Within leaves out of account every key under low or over high: those of a hand
// that is not followed.
func (c *Coach) Within(low, high pitch.Num) { c.led.low, c.led.high = low, high }

// lead follows the player with one more note. It reports whether the note is to
// be judged.
func (c *Coach) lead(key pitch.Num, velocity uint8, at time.Duration) bool {
	if key < c.led.low || key > c.led.high {
		c.led.other, c.led.joined = at, true
		return false
	}
	c.leader.Strike(key, velocity, at)
	est := c.leader.Estimate()
	if est.Event < 0 {
		return false
	}
	g := &c.group
	fresh := !g.active()
	if fresh {
		g.start, g.settled = at, false
		c.led.mute = false
		c.led.suspense.grow()
	}
	switch {
	case g.told(): // what was told of this group stands
	case c.led.begun && (est.Lost || est.Confidence < surely):
		c.led.unsure, c.led.doubt = true, est.Lost || est.Confidence < likely
		if !g.settled {
			c.tryHere(&est)
		}
	default:
		c.settle(&est, at)
	}
	return true
}

// company is how many beats after its last sure note the other hand counts as
// playing.
const company = 8

// inCompany reports that the hand that is followed does not play alone.
func (c *Coach) inCompany() bool {
	return c.led.joined && c.group.start-c.led.other < company*c.leader.Beat()
}

// patience is how many onsets in a row may leave the place in doubt before it is
// told as lost: a wrong chord, and one more.
const patience = 2

// doubtful reports a place that is no better known than that which was expected.
func doubtful(est *follow.Estimate) bool {
	return est.Lost || est.Confidence < sure || est.Jumped && est.Confidence < surely
}

// tryHere takes the open group for a try at the likeliest place or, where that is
// in doubt, at the next moment, if the group comes at its time. The player's place
// stays where it was.
func (c *Coach) tryHere(est *follow.Estimate) bool {
	if !est.Extra && !doubtful(est) {
		c.aim(est.Pass, est.At, true)
		return true
	}
	aim, ok := c.tryAt()
	ok = ok && !c.led.adrift && c.led.doubts <= patience
	c.aim(c.led.pass, aim, ok)
	return ok
}

// conclude finds a place for a group that is over and stood in doubt until now. It
// reports whether the group is to be judged.
func (c *Coach) conclude(at time.Duration) bool {
	est := c.leader.Estimate()
	if !doubtful(&est) {
		c.settle(&est, at)
		return true
	}
	c.led.doubts++
	c.led.doubt = true
	if est.Lost && c.led.doubts > patience {
		c.tellLost(&est, at)
		return false
	}
	if !c.tryHere(&est) { // the next onset may say where it belongs; until then nothing is told
		c.led.mute = true
		for _, l := range c.lines {
			l.loose = true
		}
	}
	return true
}

// aim takes the open group for the strokes of a moment, or for none.
func (c *Coach) aim(pass int, at meter.Ticks, ok bool) {
	c.group.slots = [2]int{-1, -1}
	for h, l := range c.lines {
		if ok {
			c.group.slots[h] = l.strokeAt(pass, at)
		}
	}
}

// told reports that some note of the group is part of a stroke that was told.
func (g *group) told() bool {
	for i := range g.notes[:g.n] {
		if g.notes[i].taken {
			return true
		}
	}
	return false
}

func (c *Coach) tellLost(est *follow.Estimate, at time.Duration) {
	c.group.n = 0
	c.led.suspense.drop()
	if c.led.adrift {
		return
	}
	c.led.adrift = true
	c.tell(finding.Finding{Kind: finding.Lost, Part: finding.BothHands, Bar: est.Bar, Pass: est.Pass, Beat: c.beatOf(est), At: at, Want: -1, Second: -1})
}

func (c *Coach) beatOf(est *follow.Estimate) float64 {
	return c.score.Meter.BeatAt(est.At - c.score.Bars[est.Bar].At)
}

// settle takes the follower's place for the open group.
func (c *Coach) settle(est *follow.Estimate, at time.Duration) {
	c.group.settled = true
	c.led.unsure, c.led.doubt = est.Confidence < surely, est.Confidence < likely
	moved := !c.led.begun || est.Pass != c.led.pass || est.At != c.led.at
	back := est.Pass < c.led.pass || est.Pass == c.led.pass && est.At < c.led.at
	switch {
	case !c.led.begun && est.Pass == 0 && est.At < c.score.Meter.Bar():
		c.begin(&follow.Estimate{}) // from the top, perhaps with its first stroke left out
		c.pass(est, at)
	case !c.led.begun || c.led.adrift || back || est.Jumped && moved:
		c.begin(est)
	case moved:
		c.concede(est)
		c.pass(est, at)
	}
	c.led.doubts = 0
	if !c.led.doubt || c.led.suspense.age > mostSuspense {
		c.release(at)
	}
	c.led.mute = est.Jumped && est.Confidence < sure
	if moved && !est.Extra {
		c.led.since = c.group.start
	}
	c.led.at, c.led.pass, c.led.begun, c.led.adrift = est.At, est.Pass, true, false
	aim, ok := est.At, true
	if est.Extra {
		aim, ok = c.tryAt()
	}
	c.aim(est.Pass, aim, ok)
	c.enterHarmony(est, moved, at)
}

// inTime is how far from the next moment's time, as a part of the way to it, notes
// that stand for nothing are a try at that moment.
const inTime = 0.4

// tryAt is the next moment, where notes that stand for nothing come at its time.
func (c *Coach) tryAt() (meter.Ticks, bool) {
	next := meter.Ticks(-1)
	for _, l := range c.lines {
		if l.free() {
			continue
		}
		if i := l.firstFrom(c.led.at + 1); i < len(l.wants) && (next < 0 || l.want(i).At < next) {
			next = l.want(i).At
		}
	}
	if next < 0 {
		return 0, false
	}
	gap := c.lasts(c.led.at, next)
	off := c.group.start - c.led.since - gap
	return next, float64(max(off, -off)) <= inTime*float64(gap)
}

// ledPlace is the place of a stroke that stands for nothing, counted by the tempo
// from the moment before it.
func (c *Coach) ledPlace(struck time.Duration) follow.Position {
	even := float64(max(0, struck-c.led.since)) / float64(c.leader.Beat()) * float64(c.score.Meter.Beat())
	ticks := meter.Ticks(c.score.Ahead(c.led.at, even))
	p := follow.Position{Pass: c.led.pass, At: min(c.led.at+ticks, c.score.Length-1)}
	p.Bar = c.score.BarAt(p.At)
	p.Beat = c.score.Meter.BeatAt(p.At - c.score.Bars[p.Bar].At)
	return p
}

// begin starts judging anew at a place: what lies open elsewhere is dropped.
func (c *Coach) begin(est *follow.Estimate) {
	c.led.suspense.drop()
	for _, l := range c.lines {
		l.restart(est.Pass, est.At)
	}
	c.owner = [128]owner{}
	c.shorts = shortQueue{}
	c.streak = streak{}
	c.blur.next = -1
	c.led.bar = est.Pass*len(c.score.Bars) + est.Bar
	c.led.harmony = -1
	for i := range c.balance.bars {
		c.balance.bars[i].bar = -1
	}
}

// pass goes on to a later place: strokes that lie before it and were not played
// are missing, and bars before it are over. Where the place was in doubt, or lies
// more than a bar ahead, nobody can say what was left out.
func (c *Coach) pass(est *follow.Estimate, at time.Duration) {
	ahead := est.At - c.led.at + meter.Ticks(est.Pass-c.led.pass)*c.score.Length
	if ahead > c.score.Meter.Bar() {
		c.led.suspense.drop() // it was this place all along
	}
	if c.led.doubts > 0 || ahead > c.score.Meter.Bar() {
		for _, l := range c.lines {
			l.restart(est.Pass, est.At)
		}
	}
	for _, l := range c.lines {
		for !l.over() && l.before(est.Pass, est.At) {
			c.closeSlot(l, at)
		}
	}
	bar := est.Pass*len(c.score.Bars) + est.Bar
	for ; c.led.bar < bar; c.led.bar++ {
		c.weighBar(c.led.bar, at)
	}
}

func (c *Coach) enterHarmony(est *follow.Estimate, moved bool, at time.Duration) {
	h := c.score.HarmonyAt(est.At)
	if moved && c.led.harmony >= 0 && h != c.led.harmony {
		c.blur.arm(h, est.Pass, at, c.leader.Beat())
	}
	c.led.harmony = h
}

// finishLed ends a performance that the player led: the last moment's strokes
// are over too.
func (c *Coach) finishLed(at time.Duration) {
	c.Advance(max(at, c.group.ends()+1))
	if !c.led.begun || c.led.adrift {
		return
	}
	c.release(at)
	c.led.unsure, c.led.doubt = false, false
	for _, l := range c.lines {
		for !l.over() && l.before(c.led.pass, c.led.at+1) {
			c.closeSlot(l, at)
		}
	}
	c.weighBar(c.led.bar, at)
}

// strokeAt is the stroke of a moment, or -1 where the hand has none there.
func (l *line) strokeAt(pass int, at meter.Ticks) int {
	if l.free() {
		return -1
	}
	i := l.firstFrom(at)
	if i == len(l.wants) || l.want(i).At != at {
		return -1
	}
	return pass*len(l.wants) + i
}

// firstFrom is the first want at or after a place.
func (l *line) firstFrom(at meter.Ticks) int {
	return sort.Search(len(l.wants), func(i int) bool { return l.want(i).At >= at })
}

// before reports that the line's open stroke lies before a place.
func (l *line) before(pass int, at meter.Ticks) bool {
	p := l.cursor / len(l.wants)
	return p < pass || p == pass && l.want(l.cursor).At < at
}

// restart makes a place the line's next, with nothing remembered.
func (l *line) restart(pass int, at meter.Ticks) {
	if l.free() {
		return
	}
	for i := range l.slots {
		l.slots[i].index = -1
	}
	l.loose, l.drift = true, 0
	l.cursor = pass*len(l.wants) + l.firstFrom(at)
}
