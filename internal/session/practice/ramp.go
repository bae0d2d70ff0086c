package practice

import (
	"fmt"
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/judge/rules"
	"undersong/internal/music/meter"
)

// Ramp is a tempo that rises from pass to pass.
type Ramp struct {
	From, To meter.Tempo // From below To, both from meter.SlowestTempo to meter.FastestTempo
	Step     meter.Tempo // above 0
}

// passCount is what is found in a pass, as far as the ramp wants to know.
type passCount struct {
	right, slips, faults int
}

// smallSlip is how far out of time a stroke may be, as a part of what the level
// allows, to be no more than a slip: it was told, but nobody who listens stops at it
// (common practice, no source).
const smallSlip = 1.5

func (p *passCount) add(f *finding.Finding, l rules.Level, t *take) {
	allowed := max(l.Timing, time.Duration(l.OfBeat*float64(t.lasts(t.score.Meter.Beat()))))
	off := time.Duration(float64(max(f.Offset, -f.Offset)) / smallSlip)
	switch {
	case f.Kind == finding.Right:
		p.right++
	case (f.Kind == finding.Early || f.Kind == finding.Late) && off <= allowed:
		p.slips++
	default:
		p.faults++
	}
}

// clean reports a pass without a mistake, one small slip in time set aside.
func (p *passCount) clean() bool { return p.right > 0 && p.faults == 0 && p.slips <= 1 }

// raise sets the tempo of the next pass, and tells it.
func (s *Session) raise() error {
	r := s.o.Ramp
	if r == nil {
		return nil
	}
	text := "once more at %g"
	switch {
	case s.pass.clean() && s.tempo < r.To:
		s.tempo = min(s.tempo+r.Step, r.To)
		text = "clean: now %g"
	case s.pass.clean():
		text = "clean at %g, the tempo you were after"
	}
	s.view.notice = fmt.Sprintf(text, float64(s.tempo))
	return s.notice(s.view.notice)
}
