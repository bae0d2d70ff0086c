package practice

import (
	"undersong/internal/judge/finding"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/score"
)

// tell passes findings on.
func (s *Session) tell(found []finding.Finding) error {
	s.items = s.items[:0]
	for i := range found {
		s.items = append(s.items, s.hear(&found[i]))
	}
	now := s.here()
	for i := range s.items {
		item := &s.items[i]
		item.During = now
		item.About = sitting.Place{Turn: sitting.Turn{Round: now.Turn.Round, Pass: item.Pass - 1}, Bar: s.take.first + item.Finding.Bar}
	}
	if s.o.After {
		s.keepForLater()
		return nil
	}
	s.view.praise(found, s.now)
	for _, i := range s.gate.Choose(s.items) {
		s.view.correct(s.take, &i, s.now)
	}
	return s.write(s.items)
}

func (s *Session) write(items []sitting.Item) error {
	if len(items) == 0 {
		return nil
	}
	return s.o.Writer.Findings(items)
}

// hear counts a finding in all ways.
func (s *Session) hear(f *finding.Finding) sitting.Item {
	pass := s.take.passes + f.Pass
	turn := s.history.turn(f, pass)
	bar := &s.take.score.Bars[f.Bar]
	s.picture.Add(bar.Number, turn, f.Kind)
	s.pass.add(f, s.o.Level, s.take)
	s.lost = f.Kind == finding.Lost || s.lost && f.Kind != finding.Right && f.Kind < finding.Missing // such as a note let go
	if f.Kind == finding.Right {
		s.right++
	} else {
		s.wrong++
	}
	f.Again = s.history.note(f.Kind, f.Part, sitting.Place{Turn: turn, Bar: s.take.first + f.Bar}, bar.Number)
	return sitting.Item{Finding: f, Score: s.take.engine.Score, Ear: s.take.engine.Ear, At: f.At - s.began, Pass: pass + 1}
}

// here is the bar that is played now.
func (s *Session) here() sitting.Place {
	p := s.take.position(s.now)
	return sitting.Place{Turn: sitting.Turn{Round: s.history.turns.Round(), Pass: s.take.passes + p.Pass}, Bar: s.take.first + p.Bar}
}

// praise looks back at bars. That is done on the next one's second beat: by then
// all that was missing in it or extra is known.
func (s *Session) praise() error {
	limit := s.count(s.here())
	if s.take.position(s.now).Beat < 2 {
		limit--
	}
	return s.settle(limit)
}

// count counts bars through all passes.
func (s *Session) count(p sitting.Place) int { return p.Turn.Pass*len(s.o.Score.Bars) + p.Bar }

// settle tells of bars before a limit that went well, where corrections come bar
// by bar, and of bars that were mended.
func (s *Session) settle(limit int) error {
	for _, v := range s.history.settle(func(p sitting.Place) bool { return s.count(p) < limit }) {
		if !v.right || v.wrong {
			continue
		}
		text := score.BarName(v.number) + ": right"
		if s.history.mended(&v) {
			text = score.BarName(v.number) + ": mended"
			s.view.cheer(text, s.now)
		} else if s.o.All || s.o.After {
			continue
		}
		if s.o.After {
			s.mended = append(s.mended, text)
			continue
		}
		if err := s.notice(text); err != nil {
			return err
		}
	}
	return nil
}
