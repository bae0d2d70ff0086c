package freely

import (
	"time"

	"undersong/internal/judge/byear"
	"undersong/internal/judge/finding"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/score"
)

// Tune lets a student look for a tune by ear, in live playing or in a file.
type Tune struct {
	judged
	ear   *byear.Ear
	where byear.Place // the student was when something was told last
}

// NewTune is a sitting over a tune, by score.Tune.
func NewTune(h sitting.Heading, s *score.Score) *Tune {
	t := &Tune{ear: byear.NewEar(byear.New(s.Melody, s.Key), byear.Options{Help: h.Help, Task: h.Task})}
	t.judged = judged{judge: t.ear, hint: func() { t.findings(t.ear.Hint(t.known())) }, noted: func(*finding.Finding) { t.where = t.ear.Place() }}
	h = h.Of(s)
	h.Kind = sitting.Tune
	t.piece = sitting.NewPiece(h, s, nil)
	return t
}

// Begin starts listening.
func (t *Tune) Begin(now time.Duration) {
	t.judged.Begin(now)
	t.findings(t.ear.Begin(now))
}

// State shows how much of the phrase is found, and what was said last for as long as
// it helps.
func (t *Tune) State() sitting.State {
	st := t.judged.State()
	if t.done {
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
