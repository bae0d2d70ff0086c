package freely

import (
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/judge/firstbass"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/score"
)

// Basses lets a student put basses under a tune, in live playing or in a file.
type Basses struct {
	judged
	ear    *firstbass.Listener
	theory *firstbass.Theory
	fits   sitting.Notice // the hint that stands
	right  int
	wrong  int
}

// lingers is how long after the tune's end one may begin again.
const lingers = 3 * time.Second

// NewBasses is a sitting over a tune, by score.Tune. The bars are shown without their
// chords, which the student is to find.
func NewBasses(h sitting.Heading, s *score.Score) *Basses {
	b := &Basses{
		ear:    firstbass.New(s, firstbass.Options{Voicing: h.Voicing, Basses: h.Choice}),
		theory: firstbass.NewTheory(s, h.Choice),
	}
	b.judged = judged{judge: b.ear, hint: b.tellFits, noted: b.note}
	h = h.Of(s)
	h.Kind = sitting.Basses
	b.piece = sitting.NewPiece(h, s, s.Chart)
	for i := range b.piece.Bars {
		b.piece.Bars[i].Chords = nil
	}
	return b
}

func (b *Basses) note(f *finding.Finding) {
	if f.Kind == finding.Right {
		b.right++
	} else {
		b.wrong++
	}
	b.fits = sitting.Notice{}
}

// Tick lets time pass. Some seconds after the tune all is over.
func (b *Basses) Tick(now time.Duration) {
	b.judged.Tick(now)
	if end := b.ear.Ended(); !b.done && end > 0 && b.known() >= end+lingers && !b.paused {
		b.finish()
	}
}

// tellFits tells which basses fit in the bar that is played, or in the first.
func (b *Basses) tellFits() {
	bar := max(0, b.ear.Bar())
	n := sitting.Notice{Kind: sitting.BassesFit, Bar: bar}
	for _, s := range b.theory.Stretches() {
		if s.Bar == bar {
			n.Choices = finding.FewOf(s.Fits...)
			break
		}
	}
	b.fits = n
	b.Notice(n)
}

// State shows the bars and what was said last.
func (b *Basses) State() sitting.State {
	st := b.judged.State()
	st.Told.Right, st.Told.Wrong = b.right, b.wrong
	if b.done {
		return st
	}
	st.Where.Bar = b.ear.Bar()
	st.Sound.Down = b.ear.Down()
	st.Told.Notice = b.fits
	if b.said != nil && b.fits.Kind == sitting.NoNotice {
		st.Told.Latest(*b.said)
	}
	if st.Where.Bar < 0 && b.said == nil {
		st.Told.Praise.Kind = sitting.BassesBegin
	}
	return st
}
