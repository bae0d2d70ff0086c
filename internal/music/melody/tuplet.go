package melody

import (
	"fmt"

	"undersong/internal/music/meter"
)

// tuplet is p notes in the time of q, for the next notes (4.13).
type tuplet struct {
	p, q        int64
	notes, left int
	col         int
}

const mostInTuplet = 32

// take is what a length comes to in the tuplet.
func (t *tuplet) take(dur int64) int64 {
	if t.left == 0 {
		return dur
	}
	t.left--
	return dur * t.q / t.p
}

// readTuplet reads 3, 3:2 or 3:2:4 behind the parenthesis; what is left out is
// as the standard says (4.13).
func (s *scanner) readTuplet() {
	col := s.i
	p, _ := s.number()
	q, r := InTimeOf(p, s.set.Meter), p
	for _, part := range []*int{&q, &r} {
		if s.at(0) != ':' {
			break
		}
		s.i++
		if n, ok := s.number(); ok {
			*part = n
		}
	}
	switch {
	case p < 2 || p > 9 || q < 1 || q > 9 || r < 1 || r > mostInTuplet:
		s.fail(col, "a tuplet has 2 to 9 notes", "write it as in (3CDE, or (3:2:4 for four notes with 3 in the time of 2")
	case s.tuplet.left > 0:
		s.fail(col, fmt.Sprintf("a tuplet begins before the last one has its %d notes", s.tuplet.notes), "write (3 and then three notes")
	}
	s.tuplet = tuplet{int64(p), int64(q), r, r, col}
}

// InTimeOf is in the time of how many a tuplet's p notes are: of three in compound
// meters and two in others where p says nothing (4.13).
func InTimeOf(p int, m meter.Meter) int {
	switch {
	case p == 3 || p == 6:
		return 2
	case p == 2 || p == 4 || p == 8 || m.Compound():
		return 3
	}
	return 2
}
