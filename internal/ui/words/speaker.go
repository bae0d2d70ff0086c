package words

import (
	"undersong/internal/judge/byear"
	"undersong/internal/judge/finding"
	"undersong/internal/listen/chordid"
	"undersong/internal/session/sitting"
)

// Speaker finds the words for what is told about one piece.
type Speaker struct {
	piece   *sitting.Piece
	strokes *Wording
	basses  *BassWording // nil but under a tune
	tune    *TuneWording // nil but for one that is looked for
}

// NewSpeaker speaks of a piece.
func NewSpeaker(p *sitting.Piece) *Speaker {
	s := &Speaker{piece: p, strokes: &Wording{Score: p.Score, Ear: chordid.New(), Led: p.Heading.Follow, Recorded: p.Heading.Recorded}}
	switch h := &p.Heading; h.Kind {
	case sitting.Basses:
		s.basses = NewBassWording(p.Score, h.Choice)
	case sitting.Tune:
		s.tune = &TuneWording{Tune: byear.New(p.Score.Melody, p.Score.Key), Task: h.Task}
	}
	return s
}

// Strokes is the voice for a finding about strokes of a pattern.
func (s *Speaker) Strokes(f *finding.Finding) *Wording { return s.strokes.of(f) }

// Basses is the voice for findings about basses; nil where nobody puts any.
func (s *Speaker) Basses() *BassWording { return s.basses }

// Tune is the voice for findings about a tune that is looked for; nil elsewhere.
func (s *Speaker) Tune() *TuneWording { return s.tune }

// Line is a finding in one sentence. A correction that was made before is a short
// reminder.
func (s *Speaker) Line(f *finding.Finding) string {
	switch {
	case s.tune != nil:
		return s.tune.Say(f)
	case s.basses != nil:
		return line(s.basses, f)
	}
	return line(s.strokes.of(f), f)
}

// Bar is the printed number of the bar that a finding is about; 0 where it is about
// none.
func (s *Speaker) Bar(f *finding.Finding) int {
	if s.tune != nil {
		return 0
	}
	return s.piece.Score.Bars[f.Bar].Number
}

// Headline is what is played, on one line.
func (s *Speaker) Headline() string {
	switch h := &s.piece.Heading; h.Kind {
	case sitting.Tune:
		return tuneHeadline(h, s.tune.Tune)
	case sitting.Basses:
		return bassHeadline(h)
	default:
		return Headline(h)
	}
}

// Summary is what came of it, one paragraph each: causes first, else a headline. A
// paragraph may have line feeds where it reads better with them; spaces will do.
func (s *Speaker) Summary(r *sitting.Result) []string {
	switch r.Kind {
	case sitting.Tune:
		return s.tune.summary(r)
	case sitting.Basses:
		return bassSummary(r)
	}
	var lines []string
	for i := range r.Summary.Causes {
		c := &r.Summary.Causes[i]
		lines = append(lines, sentence(s.Cause(c)))
		if text := causeCommand(r, c); text != "" {
			lines = append(lines, "  "+text)
		}
	}
	return append(lines, SummaryLines(r)...)
}
