package performer

import (
	"sort"
	"time"

	"undersong/internal/midi/event"
	"undersong/internal/music/pitch"
)

// Times at the key.
const (
	shortestNote = 20 * time.Millisecond // from stroke to release, where nothing hurries it
	releaseGap   = 5 * time.Millisecond  // from release to the next stroke of the same key
)

// release sees to it that every key is let go before it is struck again. A key
// that both hands strike within two releaseGaps is one stroke.
func (t *Take) release() {
	byKey := map[pitch.Num][]*note{}
	for i := range t.played {
		for j := range t.played[i].notes {
			n := &t.played[i].notes[j]
			n.off = max(n.off, n.on+shortestNote)
			byKey[n.key] = append(byKey[n.key], n)
		}
	}
	for _, notes := range byKey {
		sort.SliceStable(notes, func(i, j int) bool { return notes[i].on < notes[j].on })
		last := notes[0]
		for _, n := range notes[1:] {
			if n.on < last.on+2*releaseGap {
				last.off = max(last.off, n.off)
				n.velocity = 0 // not struck of its own
				continue
			}
			last.off = min(last.off, n.on-releaseGap)
			last = n
		}
	}
}

// events lists everything that the keyboard sends. Releases come before
// strokes of the same time.
func (t *Take) events() []event.Event {
	var all []event.Event
	for i := range t.played {
		for _, n := range t.played[i].notes {
			if n.velocity > 0 {
				all = append(all, event.On(n.on, uint8(n.key), uint8(n.velocity)), event.Off(n.off, uint8(n.key)))
			}
		}
	}
	all = append(all, t.pedal()...)
	sort.SliceStable(all, func(i, j int) bool {
		a, b := all[i], all[j]
		if a.At != b.At {
			return a.At < b.At
		}
		return rank(a) < rank(b)
	})
	return all
}

func rank(e event.Event) int {
	switch {
	case e.IsNoteOff():
		return 0
	case e.IsNoteOn():
		return 2
	}
	return 1
}
