package firstbass

import (
	"testing"
	"time"

	"undersong/internal/midi/event"
)

// repeat feeds n events of a tune that is played again and again.
func repeat(l *Listener, events []event.Event, from, n int) {
	round := events[len(events)-1].At + 2*time.Second
	for i := from; i < from+n; i++ {
		e := events[i%len(events)]
		e.At += time.Duration(i/len(events)) * round
		l.Feed(e)
	}
}

func BenchmarkFeed(b *testing.B) {
	p := newPlayer(b, "clementine", "", WithTriad, 3, 5)
	events := p.play()
	l := New(p.s, Options{WithTriad, 3})
	repeat(l, events, 0, len(events))
	i := len(events)
	b.ReportAllocs()
	for b.Loop() {
		repeat(l, events, i, 1)
		i++
	}
}
