package freely

import (
	"time"

	"undersong/internal/judge/byear"
	"undersong/internal/judge/finding"
	"undersong/internal/midi/event"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/score"
)

// Tune lets a student look for a tune by ear, in live playing or in a file.
type Tune struct {
	free
	ear   *byear.Ear
	said  *sitting.Item // the latest
	where byear.Place   // the student was then
}

// NewTune is a sitting over a tune, by score.Tune.
func NewTune(h sitting.Heading, s *score.Score) *Tune {
	t := &Tune{ear: byear.NewEar(byear.New(s.Melody, s.Key), byear.Options{Help: h.Help, Task: h.Task})}
	h = h.Of(s)
	h.Kind = sitting.Tune
	t.piece = sitting.NewPiece(h, s, nil)
	return t
}

// Begin starts listening.
func (t *Tune) Begin(now time.Duration) {
	t.begin(now)
	t.findings(t.ear.Begin(now))
}

func (t *Tune) findings(found []finding.Finding) {
	for _, f := range found {
		t.said, t.where = &sitting.Item{Finding: f, At: f.At + t.rested - t.Began}, t.ear.Place()
		t.Tell(sitting.Record{Findings: []sitting.Item{*t.said}})
	}
}

func (t *Tune) hear(music []event.Event) {
	for _, ev := range music {
		t.findings(t.ear.Feed(ev))
	}
	t.piano.Ask(t, t.Now)
}

// Event takes what was played.
func (t *Tune) Event(ev event.Event) { t.hear(t.heard(ev)) }

// Tick lets time pass.
func (t *Tune) Tick(now time.Duration) {
	t.hear(t.reach(now))
	if !t.done {
		t.findings(t.ear.Tick(t.known()))
	}
}

// Until is how long nothing is due.
func (t *Tune) Until(now, most time.Duration) time.Duration {
	due, waits := t.ear.Due()
	return t.until(now, most, due, waits)
}

// Do pauses, goes on, gives a hint, or ends.
func (t *Tune) Do(now time.Duration, c sitting.Command) {
	t.hear(t.reach(now))
	m := t.hinting()
	switch {
	case t.done:
	case !m.Has(c.Do):
		t.Refuse(c)
	case c.Do == sitting.DoHint:
		t.findings(t.ear.Hint(t.known()))
	case c.Do == sitting.DoEnd:
		t.findings(t.ear.Finish(t.known()))
		t.end(sitting.Result{Summary: t.ear.Summary()})
	default:
		t.ear.Unplugged()
		t.rest(c.Do == sitting.DoPause)
	}
}

// Lost tells that the keyboard is gone.
func (t *Tune) Lost(now time.Duration, port string) {
	t.ear.Unplugged()
	t.lost(now, port)
}

// State shows how much of the phrase is found, and what was said last for as long as
// it helps.
func (t *Tune) State() sitting.State {
	st := t.state(t.hinting())
	if t.done {
		r := t.result(sitting.Result{Summary: t.ear.Summary()})
		st.Result = &r
		return st
	}
	tune, place := t.ear.Tune, t.ear.Place()
	s := st.Search
	s.From, s.Asked = t.ear.Asked()
	s.Phrase, s.Found, s.Notes = place.Phrase, place.Found, tune.Len(place.Phrase)
	for p := range tune.Phrases() {
		found, right := t.ear.Found(p)
		s.Phrases = append(s.Phrases, sitting.FoundPhrase{Found: found, Right: right})
	}
	switch {
	case t.said == nil && place == byear.Place{}:
		st.Told.Praise.Kind = sitting.TuneBegins
	case t.said != nil && (!aboutOneNote(t.said.Finding.Kind) || place.Phrase == t.where.Phrase && place.Found == t.where.Found):
		st.Told.Latest(*t.said)
	}
	return st
}

// aboutOneNote reports a kind that says nothing any more when the note is found.
func aboutOneNote(k finding.Kind) bool {
	switch k {
	case finding.Direction, finding.OtherOctave, finding.OnceMore, finding.NextNote, finding.StartNote:
		return true
	}
	return false
}
