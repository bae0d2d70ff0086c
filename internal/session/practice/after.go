package practice

import (
	"fmt"
	"slices"

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

// handOver tells what was kept of the passes up to one, counted from 1.
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
	g := sitting.Gate{After: true}
	s.view.read(g.Choose(over))
	if err := s.write(over); err != nil {
		return err
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
