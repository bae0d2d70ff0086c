package abc

import (
	"fmt"

	"undersong/internal/music/melody"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
)

// longest is how long a single note or rest may be.
const longest = 64 * int64(meter.Whole) * melody.Fine

// add adds a note or rest of so many units to the bar.
func (s *scanner) add(e event, num, den int64) {
	v := s.v
	s.events++
	e.dur = v.unit * num / den
	if e.dur > longest || e.dur < melody.Fine {
		s.tell(fmt.Sprintf("the length in column %d is out of reach, and read as one beat", s.i))
		e.dur = int64(v.meter.Beat()) * melody.Fine
	}
	if v.skip > 0 {
		return
	}
	e.dur = v.tuplet.take(e.dur)
	if v.share != 0 {
		e.dur = e.dur * v.share / 8
		v.share = 0
	}
	if e.rest {
		v.silence()
	}
	s.begin(s.i)
	e.bar = len(v.bars)
	v.current.events = append(v.current.events, &e)
	if !e.rest {
		v.sung = append(v.sung, &e)
	}
}

// silence ends what only a note can follow. A phrase mark before it is for the note
// before.
func (v *voice) silence() {
	v.tied = nil
	if n := len(v.sung); v.ends && n > 0 {
		v.sung[n-1].note.Ends = true
	}
	v.ends = false
}

// begin begins a bar, if none is begun.
func (r *reader) begin(col int) {
	if r.v.current != nil {
		return
	}
	if r.v.empty() {
		r.v.firstKey, r.v.firstMeter = r.v.key, r.v.meter
	}
	b := r.v.next
	r.v.next = bar{}
	b.line, b.col, b.part = r.num, max(col, 1), len(r.parts)-1
	r.v.current = &b
}

// length reads a length such as 2, 3/2, /, // or /4 (4.3).
func (s *scanner) length() (num, den int64) {
	num, ok := s.number()
	if !ok {
		num = 1
	}
	den = 1
	for s.at(0) == '/' {
		s.i++
		if d, ok := s.number(); ok {
			den *= d
		} else {
			den *= 2
		}
		den = min(den, 1<<20)
	}
	if num < 1 || den < 1 {
		s.tell(fmt.Sprintf("the length in column %d is none", s.i))
		return 1, 1
	}
	return num, den
}

// number reads digits; from the seventh on they say no more.
func (s *scanner) number() (int64, bool) {
	n, start := int64(0), s.i
	for ; s.at(0) >= '0' && s.at(0) <= '9'; s.i++ {
		if s.i-start < 6 {
			n = 10*n + int64(s.at(0)-'0')
		}
	}
	return n, s.i > start
}

// chord reads notes that sound together (4.17): the tune has the highest of them, as
// long as the first. What it is enclosed in has begun.
func (s *scanner) chord(end rune) {
	col := s.i
	var top *pitch.Pitch
	num, den, tied, notes := int64(1), int64(1), false, 0
	for s.i < len(s.text) && s.at(0) != end && s.at(0) != '|' {
		p, ok := s.pitch()
		switch {
		case !ok && (s.at(0) == '"' || s.at(0) == '!'):
			s.remark(s.at(0))
		case !ok && s.at(0) == '-' && top != nil:
			tied = true
			s.i++
		case !ok:
			s.i++
		default:
			n, d := s.length()
			if notes++; notes == 1 {
				num, den = n, d
			}
			if top == nil || p.Num() > top.Num() {
				top, tied = &p, false
			}
			if s.at(0) == '-' && *top == p {
				tied = true
				s.i++
			}
		}
	}
	if s.at(0) == end {
		s.i++
	}
	n, d := s.length()
	if top == nil {
		s.tell(fmt.Sprintf("the chord in column %d has no notes", col))
		return
	}
	if notes > 1 {
		s.tell("of notes that sound together the tune has the highest")
	}
	s.sound(*top, col, num*n, den*d)
	if tied {
		s.setTied()
	}
}

// tie reads a tie (4.11); a space before it is forgiven.
func (s *scanner) tie() {
	s.i++
	s.setTied()
}

func (s *scanner) setTied() {
	v := s.v
	if v.skip > 0 || v.current == nil || len(v.current.events) == 0 {
		return
	}
	e := v.current.events[len(v.current.events)-1]
	if !e.rest {
		e.note.Tied = true
		p := e.note.Pitch
		v.tied = &p
	}
}

// breakRhythm reads > or <, up to three (4.4): what the note before gains or loses the
// note after loses or gains. Spaces and grace notes may stand between.
func (s *scanner) breakRhythm() {
	r, n := s.at(0), 0
	for ; s.at(0) == r; s.i++ {
		n++
	}
	v := s.v
	if v.skip > 0 {
		return
	}
	if n > 3 || v.share != 0 || v.current == nil || len(v.current.events) == 0 {
		s.tell(fmt.Sprintf("the broken rhythm in column %d stands between no two notes", s.i))
		return
	}
	long, short := int64(16-8>>n), int64(8>>n)
	if r == '<' {
		long, short = short, long
	}
	e := v.current.events[len(v.current.events)-1]
	e.dur = e.dur * long / 8
	v.share = short
}

// paren reads a slur, which changes nothing, or a tuplet: 3, 3:2 or 3:2:4 (4.13).
func (s *scanner) paren() {
	col := s.i + 1
	s.i++
	if s.at(0) == '&' {
		return
	}
	p, ok := s.number()
	if !ok {
		return
	}
	q, r := int64(melody.InTimeOf(int(p), s.v.meter)), p
	for _, part := range []*int64{&q, &r} {
		if s.at(0) != ':' {
			break
		}
		s.i++
		if n, ok := s.number(); ok {
			*part = n
		}
	}
	if p < 1 || p > 64 || q < 1 || q > 64 || r < 1 || r > 256 {
		s.tell(fmt.Sprintf("the tuplet in column %d is none", col))
		return
	}
	s.v.tuplet = tuplet{p, q, int(r)}
}
