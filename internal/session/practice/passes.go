package practice

import (
	"time"

	"undersong/internal/listen/keyboard"
	"undersong/internal/midi/event"
	"undersong/internal/music/pitch"
)

// passes are what undersong plays itself, pass after pass.
type passes struct {
	pass   func(n int) []event.Event // by time, on the clock; none ends it
	passes int                       // taken so far
	coming []event.Event
	over   bool
	down   [16]keyboard.Set // keys that sound, by channel
}

// next is when the next message is due. No passes never has one.
func (m *passes) next() time.Duration {
	if m == nil || !m.more() {
		return never
	}
	return m.coming[0].At
}

func (m *passes) more() bool {
	if len(m.coming) == 0 && !m.over {
		m.coming = m.pass(m.passes)
		m.passes++
		m.over = len(m.coming) == 0
	}
	return len(m.coming) > 0
}

// play sounds what is due by now. A note that is too late is left out; its
// release does no harm.
func (m *passes) play(now time.Duration, sound func(event.Event)) {
	for m.next() <= now {
		e := m.coming[0]
		m.coming = m.coming[1:]
		if e.IsNoteOn() && now-e.At > tooLate {
			continue
		}
		m.note(e)
		send(sound, e)
	}
}

func (m *passes) note(e event.Event) {
	switch {
	case e.IsNoteOn():
		m.down[e.Channel()].Add(pitch.Num(e.Data1))
	case e.IsNoteOff():
		m.down[e.Channel()].Remove(pitch.Num(e.Data1))
	}
}

// stop ends it, and every note of it.
func (m *passes) stop(sound func(event.Event)) {
	if m == nil {
		return
	}
	m.coming, m.over = nil, true
	for channel := range m.down {
		for _, k := range m.down[channel].Keys() {
			send(sound, event.Event{Status: event.NoteOff | uint8(channel), Data1: uint8(k), Data2: 64})
		}
		m.down[channel] = keyboard.Set{}
	}
}

// keys are the keys that sound, the click's left out.
func (m *passes) keys() keyboard.Set {
	var all keyboard.Set
	for channel, down := range m.down {
		if channel != event.Percussion {
			all = all.Union(down)
		}
	}
	return all
}
