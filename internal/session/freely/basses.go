package freely

import (
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/judge/firstbass"
	"undersong/internal/midi/event"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/score"
)

// Basses lets a student put basses under a tune, in live playing or in a file.
type Basses struct {
	free
	ear    *firstbass.Listener
	theory *firstbass.Theory
	said   *sitting.Item // the latest
	hint   sitting.Notice
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
	h = h.Of(s)
	h.Kind = sitting.Basses
	b.piece = sitting.NewPiece(h, s, s.Chart)
	for i := range b.piece.Bars {
		b.piece.Bars[i].Chords = nil
	}
	return b
}

// Begin starts listening.
func (b *Basses) Begin(now time.Duration) { b.begin(now) }

func (b *Basses) findings(found []finding.Finding) {
	for _, f := range found {
		if f.Kind == finding.Right {
			b.right++
		} else {
			b.wrong++
		}
		b.said, b.hint = &sitting.Item{Finding: f, At: f.At + b.rested - b.Began}, sitting.Notice{}
		b.Tell(sitting.Record{Findings: []sitting.Item{*b.said}})
	}
}

func (b *Basses) hear(music []event.Event) {
	for _, ev := range music {
		b.findings(b.ear.Feed(ev))
	}
	b.piano.Ask(b, b.Now)
}

// Event takes what was played.
func (b *Basses) Event(ev event.Event) { b.hear(b.heard(ev)) }

// Tick lets time pass. Some seconds after the tune all is over.
func (b *Basses) Tick(now time.Duration) {
	b.hear(b.reach(now))
	if b.done {
		return
	}
	known := b.known()
	b.findings(b.ear.Tick(known))
	if end := b.ear.Ended(); end > 0 && known >= end+lingers && !b.paused {
		b.finish()
	}
}

func (b *Basses) finish() {
	b.findings(b.ear.Finish(b.known()))
	b.end(sitting.Result{Summary: b.ear.Summary()})
}

// Until is how long nothing is due.
func (b *Basses) Until(now, most time.Duration) time.Duration {
	return b.until(now, most, b.ear.Due(), true)
}

// Do pauses, goes on, tells what fits, or ends.
func (b *Basses) Do(now time.Duration, c sitting.Command) {
	b.hear(b.reach(now))
	m := b.hinting()
	switch {
	case b.done:
	case !m.Has(c.Do):
		b.Refuse(c)
	case c.Do == sitting.DoHint:
		b.tellFits()
	case c.Do == sitting.DoEnd:
		b.finish()
	default:
		b.ear.Silence()
		b.rest(c.Do == sitting.DoPause)
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
	b.hint = n
	b.Notice(n)
}

// Lost tells that the keyboard is gone.
func (b *Basses) Lost(now time.Duration, port string) {
	b.ear.Silence()
	b.lost(now, port)
}

// State shows the bars and what was said last.
func (b *Basses) State() sitting.State {
	st := b.state(b.hinting())
	st.Told.Right, st.Told.Wrong = b.right, b.wrong
	if b.done {
		r := b.result(sitting.Result{Summary: b.ear.Summary()})
		st.Result = &r
		return st
	}
	st.Where.Bar = b.ear.Bar()
	st.Sound.Down = b.ear.Down()
	st.Told.Notice = b.hint
	if b.said != nil && b.hint.Kind == sitting.NoNotice {
		st.Told.Latest(*b.said)
	}
	if st.Where.Bar < 0 && b.said == nil {
		st.Told.Praise.Kind = sitting.BassesBegin
	}
	return st
}
