package practice

import (
	"slices"
	"time"

	"undersong/internal/midi/event"
	"undersong/internal/play/playback"
	"undersong/internal/play/together"
	"undersong/internal/session/sounds"
)

// With is what undersong plays beside the student.
type With struct {
	Parts []playback.Part // none: nothing
	// Channel, as on the wire, is where it sounds. What comes in there is taken
	// for our own, which an instrument may send back; but nothing on channel 0,
	// which is the student's.
	Channel uint8
}

func (w *With) plays() bool { return len(w.Parts) > 0 }

// echoes reports a message that is our own where an instrument sends it back.
func (w *With) echoes(ev event.Event) bool {
	return ev.Channel() == event.Percussion || w.plays() && w.Channel != 0 && ev.Channel() == w.Channel
}

// along is what undersong plays in a take.
type along interface {
	Next() time.Duration // when something is due; sounds.Never for nothing
	Play(now time.Duration, sound func(event.Event))
	Stop(sound func(event.Event)) // and every note of it
}

// newAlong is what undersong plays in a take: by the click, or after a player who
// leads.
func newAlong(t *take, w With) along {
	switch {
	case !w.plays():
		return (*sounds.Passes)(nil)
	case t.clicks == nil:
		t.partner = together.New(t.engine.Score, t.score, together.Options{Parts: w.Parts, Loop: t.loop, Channel: w.Channel})
		return t.partner
	}
	return newPasses(t, w)
}

// newPasses is what undersong plays by the click.
func newPasses(t *take, w With) *sounds.Passes {
	player := playback.NewPlayer(t.score, playback.Options{Parts: w.Parts, Soft: true})
	return &sounds.Passes{Pass: func(n int) []event.Event {
		if n > 0 && !t.loop {
			return nil
		}
		all := slices.Clone(player.Pass(n))
		for i := range all {
			all[i].At += t.engine.Click.Start
			all[i].Status = all[i].Kind() | w.Channel
		}
		return all
	}}
}

// lead lets what undersong plays after the player hear where that is.
func (s *Session) lead(ev event.Event) {
	t := s.take
	if t.partner == nil {
		return
	}
	t.partner.Hold(t.engine.Holding(), s.Now)
	if ev.IsNoteOn() {
		t.partner.Hear(t.engine.Leader(), s.Now, s.o.Sound)
	}
	t.partner.Play(s.Now, s.o.Sound)
}

// silence ends what an instrument may have kept sounding while it could not be
// reached.
func (s *Session) silence() {
	if s.o.With.plays() {
		sounds.Send(s.o.Sound, event.Event{At: s.Now, Status: event.ControlChange | s.o.With.Channel, Data1: event.AllNotesOff})
	}
}

// click is where the click is heard, or nil.
func (s *Session) click() func(event.Event) {
	if s.o.NoClick {
		return nil
	}
	return s.o.Sound
}
