package practice

import (
	"time"

	"undersong/internal/judge/byear"
	"undersong/internal/judge/finding"
	"undersong/internal/midi/event"
	"undersong/internal/session/sitting"
	"undersong/internal/ui/term"
	"undersong/internal/ui/words"
)

// ByEar lets a student look for a tune by ear. It is a Lesson for Loop, and hears
// a file as well.
type ByEar struct {
	Heading sitting.TuneHeading

	freely
	ear   *byear.Ear
	said  finding.Finding // the latest, for the view
	where byear.Place     // the student was then
	any   bool            // something was said
}

// Begin starts listening.
func (b *ByEar) Begin(now time.Duration) error {
	b.begin(now)
	b.ear = byear.NewEar(b.Heading.Tune, byear.Options{Help: b.Heading.Help, Task: b.Heading.Task})
	if err := b.writer.StartTune(b.Heading); err != nil {
		return err
	}
	if err := b.open(); err != nil {
		return err
	}
	return b.tell(b.ear.Begin(now))
}

func (b *ByEar) tell(found []finding.Finding) error {
	for i := range found {
		f := &found[i]
		b.said, b.any, b.where = *f, true, b.ear.Place()
		if err := b.writer.TuneFinding(sitting.Item{Finding: f, At: f.At - b.began}); err != nil {
			return err
		}
	}
	return nil
}

// Event takes what was played.
func (b *ByEar) Event(ev event.Event) error {
	ev.At = b.reach(ev.At)
	return b.tell(b.ear.Feed(ev))
}

// Tick lets time pass.
func (b *ByEar) Tick(now time.Duration) error {
	return b.tell(b.ear.Tick(b.reach(now)))
}

// Until is how long nothing is due.
func (b *ByEar) Until(now, most time.Duration) time.Duration {
	if due, waits := b.ear.Due(); waits {
		return min(most, max(0, due-now))
	}
	return most
}

// Type gives a hint for the key h.
func (b *ByEar) Type(now time.Duration, key string) error {
	if key != "h" && key != "H" {
		return nil
	}
	return b.tell(b.ear.Hint(b.reach(now)))
}

// Lost tells that the keyboard is gone.
func (b *ByEar) Lost(now time.Duration, port string) error {
	b.ear.Unplugged()
	return b.lost(now, port)
}

// Stop ends listening with the summary.
func (b *ByEar) Stop(now time.Duration) error {
	b.reach(now)
	if b.done {
		return nil
	}
	b.done = true
	if err := b.tell(b.ear.Finish(b.now)); err != nil {
		return err
	}
	return b.writer.TuneSummary(b.session())
}

func (b *ByEar) voice() *words.TuneVoice { return words.NewTuneVoice(b.Heading) }

func (b *ByEar) session() sitting.TuneResult {
	return sitting.TuneResult{TuneHeading: b.Heading, Length: b.length(), Summary: b.ear.Summary()}
}

// Retell writes the heading and, when listening is over, the summary.
func (b *ByEar) Retell(w sitting.EarWriter) error {
	if err := w.StartTune(b.Heading); err != nil {
		return err
	}
	return w.TuneSummary(b.session())
}

// View shows how much of the phrase is found, and what was said last.
func (b *ByEar) View() term.State {
	st := term.State{Title: b.Heading.Title, Current: -1, Phase: term.Playing, Notice: b.away}
	if b.done {
		st.Phase, st.Summary = term.Finished, words.TuneSummaryLines(b.session())
		return st
	}
	if from, on := b.ear.Asked(); on {
		st.Pattern = b.voice().TaskWords(from)
	}
	t, place := b.ear.Tune, b.ear.Place()
	st.Tune = &term.Tune{Current: place.Phrase, Found: place.Found, Notes: t.Len(place.Phrase)}
	for p := range t.Phrases() {
		found, right := b.ear.Found(p)
		st.Tune.Phrases = append(st.Tune.Phrases, term.Phrase{Found: found, Right: right})
	}
	b.words(&st)
	return st
}

// words shows what was said last, for as long as it helps.
func (b *ByEar) words(st *term.State) {
	place := b.ear.Place()
	if !b.any {
		if place == (byear.Place{}) {
			st.Praise = "begin on any key you like"
		}
		return
	}
	text := b.voice().Say(&b.said)
	switch b.said.Kind {
	case finding.PhraseRight, finding.PhraseFound, finding.TuneFound, finding.TuneRight, finding.TaskDone:
		st.Praise = text
		if b.said.Tune.Asks.Missed() {
			st.Praise, st.Correction = "", text
		}
	case finding.Direction, finding.OtherOctave, finding.OnceMore, finding.NextNote, finding.StartNote:
		if place.Phrase == b.where.Phrase && place.Found == b.where.Found {
			st.Correction = text
		}
	default:
		st.Correction = text
	}
}
