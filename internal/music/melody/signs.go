package melody

import (
	"fmt"
	"strings"
)

// barline reads a barline of any kind, with the number of an ending (4.8 to
// 4.10). Repeats are the chart's affair.
func (s *scanner) barline() {
	col, start := s.i+1, s.i
	for s.at(0) == '|' || s.at(0) == ':' || s.at(0) == '[' && s.at(1) == '|' || s.at(0) == ']' && s.i > start {
		s.i++
	}
	text := string(s.text[start:s.i])
	if text == "" && !isDigit(s.at(1)) {
		s.bracket()
		return
	}
	if text == ":" || len(text) > 8 {
		s.fail(col, "this is no barline", "write | between bars")
		return
	}
	s.ending()
	if text == "" {
		return
	}
	switch {
	case s.plain > 0 && text == "|":
		s.fail(s.plain, "this bar of the tune is empty", "write Z for a bar of rest")
	case len(s.line.Bars)+len(s.bar) == 0:
		s.line.Begun = true
	}
	s.endBar()
	s.plain = 0
	if text == "|" {
		s.plain = col
	}
}

func isDigit(r rune) bool { return r >= '0' && r <= '9' }

// ending passes over the number of an ending: |1 or [2 or [1,3.
func (s *scanner) ending() {
	if s.at(0) == '[' && isDigit(s.at(1)) {
		s.i++
	}
	if !isDigit(s.at(0)) {
		return
	}
	for isDigit(s.at(0)) || s.at(0) == ',' || s.at(0) == '-' || s.at(0) == '.' {
		s.i++
	}
	if s.at(0) == ']' {
		s.i++
	}
}

// bracket refuses what stands in brackets: chords (4.17) and fields (3.2).
func (s *scanner) bracket() {
	if s.at(2) == ':' {
		s.fail(s.i+1, "the tune has no fields in brackets", "key, meter and unit are headings of the chart and hold to its end")
		return
	}
	s.fail(s.i+1, "a tune is one note at a time", "write its highest note alone; the chords stand in the line of bars")
}

// paren reads a slur, which changes nothing, or a tuplet.
func (s *scanner) paren() {
	s.i++
	if !isDigit(s.at(0)) {
		return
	}
	s.readTuplet()
}

// remark reads what stands between signs, and tells of signs that are none.
func (s *scanner) remark(r rune) {
	switch r {
	case '#':
		s.i = len(s.text)
	case '%':
		if strings.ContainsRune(string(s.text[s.i:]), '|') {
			s.fail(s.i+1, "% repeats no bar of a tune", "write the notes of the bar again")
		}
		s.i = len(s.text)
	case '!':
		s.decoration()
	case '"':
		s.quoted()
	case '{':
		s.through('}', "grace notes end with }, as in {g}A")
	case 'y':
		s.i++
		s.length()
	default:
		s.strange(r)
	}
}

func (s *scanner) strange(r rune) {
	if isDigit(r) && s.i > 0 && s.text[s.i-1] == 'H' { // alone it is a sign of the standard's for decorations
		s.fail(s.i, "'H' is no note", "the note H is called B here, and the B of some countries _B")
		return
	}
	hint := "notes are A to G and a to g, rests z; begin the line with w: if it is words"
	switch {
	case r == '&':
		hint = "a tune is one note at a time: leave the other voice out"
	case isDigit(r) || r == '/':
		hint = "a length stands right behind its note, as in C2"
	case r == '\'' || r == ',':
		hint = "octave marks stand between a note and its length, as in c'2"
	}
	s.fail(s.i+1, fmt.Sprintf("%q is no note", r), hint)
}

// through passes over the text to its last sign and returns what is in between.
func (s *scanner) through(end rune, hint string) string {
	for to := s.i + 1; to < len(s.text); to++ {
		if s.text[to] == end {
			text := string(s.text[s.i+1 : to])
			s.i = to + 1
			return text
		}
	}
	s.fail(s.i+1, fmt.Sprintf("this %q never ends", s.text[s.i]), hint)
	return ""
}

// decoration passes over a decoration but heeds the marks that end a phrase
// (4.14). Like every decoration they stand before their note.
func (s *scanner) decoration() {
	col := s.i + 1
	switch s.through('!', "decorations stand between two, as in !breath!c") {
	case "breath", "shortphrase", "mediumphrase", "longphrase":
		s.ends = col
	}
}

// endPhrase lets a mark before a rest or barline hold for the note before.
func (s *scanner) endPhrase() {
	if s.ends == 0 {
		return
	}
	switch {
	case s.noted > 0:
		s.bar[s.noted-1].note.Ends = true
	case s.before != nil:
		s.before.Ends = true
	default:
		s.fail(s.ends, "no note stands at this mark", "write it before the note that a phrase ends with, as in !breath!c4")
	}
	s.ends = 0
}

// quoted passes over an annotation (4.19) and refuses a chord symbol (4.18).
func (s *scanner) quoted() {
	col := s.i + 1
	text := s.through('"', "what begins with a quotation mark ends with one")
	if s.err == nil && !strings.ContainsAny(text[:min(1, len(text))], "^_<>@") {
		s.fail(col, "a chord stands in the tune", "chords stand in the line of bars")
	}
}
