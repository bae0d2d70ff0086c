package abc

import (
	"fmt"
	"strings"
	"unicode"

	"undersong/internal/music/melody"
	"undersong/internal/music/pitch"
)

// scanner reads a line of music.
type scanner struct {
	*reader
	text []rune
	i    int
}

// at is the rune some places on, or 0.
func (s *scanner) at(ahead int) rune {
	if s.i+ahead < len(s.text) && s.i+ahead >= 0 {
		return s.text[s.i+ahead]
	}
	return 0
}

// ahead is a little of the text from some places on.
func (s *scanner) ahead(from int) string {
	const most = 40 // more than any decoration or chord has
	from = min(s.i+from, len(s.text))
	return string(s.text[from:min(from+most, len(s.text))])
}

// music reads a line of music.
func (r *reader) music(text string) {
	text = r.expand(text)
	r.playing()
	joins := false
	if i := strings.TrimRight(text, " \t"); strings.HasSuffix(i, `\`) {
		text, joins = i[:len(i)-1], true
	}
	if r.last != "m" {
		r.v.lineFrom, r.v.verses = len(r.v.sung), 0
	}
	s := &scanner{reader: r, text: []rune(text)}
	r.facts.line, r.facts.sung = len(r.v.bars), len(r.v.sung)
	for s.i < len(s.text) && r.events <= mostEvents {
		s.step()
	}
	r.last = "m"
	if !joins {
		r.last = ""
		if r.breaks.line {
			s.lineEnds()
		}
	}
	if r.ours {
		r.applyFacts()
	}
}

// lineEnds marks the bar with which a line of the score ends.
func (s *scanner) lineEnds() {
	v := s.v
	switch n := len(v.bars); {
	case v.current != nil:
		v.current.breaks = true
	case n > 0:
		v.bars[n-1].breaks = true
	}
}

// step reads one sign.
func (s *scanner) step() {
	r := s.text[s.i]
	_, letter := melody.Letter(r)
	switch {
	case unicode.IsSpace(r), strings.ContainsRune(ignored, r):
		s.i++
	case letter, r == '^', r == '_', r == '=':
		s.note()
	case r == 'z' || r == 'x':
		s.i++
		num, den := s.length()
		s.add(event{rest: true}, num, den)
	case r == 'Z' || r == 'X':
		s.bars()
	case r == 'y':
		s.i++
		s.length()
	case r == '|' || r == ':' || r == ']':
		s.barline()
	case r == '[':
		s.bracket()
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

// ignored are signs that change no note: the ends of slurs (4.11), staccato, and
// what is kept for later (8.1) or spaces beams (4.7).
const ignored = ").`" + "#*;?@"

// remark reads what stands between notes.
func (s *scanner) remark(r rune) {
	switch r {
	case '"':
		s.quoted()
	case '{':
		s.tell("grace notes are left out")
		s.through('}')
	case '!':
		s.exclaimed()
	case '+':
		s.plus()
	case '&':
		s.overlay()
	case '$':
		s.i++
		if s.breaks.dollar {
			s.lineEnds()
		}
	case '\\':
		s.i++
		if s.at(0) == '%' {
			s.i = len(s.text)
		}
	default:
		s.letter(r)
	}
}

// letter reads a sign that U: may define (4.16).
func (s *scanner) letter(r rune) {
	s.i++
	switch text, known := s.signs[r]; {
	case known:
		s.decorated(text)
	case r == 'S':
		s.decorated("segno")
	case r == 'O':
		s.decorated("coda")
	case strings.ContainsRune("~HLMPTuv", r):
	default:
		s.tell(fmt.Sprintf("%q in column %d is no sign of the standard, and passed over", r, s.i))
	}
}

// sign reads U: T = !trill!.
func (r *reader) sign(value string) {
	letter, text, ok := strings.Cut(value, "=")
	name := []rune(strings.TrimSpace(letter))
	if ok && len(name) == 1 {
		r.signs[name[0]] = strings.Trim(strings.TrimSpace(text), "!+")
	}
}

// through passes over the text to its last sign and returns what is in between;
// what never ends goes to the end of the line.
func (s *scanner) through(end rune) string {
	from := s.i + 1
	for to := from; to < len(s.text); to++ {
		if s.text[to] == end {
			s.i = to + 1
			return string(s.text[from:to])
		}
	}
	s.tell(fmt.Sprintf("%q in column %d never ends", s.text[s.i], s.i+1))
	s.i = len(s.text)
	return string(s.text[from:])
}

// exclaimed reads a decoration such as !trill! (4.14), or the end of a line of the
// score: it is a decoration where a second one follows before a space, a bracket or
// a barline (12.2).
func (s *scanner) exclaimed() {
	if !s.breaks.bang {
		for to := s.i + 1; to < len(s.text) && !strings.ContainsRune("|[:] ", s.text[to]); to++ {
			if s.text[to] == '!' {
				s.decorated(s.through('!'))
				return
			}
		}
	}
	s.i++
	s.lineEnds()
}

// decorated heeds the decorations that end a phrase, and those that send a player
// elsewhere.
func (s *scanner) decorated(name string) {
	switch name {
	case "breath", "shortphrase", "mediumphrase", "longphrase":
		if s.v.skip == 0 {
			s.v.ends = true
		}
	default:
		s.v.jump(name)
	}
}

// plus reads a decoration of abc 2.0, such as +trill+ (10.2.2), or a chord of abc
// 1.6 (10.2.3).
func (s *scanner) plus() {
	rest := s.ahead(1)
	end := strings.IndexByte(rest, '+')
	if end < 0 || strings.ContainsAny(rest[:end], "|: ") {
		s.i++
		return
	}
	if inside := rest[:end]; !s.breaks.plus && inside != "" && strings.Trim(inside, "ABCDEFGabcdefg^_=,'/0123456789") == "" {
		s.i++
		s.chord('+')
		return
	}
	s.decorated(s.through('+'))
}

// overlay passes over a voice that stands beside the bar, or beside as many bars as
// there are signs (7.4).
func (s *scanner) overlay() {
	n := 0
	for ; s.at(0) == '&'; s.i++ {
		n++
	}
	s.tell("voices laid over a bar with & are left out")
	s.v.skip = max(s.v.skip, n)
	s.v.tuplet, s.v.share = tuplet{}, 0
	if s.at(0) == ')' {
		s.i++
	}
}

// note reads a note with its accidental, octave and length (4.1 to 4.3).
func (s *scanner) note() {
	col := s.i + 1
	p, ok := s.pitch()
	if !ok {
		s.tell(fmt.Sprintf("no note follows the accidental in column %d", col))
		return
	}
	num, den := s.length()
	s.sound(p, col, num, den)
}

// sound adds a note to the bar.
func (s *scanner) sound(p pitch.Pitch, col int, num, den int64) {
	if n := p.Num(); n < pitch.PianoLow || n > pitch.PianoHigh {
		s.tell(fmt.Sprintf("no piano has the note in column %d", col))
	}
	if s.v.skip > 0 {
		s.add(event{}, num, den)
		return
	}
	e := event{note: melody.Note{Pitch: p, Ends: s.v.ends}}
	s.v.ends, s.v.tied = false, nil
	s.add(e, num, den)
}

// pitch reads a note without its length.
func (s *scanner) pitch() (pitch.Pitch, bool) {
	alter, given := s.accidental()
	p, ok := melody.Letter(s.at(0))
	if !ok {
		return p, false
	}
	s.i++
	for ; s.at(0) == '\'' || s.at(0) == ','; s.i++ {
		if s.at(0) == ',' {
			p.Octave--
		} else {
			p.Octave++
		}
	}
	p.Octave = max(min(p.Octave, 20), -20)
	p.Alter = s.v.alter(p, alter, given, s.spread)
	return p, true
}

// accidental reads ^ ^^ _ __ or =, or nothing (4.2). Quarter tones are read as what
// lies next to them.
func (s *scanner) accidental() (alter int, given bool) {
	for ; strings.ContainsRune("^_=", s.at(0)) && s.at(0) != 0; s.i++ {
		given = true
		switch s.at(0) {
		case '^':
			alter++
		case '_':
			alter--
		default:
			alter = 0
		}
	}
	if given {
		for s.at(0) == '/' || s.at(0) >= '0' && s.at(0) <= '9' {
			s.i++
			s.tell("quarter tones are read as semitones")
		}
	}
	return max(min(alter, 2), -2), given
}

// alter is what a note's letter is altered by here: by its own accidental, that of
// the note tied to it, or one before it in the bar (11.3); else by the key.
func (v *voice) alter(p pitch.Pitch, alter int, given bool, spread string) int {
	place := pitch.Pitch{Note: pitch.Note{Letter: p.Letter}}
	if spread == "octave" {
		place.Octave = p.Octave
	}
	if given {
		if spread != "not" && v.skip == 0 {
			if v.accidentals == nil {
				v.accidentals = map[pitch.Pitch]int{}
			}
			v.accidentals[place] = alter
		}
		return alter
	}
	if v.tied != nil && v.tied.Letter == p.Letter && v.tied.Octave == p.Octave {
		return v.tied.Alter
	}
	if alter, ok := v.accidentals[place]; ok {
		return alter
	}
	return v.key.alter[p.Letter]
}
