package timing

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/finding"
	"undersong/internal/judge/rules"
	"undersong/internal/listen/follow"
	"undersong/internal/listen/handsep"
	"undersong/internal/listen/keyboard"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/test/sounding"
)

const (
	left  = pattern.Left
	right = pattern.Right
	ms    = time.Millisecond
	beat  = 500 * ms // at 120
)

// clerk is a judge who writes down what it is told.
type clerk struct {
	told []string
	last finding.Finding // told
	now  time.Duration
}

// mostTold is more than any performance here brings.
const mostTold = 1000

func (c *clerk) note(format string, a ...any) {
	if len(c.told) == mostTold {
		panic("the judge is told things without end")
	}
	c.told = append(c.told, fmt.Sprintf(format, a...))
}

func (c *clerk) Advance(now time.Duration) { c.now = now }

func (c *clerk) Close(h *handsep.Hand, _ time.Duration) {
	w := h.Want(h.Cursor)
	if !h.Stroke(h.Cursor).Judged {
		c.note("%s %d.%g missing", h.Which, w.Bar+1, w.Beat)
	}
	h.Cursor++
}

func (c *clerk) Begin() { c.note("begin") }

func (c *clerk) EndBar(bar int, _ time.Duration) { c.note("bar %d over", bar+1) }

func (c *clerk) Expect(change rules.Change) {
	c.note("harmony %d", change.Harmony+1)
}

func (c *clerk) Tell(f finding.Finding) {
	c.last = f
	c.note("%s in bar %d, beat %g", f.Kind, f.Bar+1, f.Beat)
}

func (c *clerk) Say(f *finding.Finding) {
	c.last = *f
	c.note("at last %s of bar %d", f.Kind, f.Bar+1)
}

// clicked is a click over bars in 4/4 at 120: a beat is 500 ms, the reach 375 ms.
func clicked(t *testing.T, bars, name string, loop bool, l rules.Level) (*Click, *clerk) {
	s := sounding.ScoreOf(t, "4/4", bars, name)
	click := follow.NewClick(s, time.Second, loop)
	c := &clerk{}
	return NewClick(s, &click, l, c), c
}

// Which stroke a note may be meant for, by its time; the music begins at one second.
func TestWhatIsOpenByTheClick(t *testing.T) {
	for _, c := range []struct {
		name, pattern string
		cursor        int
		at            time.Duration
		judged        bool
		stroke        int
		until         time.Duration
	}{
		{"warming up", "two-beat", 0, 624 * ms, false, -1, 0},
		{"three quarters of a beat before the first", "two-beat", 0, 625 * ms, true, 0, 375 * ms},
		{"on it", "two-beat", 0, time.Second, true, 0, 0},
		{"after it", "two-beat", 0, 1300 * ms, true, 0, -300 * ms},
		{"the next is not open yet", "two-beat", 1, 1624 * ms, true, -1, 0},
		{"now it is", "two-beat", 1, 1625 * ms, true, 1, 375 * ms},
		{"halfway to a neighbour that is nearer", "driving-eighths", 1, 1125 * ms, true, 1, 125 * ms},
		{"not halfway", "driving-eighths", 1, 1124 * ms, true, -1, 0},
		{"the last", "two-beat", 3, 4300 * ms, true, 3, -300 * ms},
		{"nothing is left", "two-beat", 4, 4900 * ms, true, -1, 0},
		{"just over", "two-beat", 4, 5000*ms + 374*ms, true, -1, 0},
		{"and over", "two-beat", 4, 5000*ms + 375*ms, false, -1, 0},
	} {
		k, _ := clicked(t, "| C | F |", c.pattern, false, rules.Steady)
		h := left
		if c.pattern == "driving-eighths" {
			h = right
		}
		k.sep.Hands[h].Cursor = c.cursor
		assert.Equal(t, c.judged, k.Strike(60, 64, c.at), c.name)
		if c.judged {
			open := k.sep.Onset.Open[h]
			assert.Equal(t, c.stroke, open.Stroke, c.name)
			assert.Equal(t, c.until, open.Until, c.name)
			assert.Equal(t, c.at, k.sep.Onset.Start, c.name)
		}
	}
	k, _ := clicked(t, "| C | F |", "two-beat", false, rules.Steady)
	k.Strike(48, 64, time.Second)
	k.sep.Onset.Add(handsep.Strike{Key: 48})
	k.Strike(60, 64, 1040*ms)
	assert.Equal(t, time.Second, k.sep.Onset.Start, "one onset")
	assert.False(t, k.Unsure())
	assert.True(t, k.Settle(1050*ms))
	assert.True(t, k.Admit(&finding.Finding{Kind: finding.Missing}))
}

func TestThePlaceOfAnOnset(t *testing.T) {
	k, _ := clicked(t, "| C | F |", "two-beat", false, rules.Steady)
	k.Strike(48, 64, 2500*ms)
	assert.Equal(t, 3*meter.Quarter, k.sep.Onset.Place)
	assert.Equal(t, 3*meter.Quarter, k.Position(2500*ms).At)
	assert.Equal(t, time.Second, k.Lasts(meter.Quarter, 3*meter.Quarter))
}

func TestWindowsByTheClick(t *testing.T) {
	for _, c := range []struct {
		name, pattern      string
		level              rules.Level
		hand               pattern.Hand
		j                  int
		before, after, due time.Duration
	}{
		{"strokes far apart", "two-beat", rules.Steady, left, 1, 170 * ms, 170 * ms, 85 * ms},
		{"gentle", "two-beat", rules.Gentle, left, 1, 240 * ms, 240 * ms, 120 * ms},
		{"strict", "two-beat", rules.Strict, left, 1, 150 * ms, 150 * ms, 75 * ms},
		{"eighths", "driving-eighths", rules.Steady, right, 1, 87500 * time.Microsecond, 87500 * time.Microsecond, 85 * ms},
		{"eighths, gentle", "driving-eighths", rules.Gentle, right, 1, 120 * ms, 120 * ms, 120 * ms},
		{"the first", "driving-eighths", rules.Steady, right, 0, 170 * ms, 87500 * time.Microsecond, 85 * ms},
		{"the last", "driving-eighths", rules.Steady, right, 15, 87500 * time.Microsecond, 170 * ms, 85 * ms},
	} {
		k, _ := clicked(t, "| C | F |", c.pattern, false, c.level)
		w := k.window(k.sep.Hands[c.hand], c.j)
		assert.Equal(t, handsep.Window{Reach: 375 * ms, Before: c.before, After: c.after, Due: c.due}, w, c.name)
	}
}

func TestToleranceByTheClick(t *testing.T) {
	k, _ := clicked(t, "| C | F |", "name: x\nmeter: 4/4\ngrid: sixteenths\nright: ch . . . . . . . ch ch . . . . . .\n", false, rules.Steady)
	h := k.sep.Hands[right]
	for j, want := range []time.Duration{85 * ms, 58750 * time.Microsecond, 58750 * time.Microsecond, 85 * ms} {
		got, ok := k.Tolerance(h, j)
		assert.True(t, ok)
		assert.Equal(t, want, got, "stroke %d", j)
	}
	assert.Equal(t, -40*ms, k.Off(h, 1, 1960*ms))
	assert.Equal(t, 40*ms, k.Off(h, 3, 3040*ms))
	loop, _ := clicked(t, "| C | F |", "two-beat", true, rules.Steady)
	assert.Equal(t, 10*ms, loop.Off(loop.sep.Hands[left], 5, 6010*ms), "in the second pass")
}

// When a stroke is over.
func TestStrokesAreOver(t *testing.T) {
	k, _ := clicked(t, "| C | F |", "block-whole", false, rules.Steady)
	h := k.sep.Hands[right]
	assert.Equal(t, 1375*ms, k.Closes(h))
	k.sep.Onset.Start = 1360 * ms
	k.sep.Onset.Open[right] = handsep.Open{Stroke: 0}
	k.sep.Onset.Add(handsep.Strike{Key: 60})
	assert.Equal(t, 1360*ms+keyboard.Together+1, k.Closes(h), "not while its notes come")
	k.sep.Onset.Open[right] = handsep.Nothing
	assert.Equal(t, 1375*ms, k.Closes(h))
	h.Cursor = 2
	assert.Equal(t, rules.Never, k.Closes(h), "nothing is left")
	near, _ := clicked(t, "| C | F |", "driving-eighths", false, rules.Steady)
	assert.Equal(t, 1125*ms, near.Closes(near.sep.Hands[right]), "halfway to the next")
	round, _ := clicked(t, "| C | F |", "block-whole", true, rules.Steady)
	round.sep.Hands[right].Cursor = 2
	assert.Equal(t, 5375*ms, round.Closes(round.sep.Hands[right]))
}

// A chord that comes note by note may go on for two and a half beats, until notes are
// a try at the next, or to the end of the music.
func TestBrokenChordsGoOn(t *testing.T) {
	for _, c := range []struct {
		name, pattern string
		loop          bool
		j             int
		want          time.Duration
	}{
		{"two and a half beats", "block-whole", false, 0, 2250 * ms},
		{"until the next", "block-half", false, 0, 2*time.Second - 170*ms},
		{"to the end", "block-half", false, 3, 5 * time.Second},
		{"round and round", "block-half", true, 3, 5*time.Second - 170*ms},
	} {
		k, _ := clicked(t, "| C | F |", c.pattern, c.loop, rules.Steady)
		h := k.sep.Hands[right]
		h.Cursor = c.j
		st := h.Stroke(c.j)
		st.Served, st.Heard, st.Onsets = 1, pitch.NumsOf(60), 1
		assert.Equal(t, c.want, k.Closes(h), c.name)
	}
}

func TestBarsAreOver(t *testing.T) {
	k, _ := clicked(t, "| C | F |", "two-beat", false, rules.Steady)
	assert.Equal(t, 3125*ms, k.BarEnds(0), "its last stroke has had its time")
	assert.Equal(t, 5125*ms, k.BarEnds(1))
	assert.Equal(t, rules.Never, k.BarEnds(2))
	loop, _ := clicked(t, "| C | F |", "two-beat", true, rules.Steady)
	assert.Equal(t, 7125*ms, loop.BarEnds(2))
	assert.Equal(t, 9125*ms, loop.BarEnds(3))
}

func TestChangesOfHarmony(t *testing.T) {
	k, _ := clicked(t, "| C | F |", "two-beat", false, rules.Steady)
	c, ok := k.NextChange(0, 0)
	assert.True(t, ok)
	assert.Equal(t, rules.Change{Harmony: 1, Pass: 0, At: 3 * time.Second, Beat: beat}, c)
	_, ok = k.NextChange(1, 0)
	assert.False(t, ok)
	loop, _ := clicked(t, "| C | F |", "two-beat", true, rules.Steady)
	c, ok = loop.NextChange(1, 0)
	assert.True(t, ok)
	assert.Equal(t, rules.Change{Harmony: 0, Pass: 1, At: 5 * time.Second, Beat: beat}, c)
	one, _ := clicked(t, "| C | C |", "two-beat", false, rules.Steady)
	_, ok = one.NextChange(0, 0)
	assert.False(t, ok)
}

// What was never reached is not missing, unless the player stopped within the last
// two bars.
func TestTheEndByTheClick(t *testing.T) {
	const last = 9*time.Second + 375*ms + keyboard.Together + 1
	for _, c := range []struct {
		name   string
		struck time.Duration // 0 for nothing
		loop   bool
		want   time.Duration
	}{
		{"nothing was struck", 0, false, 2 * time.Second},
		{"stopped in the second bar", 4999 * ms, false, 2 * time.Second},
		{"stopped in the third of four", 5 * time.Second, false, last},
		{"after the end", 9300 * ms, false, last},
		{"round and round there is none", 8 * time.Second, true, 2 * time.Second},
	} {
		k, clerk := clicked(t, "| C | F | G7 | C |", "two-beat", c.loop, rules.Steady)
		if c.struck > 0 {
			k.Strike(60, 64, c.struck)
		}
		k.Finish(2 * time.Second)
		assert.Equal(t, c.want, clerk.now, c.name)
	}
	k, clerk := clicked(t, "| C | F | G7 | C |", "two-beat", false, rules.Steady)
	k.Strike(60, 64, 8*time.Second)
	k.Finish(20 * time.Second)
	assert.Equal(t, 20*time.Second, clerk.now)
}
