package practice

import (
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/judge/rules"
	"undersong/internal/session/sitting"
)

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

// raise sets the tempo of the next pass, and tells it. It reports that the tempo that
// was asked for has been reached, and played clean.
func (s *Session) raise() (done bool) {
	n := sitting.Notice{Kind: sitting.OnceMore}
	switch top := s.o.Heading.Ramp.To; {
	case s.pass.clean() && s.tempo < top:
		s.tempo = min(s.tempo+s.o.Heading.Ramp.Step, top)
		n.Kind = sitting.NowFaster
	case s.pass.clean():
		n.Kind = sitting.AtTheTop
	}
	n.Tempo = s.tempo
	s.shown.notice = n
	s.Notice(n)
	return n.Kind == sitting.AtTheTop
}
