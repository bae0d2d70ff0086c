package melody

import (
	"fmt"
	"strings"
	"unicode"

	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/text/source"
)

// Line is a line of a tune.
type Line struct {
	Bars []Bar
	// Begun tells that a barline stands before the first bar: it is no upbeat.
	Begun bool
}

// Bar is one bar as it is written; it may be of any length.
type Bar struct {
	Notes []Note
	Len   meter.Ticks // notes and rests
	Rest  bool        // a rest for the whole bar, however long that is; Len is 0
	Col   int         // runes from 1
}

// Reader reads the lines of a tune in order.
type Reader struct {
	set  Setting
	tied *pitch.Pitch // the last note read, if it is tied to the next
}

// NewReader is a reader at the beginning of a tune.
func NewReader(s Setting) *Reader { return &Reader{set: s} }

// Line reads a line. Errors are *source.Error with Col, Reason and Hint.
func (r *Reader) Line(text string) (Line, error) {
	s := &scanner{Reader: r, text: []rune(text), accidentals: newAccidentals(r.set.Key)}
	for s.err == nil && s.i < len(s.text) {
		s.step()
	}
	s.endBar()
	if s.err != nil {
		return Line{}, s.err
	}
	return s.line, nil
}

// scanner reads one line. It stops at the first error.
type scanner struct {
	*Reader
	text []rune
	i    int
	line Line
	err  *source.Error

	accidentals accidentals
	bar         []event
	col         int // of the bar's first sign; 0 before it
	plain       int // column of a plain barline that nothing has followed, or 0
	broken      broken
	tuplet      tuplet
	ends        int   // column of a phrase mark that waits for its note, or 0
	noted       int   // number of events in the bar up to its last note
	before      *Note // the last note of the bars before
	leads       bool  // the note to which a tie leads stands in this line
}

// event is a note or rest of the bar being read.
type event struct {
	note Note // without its place
	rest bool
	dur  int64 // in Fine parts of a tick
}

func (s *scanner) fail(col int, reason, hint string) {
	if s.err == nil {
		s.err = &source.Error{Col: col, Reason: reason, Hint: hint}
	}
}

func (s *scanner) has(text string) bool {
	return strings.HasPrefix(string(s.text[s.i:min(s.i+len(text), len(s.text))]), text)
}

// at is the rune some places on, or 0.
func (s *scanner) at(ahead int) rune {
	if s.i+ahead < len(s.text) {
		return s.text[s.i+ahead]
	}
	return 0
}

// step reads one sign.
func (s *scanner) step() {
	r := s.text[s.i]
	switch {
	case unicode.IsSpace(r), strings.ContainsRune(ignored, r):
		s.i++
	case strings.ContainsRune("ABCDEFGabcdefg^_=", r):
		s.note()
	case r == 'z' || r == 'x':
		s.rest()
	case r == 'Z' || r == 'X':
		s.bars()
	case r == '|' || r == ':' || r == '[':
		s.barline()
	case r == '(':
		s.paren()
	case r == '-':
		s.tie()
	case r == '<' || r == '>':
		s.breakRhythm()
	default:
		s.remark(r)
	}
}

// ignored are signs that change no note: the ends of slurs (4.11), the short
// decorations (4.14), and what only spaces and breaks the printed lines (4.7,
// 6.1).
const ignored = ")" + ".~HLMOPSTuv" + "`\\$"

// begin notes where the bar begins, and what a note or rest ends.
func (s *scanner) begin() {
	if s.col == 0 {
		s.col = s.i + 1
	}
	s.plain = 0
}

// rest reads z or x with its length (4.5).
func (s *scanner) rest() {
	s.begin()
	s.silence()
	col := s.i + 1
	s.i++
	s.add(col, event{rest: true})
}

// silence ends what only a note can follow.
func (s *scanner) silence() {
	if s.tied != nil && s.leads {
		s.fail(s.i+1, fmt.Sprintf("a tie leads from %s to a rest", *s.tied), "a tie joins two notes of one pitch; leave it out")
	}
	s.endPhrase()
	s.tied = nil
}

// bars reads Z or X: a rest for a bar, or for as many as the number says (4.5).
func (s *scanner) bars() {
	s.silence()
	if len(s.bar) > 0 {
		s.fail(s.i+1, string(s.text[s.i])+" rests for a whole bar, but this one has notes", "write z for a rest within a bar")
		return
	}
	col := s.i + 1
	s.i++
	n, ok := s.number()
	if !ok {
		n = 1
	}
	if n < 1 || n > mostRests {
		s.fail(col, fmt.Sprintf("a rest lasts 1 to %d bars", mostRests), "write it as in Z or Z4")
		return
	}
	if len(s.line.Bars) > mostBars {
		s.fail(col, fmt.Sprintf("more than %d bars stand in one line of the tune", mostBars), "write a line of the tune for each line of bars")
		return
	}
	for range n {
		s.line.Bars = append(s.line.Bars, Bar{Rest: true, Col: col})
	}
	s.plain = 0
	s.newBar()
}

const (
	mostRests = 99
	mostBars  = 10000
)

// number reads digits; from the seventh on they say no more.
func (s *scanner) number() (int, bool) {
	n, start := 0, s.i
	for ; isDigit(s.at(0)); s.i++ {
		if s.i-start < 6 {
			n = 10*n + int(s.at(0)-'0')
		}
	}
	return n, s.i > start
}
