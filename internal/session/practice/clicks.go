package practice

import (
	"time"

	"undersong/internal/listen/follow"
	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
	"undersong/internal/sheet/score"
)

// How loud the click is, and how long until its release: long enough for
// instruments that cut percussion short (common practice, no source).
const (
	downbeatVelocity = 110
	beatVelocity     = 80
	clickLength      = 50 * time.Millisecond
)

// tooLate is how long after its time a click would only confuse, as when the
// machine was asleep.
const tooLate = 100 * time.Millisecond

// click is one beat.
type click struct {
	at   meter.Ticks
	high bool // beat 1
}

// clicks plays the click of a take: the count-in, then every beat. A nil clicks
// is silent.
type clicks struct {
	clock   *follow.Click
	score   *score.Score
	lead    meter.Ticks
	countIn []click // counted from the start of the count-in, lead before the music
	beats   []click // of one pass
	done    int     // clicks behind us, through all passes
	block   block
}

func newClicks(s *score.Score, clock *follow.Click, lead meter.Ticks) *clicks {
	c := &clicks{clock: clock, score: s, lead: lead}
	beat, bar := s.Meter.Beat(), s.Meter.Bar()
	for at := meter.Ticks(0); at < lead; at += beat {
		c.countIn = append(c.countIn, click{at, at%bar == 0})
	}
	for _, b := range s.Beats() {
		c.beats = append(c.beats, click{b.At, b.First})
	}
	return c
}

// coming is the next click and its time; false after the last.
func (c *clicks) coming() (click, time.Duration, bool) {
	if c.done < len(c.countIn) {
		k := c.countIn[c.done]
		return k, c.clock.Start - (c.score.Tempo.Duration(c.lead, c.score.Meter) - c.score.Tempo.Duration(k.at, c.score.Meter)), true
	}
	n := c.done - len(c.countIn)
	if len(c.beats) == 0 || !c.clock.Loop && n >= len(c.beats) {
		return click{}, 0, false
	}
	k := c.beats[n%len(c.beats)]
	return k, c.clock.TimeOf(n/len(c.beats), k.at), true
}

// next is when the next click or release is due.
func (c *clicks) next() time.Duration {
	if c == nil {
		return never
	}
	due := c.block.due()
	if _, at, ok := c.coming(); ok {
		due = min(due, at)
	}
	return due
}

// play sounds what is due by now.
func (c *clicks) play(now time.Duration, sound func(event.Event)) {
	if c == nil {
		return
	}
	c.block.rest(now, sound)
	for {
		k, at, ok := c.coming()
		if !ok || at > now {
			return
		}
		c.done++
		if now-at <= tooLate {
			c.block.strike(at, now, k.high, sound)
		}
	}
}

// stop releases what sounds.
func (c *clicks) stop(sound func(event.Event)) {
	if c != nil {
		c.block.stop(sound)
	}
}

// never is a time that does not come.
const never = time.Duration(1<<63 - 1)

// block is a wood block that is struck and released.
type block struct {
	sounding uint8 // the key that waits for its release, or 0
	release  time.Duration
}

func (b *block) strike(at, now time.Duration, high bool, sound func(event.Event)) {
	b.stop(sound)
	key, velocity := uint8(event.LowBlock), uint8(beatVelocity)
	if high {
		key, velocity = event.HighBlock, downbeatVelocity
	}
	send(sound, event.Event{At: at, Status: event.NoteOn | event.Percussion, Data1: key, Data2: velocity})
	b.sounding, b.release = key, now+clickLength
}

// due is when it is to be released.
func (b *block) due() time.Duration {
	if b.sounding == 0 {
		return never
	}
	return b.release
}

// rest releases it when that is due.
func (b *block) rest(now time.Duration, sound func(event.Event)) {
	if now >= b.due() {
		b.stop(sound)
	}
}

func (b *block) stop(sound func(event.Event)) {
	if b.sounding != 0 {
		send(sound, event.Event{Status: event.NoteOff | event.Percussion, Data1: b.sounding})
		b.sounding = 0
	}
}

func send(sound func(event.Event), e event.Event) {
	if sound != nil {
		sound(e)
	}
}
