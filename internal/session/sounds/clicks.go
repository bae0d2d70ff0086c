// Package sounds sounds in time: the click, and what undersong plays itself, pass
// after pass. Whatever ends it, no note is left sounding.
package sounds

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

// TooLate is how long after its time a click would only confuse, as when the
// machine was asleep.
const TooLate = 100 * time.Millisecond

// click is one beat.
type click struct {
	at   meter.Ticks
	high bool // beat 1
}

// Clicks plays a click: the count-in, then every beat. Nil is silent.
type Clicks struct {
	clock   *follow.Click
	score   *score.Score
	lead    meter.Ticks
	countIn []click // counted from the start of the count-in, lead before the music
	beats   []click // of one pass
	done    int     // clicks behind us, through all passes
	block   Block
}

// NewClicks is the click of a score by a clock, with a count-in of some ticks before
// the clock begins.
func NewClicks(s *score.Score, clock *follow.Click, lead meter.Ticks) *Clicks {
	c := &Clicks{clock: clock, score: s, lead: lead}
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
func (c *Clicks) coming() (click, time.Duration, bool) {
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

// CountIn is how many clicks there are before the music.
func (c *Clicks) CountIn() int { return len(c.countIn) }

// Next is when the next click or release is due; Never for none.
func (c *Clicks) Next() time.Duration {
	if c == nil {
		return Never
	}
	due := c.block.Due()
	if _, at, ok := c.coming(); ok {
		due = min(due, at)
	}
	return due
}

// Play sounds what is due by now.
func (c *Clicks) Play(now time.Duration, sound func(event.Event)) {
	if c == nil {
		return
	}
	c.block.Rest(now, sound)
	for {
		k, at, ok := c.coming()
		if !ok || at > now {
			return
		}
		c.done++
		if now-at <= TooLate {
			c.block.Strike(at, now, k.high, sound)
		}
	}
}

// Stop releases what sounds.
func (c *Clicks) Stop(sound func(event.Event)) {
	if c != nil {
		c.block.Stop(sound)
	}
}

// Never is a time that does not come.
const Never = time.Duration(1<<63 - 1)

// Block is a wood block that is struck and released.
type Block struct {
	sounding uint8 // the key that waits for its release, or 0
	release  time.Duration
}

// Strike strikes it, higher for the first beat of a bar.
func (b *Block) Strike(at, now time.Duration, high bool, sound func(event.Event)) {
	b.Stop(sound)
	key, velocity := uint8(event.LowBlock), uint8(beatVelocity)
	if high {
		key, velocity = event.HighBlock, downbeatVelocity
	}
	Send(sound, event.Event{At: at, Status: event.NoteOn | event.Percussion, Data1: key, Data2: velocity})
	b.sounding, b.release = key, now+clickLength
}

// Due is when it is to be released; Never where it does not sound.
func (b *Block) Due() time.Duration {
	if b.sounding == 0 {
		return Never
	}
	return b.release
}

// Rest releases it when that is due.
func (b *Block) Rest(now time.Duration, sound func(event.Event)) {
	if now >= b.Due() {
		b.Stop(sound)
	}
}

// Stop releases it.
func (b *Block) Stop(sound func(event.Event)) {
	if b.sounding != 0 {
		Send(sound, event.Event{Status: event.NoteOff | event.Percussion, Data1: b.sounding})
		b.sounding = 0
	}
}

// Send plays a message where there is something to play it on.
func Send(sound func(event.Event), e event.Event) {
	if sound != nil {
		sound(e)
	}
}
