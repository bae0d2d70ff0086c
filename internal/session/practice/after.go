package practice

import (
	"fmt"
	"slices"

	"undersong/internal/judge/finding"
	"undersong/internal/session/sitting"
	"undersong/internal/ui/words"
)

// keepForLater keeps what was just found until the pass is over.
func (s *Session) keepForLater() {
	for _, i := range s.items {
		f := *i.Finding // the engine writes over it
		i.Finding = &f
		s.later = append(s.later, i)
	}
}

// handOver tells what was kept of the passes up to one, counted from 1: all of
// it, or at most one correction a bar, the worst first.
func (s *Session) handOver(pass int) error {
	if !s.o.After {
		return nil
	}
	var over []sitting.Item
	s.later = slices.DeleteFunc(s.later, func(i sitting.Item) bool {
		if i.Pass <= pass {
			over = append(over, i)
		}
		return i.Pass <= pass
	})
	if len(over) == 0 {
		return nil
	}
	worst := worstFirst(over)
	s.view.read(worst)
	if !s.o.All {
		over = worst
	}
	for _, i := range over {
		if err := s.o.Writer.Finding(i); err != nil {
			return err
		}
	}
	return s.tellMended()
}

func (s *Session) tellMended() error {
	for _, text := range s.mended {
		if err := s.notice(text); err != nil {
			return err
		}
	}
	s.mended = nil
	return nil
}

// worstFirst is the worst correction of each bar, the most important kind first,
// and the earlier bar first among equals.
func worstFirst(all []sitting.Item) []sitting.Item {
	var worst []sitting.Item
	for _, i := range all {
		if i.Finding.Kind == finding.Right {
			continue
		}
		n := slices.IndexFunc(worst, func(w sitting.Item) bool { return w.Pass == i.Pass && w.Finding.Bar == i.Finding.Bar })
		switch {
		case n < 0:
			worst = append(worst, i)
		case i.Finding.Kind > worst[n].Finding.Kind:
			worst[n] = i
		}
	}
	slices.SortStableFunc(worst, func(a, b sitting.Item) int {
		if a.Finding.Kind != b.Finding.Kind {
			return int(b.Finding.Kind) - int(a.Finding.Kind)
		}
		return a.Finding.Bar - b.Finding.Bar
	})
	return worst
}

// passOver is the summary of the take that is over, as it is read between passes.
func (s *Session) passOver() sitting.Result {
	sum := s.Summary()
	sum.Summary = s.take.engine.Summary()
	return sum
}

// tellPass tells in a line how the pass went.
func (s *Session) tellPass() error {
	return s.notice(fmt.Sprintf("pass %d: %s", s.take.passes, words.SummaryLines(s.passOver())[0]))
}
