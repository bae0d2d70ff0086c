package practice

import (
	"time"

	"undersong/internal/event"
	"undersong/internal/hands"
	"undersong/internal/pitch"
)

// playback is what undersong plays itself, pass after pass.
type playback struct {
	pass   func(n int) []event.Event // by time, on the clock; none ends it
	passes int                       // taken so far
	coming []event.Event
	over   bool
	down   [16]hands.Set // keys that sound, by channel
}

// next is when the next message is due. A nil playback never has one.
func (m *playback) next() time.Duration {
	if m == nil || !m.more() {
		return never
	}
	return m.coming[0].At
}

func (m *playback) more() bool {
	if len(m.coming) == 0 && !m.over {
		m.coming = m.pass(m.passes)
		m.passes++
		m.over = len(m.coming) == 0
	}
	return len(m.coming) > 0
}

// play sounds what is due by now. A note that is too late is left out; its
// release does no harm.
func (m *playback) play(now time.Duration, sound func(event.Event)) {
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

func (m *playback) note(e event.Event) {
	switch {
	case e.IsNoteOn():
		m.down[e.Channel()].Add(pitch.Num(e.Data1))
	case e.IsNoteOff():
		m.down[e.Channel()].Remove(pitch.Num(e.Data1))
	}
}

// stop ends it, and every note of it.
func (m *playback) stop(sound func(event.Event)) {
	if m == nil {
		return
	}
	m.coming, m.over = nil, true
	for channel := range m.down {
		for _, k := range keysOf(m.down[channel]) {
			send(sound, event.Event{Status: event.NoteOff | uint8(channel), Data1: uint8(k), Data2: 64})
		}
		m.down[channel] = hands.Set{}
	}
}

// keys are the keys that sound, the click's left out.
func (m *playback) keys() hands.Set {
	var all hands.Set
	for channel, down := range m.down {
		if channel != event.Percussion {
			all = all.Union(down)
		}
	}
	return all
}
