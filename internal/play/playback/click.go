package playback

import (
	"time"

	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
)

// clickSound is how long a click sounds.
const clickSound = 60 * time.Millisecond

func click(at time.Duration, first bool) []event.Event {
	key, velocity := uint8(event.LowBlock), uint8(80)
	if first {
		key, velocity = event.HighBlock, 110
	}
	return []event.Event{
		{At: at, Status: event.NoteOn | event.Percussion, Data1: key, Data2: velocity},
		{At: at + clickSound, Status: event.NoteOff | event.Percussion, Data1: key},
	}
}

// CountIn is the count-in. It is of whole bars, so that the music begins where
// bars end; before an upbeat it begins in the middle of one, and is high on its
// ones.
func (p *Player) CountIn() []event.Event {
	m, tempo := p.score.Meter, p.score.Tempo
	var all []event.Event
	for i := range p.o.CountIn * m.Beats() {
		at := m.Beat()*meter.Ticks(i) + m.Bar() - p.score.Bars[0].Len
		all = append(all, click(tempo.Duration(m.Beat()*meter.Ticks(i), m), at%m.Bar() == 0)...)
	}
	return all
}

// clicks are the beats of a pass, where they are wanted.
func (p *Player) clicks(n int) []event.Event {
	if !p.o.Click {
		return nil
	}
	begins := p.Lead() + time.Duration(n)*p.Length()
	var all []event.Event
	for _, b := range p.score.Beats() {
		all = append(all, click(begins+p.score.Time(b.At), b.First)...)
	}
	return all
}
