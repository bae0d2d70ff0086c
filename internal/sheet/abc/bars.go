package abc

import (
	"fmt"
	"strings"

	"undersong/internal/music/melody"
	"undersong/internal/music/meter"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/song"
)

// endBar ends the bar being read, if there is one.
func (v *voice) endBar() {
	if v.ends {
		v.silence()
	}
	v.accidentals = nil
	if v.current == nil {
		return
	}
	b := v.current
	v.current = nil
	if len(b.events) == 0 { // chords alone wait for the next
		v.next = *b
		return
	}
	v.bars = append(v.bars, b)
}

// barline reads a barline of any kind, with the endings that begin behind it (4.8 to
// 4.10): colons before the strokes end a repeat, those behind begin one.
func (s *scanner) barline() {
	start := s.i
	for s.inBarline(start) {
		s.i++
	}
	sign := string(s.text[start:s.i])
	if sign == "[|]" { // not to be seen
		sign = "|"
	}
	if !strings.Contains(sign, "|") && !strings.Contains(sign, "::") {
		s.i = max(s.i, start+1)
		if sign != "]" { // what is left of a barline such as [|]
			s.tell(fmt.Sprintf("%q in column %d is no barline", sign, start+1))
		}
		return
	}
	v := s.v
	s.apply(sign)
	s.ending()
	if v.skip > 0 {
		if v.skip--; v.skip == 0 {
			v.tuplet, v.share = tuplet{}, 0
		}
	}
}

// inBarline reports that the sign here belongs to the barline that began at start.
func (s *scanner) inBarline(start int) bool {
	switch s.at(0) {
	case '|', ':':
		return true
	case ']':
		return s.i > start
	case '[':
		return s.at(1) == '|' || s.at(1) == ':' && s.at(2) != ':' && s.i > start || s.at(1) == ']'
	}
	return false
}

// apply ends the bar and notes what the barline says.
func (s *scanner) apply(sign string) {
	v := s.v
	closes, opens := 0, 0
	if strings.Trim(sign, ":") == "" {
		closes, opens = len(sign)/2, len(sign)/2
	} else {
		closes = len(sign) - len(strings.TrimLeft(sign, ":"))
		opens = len(sign) - len(strings.TrimRight(sign, ":"))
	}
	if v.skip == 0 {
		v.endBar()
	}
	if n := len(v.bars); n > 0 {
		b := v.bars[n-1]
		b.closes = max(b.closes, min(closes, mostTimes-1))
		b.stops = b.stops || closes > 0 || opens > 0 || strings.ContainsAny(sign, "[]") || strings.Contains(sign, "||")
		switch {
		case b.closes > 0:
			b.barline = chart.Single
		case strings.Contains(sign, "|]"):
			b.barline = chart.Final
		case strings.Contains(sign, "||") && closes+opens == 0:
			b.barline = max(b.barline, chart.Double)
		}
	}
	if opens > 0 {
		v.next.opens = min(opens, mostTimes-1)
	}
}

// mostTimes is how often a repeat is played at most.
const mostTimes = 99

// ending reads the numbers of endings: 1 or 1,3 or 1-3 behind a barline, [1 anywhere.
func (s *scanner) ending() {
	at := s.i
	for s.at(0) == ' ' {
		s.i++
	}
	if s.at(0) == '[' && s.at(1) >= '1' && s.at(1) <= '9' {
		s.i++
	}
	if s.at(0) < '1' || s.at(0) > '9' {
		s.i = at
		return
	}
	from := s.i
	for s.at(0) >= '0' && s.at(0) <= '9' || strings.ContainsRune(",-.", s.at(0)) && s.at(0) != 0 {
		s.i++
	}
	text := string(s.text[from:s.i])
	if s.at(0) == ']' && (s.at(1) == ' ' || s.at(1) == 0) {
		s.i++
	}
	if s.v.skip == 0 {
		s.v.next.endings = endings(text)
	}
}

// endings reads a list of numbers and ranges, such as 1,3,5-7.
func endings(text string) []int {
	var all []int
	for part := range strings.SplitSeq(text, ",") {
		low, high, is := strings.Cut(strings.Trim(part, "."), "-")
		if !is {
			high = low
		}
		from, to := number(low, 1, mostTimes), number(high, 1, mostTimes)
		for n := from; n > 0 && n <= to && len(all) < mostTimes; n++ {
			all = append(all, n)
		}
	}
	return all
}

// bracket reads what [ begins: a field (3.2), an ending, a barline or a chord.
func (s *scanner) bracket() {
	next := s.at(1)
	switch {
	case s.at(2) == ':' && (next >= 'A' && next <= 'Z' || next >= 'a' && next <= 'z') && s.at(3) != '|':
		text := s.through(']')
		s.reader.field(text[0], strings.TrimSpace(text[2:]), true)
	case next >= '1' && next <= '9':
		if s.v.skip == 0 && s.v.current != nil {
			s.v.endBar()
		}
		s.ending()
	case next == '|' || next == ']' || next == ':':
		s.barline()
	case next == '"' && s.endingText():
	default:
		s.i++
		s.chord(']')
	}
}

// endingText passes over ["first time", the text of an ending that has no number.
func (s *scanner) endingText() bool {
	rest := s.ahead(2)
	end := strings.IndexByte(rest, '"')
	if end < 0 || strings.IndexByte(rest[end:], ']') >= 0 && !strings.ContainsAny(rest[end:end+strings.IndexByte(rest[end:], ']')], "| ") {
		return false // a chord with its symbol inside
	}
	s.i++
	s.through('"')
	s.tell("an ending without a number is read as bars like others")
	return true
}

// bars reads Z or X: a rest for a bar, or for as many as the number says (4.5).
func (s *scanner) bars() {
	col := s.i + 1
	s.i++
	n, ok := s.number()
	if !ok {
		n = 1
	}
	v := s.v
	if n < 1 || n > song.MostBars || v.skip > 0 {
		s.tell(fmt.Sprintf("the rest in column %d is for no number of bars", col))
		return
	}
	for i := range n {
		if i > 0 {
			v.endBar()
		}
		s.events++
		v.silence()
		s.begin(col)
		v.current.events = append(v.current.events, &event{rest: true, dur: int64(v.meter.Bar()) * melody.Fine, bar: len(v.bars)})
	}
}

// place is where the events of a bar begin, and how long it is.
func (b *bar) place() (at []meter.Ticks, length meter.Ticks) {
	var sum int64
	for _, e := range b.events {
		at = append(at, meter.Ticks(sum/melody.Fine))
		sum += e.dur
	}
	return at, meter.Ticks((sum + melody.Fine - 1) / melody.Fine)
}
