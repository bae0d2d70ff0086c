package practice

import (
	"slices"

	"undersong/internal/judge/finding"
	"undersong/internal/session/sitting"
)

// findings takes what the engine found: a cause before what it does not explain.
func (s *Session) findings(found []finding.Finding) {
	for _, c := range s.take.engine.Causes() {
		s.cause(c)
	}
	if len(found) == 0 {
		return
	}
	items := make([]sitting.Item, len(found))
	for i := range found {
		items[i] = s.item(found[i])
	}
	now := s.here()
	for i := range items {
		items[i].During = now
		items[i].About = sitting.Place{Turn: sitting.Turn{Round: now.Turn.Round, Pass: items[i].Pass - 1}, Bar: items[i].Finding.Bar}
	}
	if s.o.Heading.After {
		s.later = append(s.later, items...)
		return
	}
	if s.o.Heading.Sing {
		items = s.keepInner(items)
	}
	if len(items) == 0 {
		return
	}
	s.shown.praise(items, s.Now)
	s.shown.correct(s.take, corrections(items), s.Now)
	s.Tell(sitting.Record{Findings: items})
}

// keepInner keeps what a singer hardly hears until the pass is over.
func (s *Session) keepInner(items []sitting.Item) []sitting.Item {
	return slices.DeleteFunc(items, func(i sitting.Item) bool {
		if i.Finding.Kind.Inner() {
			s.later = append(s.later, i)
		}
		return i.Finding.Kind.Inner()
	})
}

// cause tells one reason for many findings.
func (s *Session) cause(c finding.Cause) {
	told := sitting.Cause{Cause: c, At: c.At + s.take.delay - s.Began, Pass: s.take.passes + c.Pass + 1}
	if s.o.Heading.After {
		s.causes = append(s.causes, told)
		return
	}
	s.shown.explain(s.take, told, s.Now)
	s.Tell(sitting.Record{Cause: &told})
}

// corrections are the findings of what was not right.
func corrections(items []sitting.Item) (all []sitting.Item) {
	for i := range items {
		if items[i].Finding.Kind != finding.Right {
			all = append(all, items[i])
		}
	}
	return all
}

// item counts a finding in all ways.
func (s *Session) item(f finding.Finding) sitting.Item {
	s.pass.add(&f, s.o.Level, s.take)
	f = s.take.inPiece(f)
	pass := s.take.passes + f.Pass
	turn := s.history.turn(&f, pass)
	number := s.piece.Score.Bars[f.Bar].Number
	s.picture.Add(number, turn, f.Kind)
	s.lost = f.Kind == finding.Lost || s.lost && f.Kind != finding.Right && f.Kind < finding.Missing // such as a note let go
	if f.Kind == finding.Right {
		s.right++
	} else {
		s.wrong++
	}
	f.Again = s.history.note(f.Kind, f.Part, sitting.Place{Turn: turn, Bar: f.Bar}, number)
	return sitting.Item{Finding: f, At: f.At - s.Began, Pass: pass + 1}
}

// here is the bar that is played now.
func (s *Session) here() sitting.Place {
	p := s.take.position(s.known())
	return sitting.Place{Turn: sitting.Turn{Round: s.history.turns.Round(), Pass: s.take.passes + p.Pass}, Bar: s.take.first + p.Bar}
}

// praise looks back at bars. That is done on the next one's second beat: by then
// all that was missing in it or extra is known.
func (s *Session) praise() {
	limit := s.count(s.here())
	if s.take.position(s.known()).Beat < 2 {
		limit--
	}
	if f, ok := s.take.engine.Pending(); ok { // its bar may go well yet, or badly
		f = s.take.inPiece(f)
		limit = min(limit, (s.take.passes+f.Pass)*len(s.piece.Score.Bars)+f.Bar)
	}
	s.settle(limit)
}

// count counts bars through all passes.
func (s *Session) count(p sitting.Place) int { return p.Turn.Pass*len(s.piece.Score.Bars) + p.Bar }

// settle tells of bars before a limit that went well, or were mended. Where
// corrections come after the pass, so does that.
func (s *Session) settle(limit int) {
	for _, v := range s.history.settle(func(p sitting.Place) bool { return s.count(p) < limit }) {
		if !v.right || v.wrong {
			continue
		}
		n := sitting.Notice{Kind: sitting.BarRight, Bar: v.number}
		if s.history.mended(&v) {
			n.Kind = sitting.BarMended
			s.shown.cheer(n, s.Now)
		}
		if !s.o.Heading.After {
			s.Notice(n)
		} else if n.Kind == sitting.BarMended {
			s.mended = append(s.mended, n)
		}
	}
}

// handOver tells what was kept of the passes up to one, counted from 1.
func (s *Session) handOver(pass int) {
	if !s.o.Heading.After && !s.o.Heading.Sing {
		return
	}
	var done []sitting.Item
	s.later = slices.DeleteFunc(s.later, func(i sitting.Item) bool {
		if i.Pass <= pass {
			done = append(done, i)
		}
		return i.Pass <= pass
	})
	s.causes = slices.DeleteFunc(s.causes, func(c sitting.Cause) bool {
		if c.Pass <= pass {
			s.Tell(sitting.Record{Cause: &c})
		}
		return c.Pass <= pass
	})
	if len(done) == 0 {
		return
	}
	s.shown.read = corrections(done)
	s.Tell(sitting.Record{Findings: done})
	for _, n := range s.mended {
		s.Notice(n)
	}
	s.mended = nil
}

// passOver is how the pass that is over went.
func (s *Session) passOver() sitting.Notice {
	sum := s.take.engine.Summary()
	return sitting.Notice{Kind: sitting.PassOver, Pass: s.take.passes, Right: sum.Count(finding.Right), Wrong: sum.Wrong()}
}
