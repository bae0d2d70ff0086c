package melody

import (
	"fmt"
	"strings"

	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
)

// Letter is the pitch that a letter writes: C is middle C, c the octave above (4.1).
func Letter(r rune) (pitch.Pitch, bool) {
	at := strings.IndexRune("CDEFGABcdefgab", r)
	if at < 0 {
		return pitch.Pitch{}, false
	}
	return pitch.Pitch{Note: pitch.Note{Letter: pitch.Letter(at % 7)}, Octave: 4 + at/7}, true
}

// note reads a note with its accidental, octave and length (4.1 to 4.3).
func (s *scanner) note() {
	s.begin()
	col := s.i + 1
	alter, given := s.accidental()
	p, ok := Letter(s.at(0))
	if !ok {
		s.fail(col, "a note must follow this accidental", "write it as in ^F, _B or =c")
		return
	}
	s.i++
	for ; s.at(0) == '\'' || s.at(0) == ','; s.i++ {
		if s.at(0) == ',' {
			p.Octave--
		} else {
			p.Octave++
		}
	}
	p.Alter = s.alter(p, alter, given)
	if n := p.Num(); n < pitch.PianoLow || n > pitch.PianoHigh {
		s.fail(col, "no piano has this note", "C is middle C, c the octave above; C, and c' are one further down and up")
		return
	}
	s.follow(col, p)
	e := event{note: Note{Pitch: p, Ends: s.ends > 0}}
	s.ends, s.tied, s.leads = 0, nil, true
	s.add(col, e)
}

// accidental reads ^ ^^ _ __ or =, or nothing (4.2).
func (s *scanner) accidental() (alter int, given bool) {
	for _, a := range []struct {
		text  string
		alter int
	}{{"^^", 2}, {"^", 1}, {"__", -2}, {"_", -1}, {"=", 0}} {
		if s.has(a.text) {
			s.i += len(a.text)
			return a.alter, true
		}
	}
	return 0, false
}

// alter is what a note's letter is altered by here. A tie carries an accidental
// over the barline to its own note alone (common practice, no source).
func (s *scanner) alter(p pitch.Pitch, alter int, given bool) int {
	switch {
	case given:
		s.accidentals.bar[p.Letter] = alter
	case s.tied != nil && s.tied.Letter == p.Letter && s.tied.Octave == p.Octave:
		return s.tied.Alter
	}
	return s.accidentals.bar[p.Letter]
}

// follow checks that a tied note is followed by itself. What follows a line may
// be another line in the playing.
func (s *scanner) follow(col int, p pitch.Pitch) {
	if s.tied != nil && s.leads && *s.tied != p {
		s.fail(col, fmt.Sprintf("a tie leads from %s to %s", *s.tied, p), "a tie joins notes of one pitch; write a slur as in (CD)")
	}
}

// tie reads a tie, which stands right behind its first note (4.11).
func (s *scanner) tie() {
	n := len(s.bar)
	if n == 0 || s.bar[n-1].rest || s.bar[n-1].note.Tied {
		s.fail(s.i+1, "this tie has no note before it", "write it behind the first of two notes, as in C4-|C2")
		return
	}
	s.i++
	s.bar[n-1].note.Tied = true
	p := s.bar[n-1].note.Pitch
	s.tied = &p
}

// Fine parts make a tick: notes of every tuplet and broken rhythm have a whole
// number of them.
const Fine = 8 * 2520

const longest = 16 * meter.Whole

// add reads the length of a note or rest and adds it to the bar.
func (s *scanner) add(col int, e event) {
	num, den := s.length()
	if s.err != nil {
		return
	}
	dur := int64(s.set.unit()) * int64(num) * Fine
	if dur%(int64(den)*Fine) != 0 || dur > int64(den)*Fine*int64(longest) {
		s.fail(col, "this is no length of a note", "write it as in C2, C3/2, C/ or C/4")
		return
	}
	e.dur = s.tuplet.take(dur / int64(den))
	if s.broken.share != 0 {
		e.dur = e.dur * s.broken.share / 8
		s.broken = broken{}
	}
	if s.bar = append(s.bar, e); !e.rest {
		s.noted = len(s.bar)
	}
}

// length reads a length such as 2, 3/2, /, // or /4 (4.3).
func (s *scanner) length() (num, den int) {
	col := s.i + 1
	num, ok := s.number()
	if !ok {
		num = 1
	}
	slashes := 0
	for den = 1; s.at(0) == '/' && den < 1<<10; s.i++ {
		den *= 2
		slashes++
	}
	if d, ok := s.number(); ok && slashes > 0 {
		den = d
	}
	if num < 1 || num > 99999 || den < 1 || den > 9999 || slashes > 1 && isDigit(s.text[s.i-1]) {
		s.fail(col, "this is no length of a note", "write it as in C2, C3/2, C/ or C/4")
	}
	return num, den
}

// breakRhythm reads > or <, up to three: the note before takes a half, three
// quarters or seven eighths of the note after, or the other way (4.4).
func (s *scanner) breakRhythm() {
	col, r, n := s.i+1, s.at(0), 0
	for ; s.at(0) == r; s.i++ {
		n++
	}
	last := len(s.bar) - 1
	if n > 3 || last < 0 || s.broken.share != 0 {
		s.fail(col, "a broken rhythm stands between two notes of a bar", "write it as in A>B or A<B")
		return
	}
	long, short := int64(16-8>>n), int64(8>>n)
	if r == '<' {
		long, short = short, long
	}
	s.bar[last].dur = s.bar[last].dur * long / 8
	s.broken = broken{short, col}
}

// broken is a broken rhythm that waits for its second note.
type broken struct {
	share int64 // eighths of its length that the note gets; 0 for none
	col   int
}

// endBar ends the bar being read, if it has notes or rests.
func (s *scanner) endBar() {
	s.endPhrase()
	switch {
	case s.tuplet.left > 0:
		s.fail(s.tuplet.col, fmt.Sprintf("notes are missing: this tuplet is for %d, the bar has %d", s.tuplet.notes, s.tuplet.notes-s.tuplet.left), "write its notes right behind it, as in (3CDE")
	case s.broken.share != 0:
		s.fail(s.broken.col, "nothing follows the broken rhythm in its bar", "write it as in A>B")
	}
	if len(s.bar) == 0 || s.err != nil {
		return
	}
	b := Bar{Col: s.col}
	var at int64
	for _, e := range s.bar {
		n := e.note
		n.At = meter.Ticks(at / Fine)
		at += e.dur
		n.Dur = meter.Ticks(at/Fine) - n.At
		if n.Dur < 1 {
			s.fail(s.col, "this bar has a note too short to be heard", "write longer ones")
		}
		if !e.rest {
			b.Notes = append(b.Notes, n)
		}
	}
	b.Len = meter.Ticks((at + Fine - 1) / Fine)
	if n := len(b.Notes); n > 0 {
		s.before = &b.Notes[n-1]
	}
	s.line.Bars = append(s.line.Bars, b)
	s.newBar()
}

func (s *scanner) newBar() {
	s.bar, s.col, s.noted = nil, 0, 0
	s.accidentals.newBar()
}
