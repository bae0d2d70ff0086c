package timing

import (
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/judge/rules"
	"undersong/internal/listen/follow"
	"undersong/internal/listen/handsep"
	"undersong/internal/listen/keyboard"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
)

// Click is the time of a click.
type Click struct {
	score  *score.Score
	click  *follow.Click
	level  rules.Level
	judge  Judge
	sep    *handsep.Separator
	due    [2][]time.Duration // by hand, when its strokes sound in a pass
	reach  time.Duration      // how far from its time a stroke may still be meant
	lastOn time.Duration
	struck bool // whether anything was struck yet
}

// NewClick makes the time of a click for a score.
func NewClick(s *score.Score, c *follow.Click, l rules.Level, j Judge) *Click {
	k := &Click{score: s, click: c, level: l, judge: j, reach: time.Duration(reachOfBeat * float64(c.Beat()))}
	k.sep = handsep.New(s, s.Lasts)
	for i, h := range k.sep.Hands {
		h.Loops = c.Loop
		for n := range h.Len() {
			k.due[i] = append(k.due[i], s.Time(h.Want(n).At))
		}
	}
	return k
}

// Separator is where the onset and the hands stand.
func (k *Click) Separator() *handsep.Separator { return k.sep }

// Strike takes a key struck. Before the music begins and after its end everything
// is allowed.
func (k *Click) Strike(_ pitch.Num, _ uint8, at time.Duration) bool {
	k.lastOn, k.struck = at, true
	if at < k.click.Start-k.reach || k.click.PositionAt(at-k.reach).Ended {
		return false
	}
	o := &k.sep.Onset
	if o.Active() {
		return true
	}
	o.Start = at
	for i, h := range k.sep.Hands {
		o.Open[i] = k.open(h, at)
	}
	o.Place = k.click.PositionAt(at).At
	return true
}

// open is the stroke that a note struck now would be meant for. Strokes that are
// over must have been closed before.
func (k *Click) open(h *handsep.Hand, now time.Duration) handsep.Open {
	if h.Over() || now < k.opens(h, h.Cursor) {
		return handsep.Nothing
	}
	return handsep.Open{Stroke: h.Cursor, Until: k.time(h, h.Cursor) - now, Window: k.window(h, h.Cursor)}
}

// window is how far from its time notes are taken for stroke j. Wrong notes further
// off are a stroke of their own, and the right notes, if early, wait to see whether
// others come nearer.
func (k *Click) window(h *handsep.Hand, j int) handsep.Window {
	most := float64(max(2*k.level.Timing, time.Duration(triedOfReach*float64(k.reach))))
	inTime := k.tolerance(h, j)
	before := time.Duration(min(most, triedOfWay*float64(k.time(h, j)-k.opens(h, j))))
	after := time.Duration(min(most, triedOfWay*float64(k.closes(h, j)-k.time(h, j))))
	before, after = max(before, inTime), max(after, inTime)
	return handsep.Window{Reach: k.reach, Before: before, After: after, Due: max(before/2, inTime)}
}

// Settle has nothing to find out: the place is always known.
func (k *Click) Settle(time.Duration) bool { return true }

// Finish ends the performance. A player who stops more than a bar before the end
// has stopped: what was never reached is not missing.
func (k *Click) Finish(at time.Duration) {
	if !k.click.Loop {
		last := k.click.PositionAt(k.lastOn)
		end := k.click.TimeOf(0, k.score.Length) + k.reach + keyboard.Together + 1
		if k.struck && (last.Ended || last.Bar >= len(k.score.Bars)-2) {
			at = max(at, end)
		}
	}
	k.judge.Advance(at)
}

// Position is the place in the score at a time.
func (k *Click) Position(at time.Duration) follow.Position { return k.click.PositionAt(at) }

// Lasts is how long a stretch of the score takes.
func (k *Click) Lasts(from, to meter.Ticks) time.Duration { return k.score.Lasts(from, to) }

// time is when stroke j is due.
func (k *Click) time(h *handsep.Hand, j int) time.Duration {
	return k.click.PassStart(h.Pass(j)) + k.due[h.Which][j%h.Len()]
}

// gap is the time from stroke j to the next.
func (k *Click) gap(h *handsep.Hand, j int) time.Duration {
	if !h.Loops && j+1 >= h.Len() {
		return 2 * k.reach
	}
	return k.time(h, j+1) - k.time(h, j)
}

// opens and closes bound the time in which a note may be meant for stroke j:
// halfway to its neighbours, and no further than the reach.
func (k *Click) opens(h *handsep.Hand, j int) time.Duration {
	before := k.reach
	if j > 0 {
		before = min(before, k.gap(h, j-1)/2)
	}
	return k.time(h, j) - before
}

func (k *Click) closes(h *handsep.Hand, j int) time.Duration {
	return k.time(h, j) + min(k.reach, k.gap(h, j)/2)
}

// Closes is when a hand's next stroke is over: not while notes that may belong to
// it are still coming.
func (k *Click) Closes(h *handsep.Hand) time.Duration {
	if h.Over() {
		return rules.Never
	}
	t := k.closes(h, h.Cursor)
	if h.Broken(h.Cursor) {
		t = max(t, k.brokenUntil(h, h.Cursor))
	}
	if o := &k.sep.Onset; o.Active() && o.Open[h.Which].Stroke == h.Cursor {
		t = max(t, o.Ends()+1)
	}
	return t
}

// brokenUntil is how long stroke j may go on where it comes note by note: until
// notes are a try at the next, or the music ends.
func (k *Click) brokenUntil(h *handsep.Hand, j int) time.Duration {
	next := k.click.TimeOf(h.Pass(j), k.score.Length)
	if h.Loops || j+1 < h.Len() {
		next = k.time(h, j+1) - k.window(h, j+1).Before
	}
	return min(next, k.time(h, j)+time.Duration(brokenBeats*float64(k.click.Beat())))
}

// BarEnds is when the last stroke of a bar has had its time.
func (k *Click) BarEnds(bar int) time.Duration {
	n := len(k.score.Bars)
	if !k.click.Loop && bar >= n {
		return rules.Never
	}
	b := &k.score.Bars[bar%n]
	return k.click.TimeOf(bar/n, b.At+b.Len+barTail)
}

// NextChange is the change of harmony after that to one harmony in a pass.
func (k *Click) NextChange(harmony, pass int) (rules.Change, bool) {
	harmony++
	if harmony == len(k.score.Harmonies) {
		harmony, pass = 0, pass+1
	}
	if pass > 0 && !k.click.Loop {
		return rules.Change{}, false
	}
	at := k.click.TimeOf(pass, k.score.Harmonies[harmony].At)
	return rules.Change{Harmony: harmony, Pass: pass, At: at, Beat: k.click.Beat()}, true
}

// Off is how far a time is from that of stroke j, early negative.
func (k *Click) Off(h *handsep.Hand, j int, at time.Duration) time.Duration { return at - k.time(h, j) }

// Tolerance is how far off stroke j is in time.
func (k *Click) Tolerance(h *handsep.Hand, j int) (time.Duration, bool) {
	return k.tolerance(h, j), true
}

func (k *Click) tolerance(h *handsep.Hand, j int) time.Duration {
	gap := k.gap(h, j)
	if j > 0 {
		gap = min(gap, k.gap(h, j-1))
	}
	return k.level.Tolerance(k.click.Beat(), gap)
}

// Unsure is never: the place is always known.
func (k *Click) Unsure() bool { return false }

// Admit admits everything.
func (k *Click) Admit(*finding.Finding) bool { return true }
