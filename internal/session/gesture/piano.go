package gesture

import (
	"time"

	"undersong/internal/midi/event"
	"undersong/internal/session/sitting"
)

// Piano is the piano of a sitting: what is played there is music or asks for
// something. The zero value is ready.
type Piano struct {
	reader Reader
	open   bool // and the sitting has been told
	goesOn bool // the music does, when it is closed
}

// Change is what became of the commands.
type Change uint8

// What may become of them.
const (
	Same   Change = iota
	Opened        // the music rests
	GoesOn        // they are closed, and the music goes on
)

// Sitting is what a command is asked of.
type Sitting interface {
	State() sitting.State
	Do(now time.Duration, c sitting.Command)
}

// Feed takes what was played. Music gives then, or later, what of it is music.
func (p *Piano) Feed(ev event.Event) { p.reader.Feed(ev) }

// Tick lets time pass.
func (p *Piano) Tick(now time.Duration) { p.reader.Tick(now) }

// Music is what turned out to be music, in order. The slice is good until the next
// call of any method.
func (p *Piano) Music() []event.Event { return p.reader.Music() }

// Change is what became of the commands since the last time.
func (p *Piano) Change() Change {
	was := p.open
	p.open = p.reader.Open()
	switch {
	case p.open && !was:
		p.goesOn = false
		return Opened
	case was && !p.open && p.goesOn:
		return GoesOn
	}
	return Same
}

// Later reports that the music is to go on only when the keys are let go, which Change
// tells then; false where they are not held.
func (p *Piano) Later() bool {
	p.goesOn = p.open
	return p.open
}

// Ask asks a sitting for what was commanded since the last time.
func (p *Piano) Ask(s Sitting, now time.Duration) {
	n := p.reader.Chosen()
	if n == 0 || !p.open {
		return
	}
	if c := s.State().Menu.At(n); c.Do != sitting.DoNothing {
		s.Do(now, c)
	}
}

// Offer says in a menu that there are keys for it, and which, while they are commands.
func (p *Piano) Offer(m *sitting.Menu) {
	m.Piano = true
	if p.open {
		m.Open(p.reader.Commands(sitting.MostPlaces))
	}
}

// Known is up to when it is known what was played, now at the latest: what may be a
// command is held back.
func (p *Piano) Known(now time.Duration) time.Duration {
	if since, waiting := p.reader.Waiting(); waiting {
		return min(since, now)
	}
	return now
}

// Due is when Tick has something to do, later at the latest.
func (p *Piano) Due(later time.Duration) time.Duration {
	if _, waiting := p.reader.Waiting(); waiting {
		return min(later, p.reader.Due())
	}
	return later
}

// Forget forgets what is held, as when the cable is pulled.
func (p *Piano) Forget() {
	p.reader.Forget()
	p.open = false
}
