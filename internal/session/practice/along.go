package practice

import (
	"slices"

	"undersong/internal/midi/event"
	"undersong/internal/play/playback"
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

// newAlong is what undersong plays in a take by its click, or nil.
func newAlong(t *take, w With) *sounds.Passes {
	if !w.plays() || t.clicks == nil {
		return nil
	}
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
