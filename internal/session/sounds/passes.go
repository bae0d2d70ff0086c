package sounds

import (
	"time"

	"undersong/internal/listen/keyboard"
	"undersong/internal/midi/event"
	"undersong/internal/music/pitch"
)

// Passes are what undersong plays itself, pass after pass.
type Passes struct {
	Pass func(n int) []event.Event // by time, on the clock; none ends it

	passes int // taken so far
	coming []event.Event
	over   bool
	down   [16]keyboard.Set // keys that sound, by channel
}

// Next is when the next message is due. No passes never has one.
func (m *Passes) Next() time.Duration {
	if m == nil || !m.more() {
		return Never
	}
	return m.coming[0].At
}

func (m *Passes) more() bool {
	if len(m.coming) == 0 && !m.over {
		m.coming = m.Pass(m.passes)
		m.passes++
		m.over = len(m.coming) == 0
	}
	return len(m.coming) > 0
}

// Play sounds what is due by now. A note that is too late is left out; its
// release does no harm.
func (m *Passes) Play(now time.Duration, sound func(event.Event)) {
	for m.Next() <= now {
		e := m.coming[0]
		m.coming = m.coming[1:]
		if e.IsNoteOn() && now-e.At > TooLate {
			continue
		}
		m.note(e)
		Send(sound, e)
	}
}

func (m *Passes) note(e event.Event) {
	switch {
	case e.IsNoteOn():
		m.down[e.Channel()].Add(pitch.Num(e.Data1))
	case e.IsNoteOff():
		m.down[e.Channel()].Remove(pitch.Num(e.Data1))
	}
}

// Stop ends it, and every note of it.
func (m *Passes) Stop(sound func(event.Event)) {
	if m == nil {
		return
	}
	m.coming, m.over = nil, true
	for channel := range m.down {
		for _, k := range m.down[channel].Keys() {
			Send(sound, event.Event{Status: event.NoteOff | uint8(channel), Data1: uint8(k), Data2: 64})
		}
		m.down[channel] = keyboard.Set{}
	}
}

// Keys are the keys that sound, the click's left out.
func (m *Passes) Keys() keyboard.Set {
	var all keyboard.Set
	for channel, down := range m.down {
		if channel != event.Percussion {
			all = all.Union(down)
		}
	}
	return all
}
