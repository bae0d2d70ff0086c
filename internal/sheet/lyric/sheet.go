package lyric

import (
	"strconv"
	"strings"
)

// read makes the parts of the rows.
func (s *sheet) read() {
	s.sort()
	first := s.first()
	first = s.wordsBefore(first)
	s.top(first)
	for _, r := range s.rows[first:] {
		if h, ok := s.header(r); ok && h.kind == "verse" {
			s.labelled = true
		}
	}
	for i := first; i < len(s.rows); {
		i += s.row(i)
	}
}

// first is the row where the song begins: its first section or chords.
func (s *sheet) first() int {
	for i, k := range s.kinds {
		switch k {
		case chordRow, inlineRow, sectionRow:
			return i
		case directiveRow:
			m := directive.FindStringSubmatch(s.rows[i].text)
			if env, _ := environment(m[1]); env != "" {
				return i
			}
			if h, ok := sectionName(m[2], s.allChords); ok && remark(m[1]) && h.rest == "" {
				return i
			}
		}
	}
	return len(s.rows)
}

// wordsBefore are rows of words without chords that stand right over the first chords,
// apart from the title.
func (s *sheet) wordsBefore(first int) int {
	i := first
	if first == len(s.rows) || s.kinds[first] != chordRow && s.kinds[first] != inlineRow {
		return first
	}
	for i > 0 && s.kinds[i-1] == lyrics {
		if (&heading{}).field(s.rows[i-1].text, 0) {
			return first
		}
		i--
	}
	for _, k := range s.kinds[:i] {
		if k == lyrics && s.kinds[i-1] == blank {
			return i
		}
	}
	return first
}

// row reads what begins at a row and says how many rows it took.
func (s *sheet) row(i int) int {
	r := s.rows[i]
	if k := s.kinds[i]; s.inTab && k != directiveRow {
		if k != blank {
			s.tabs.at(r.num)
		}
		return 1
	}
	switch s.kinds[i] {
	case sectionRow:
		return s.section(i)
	case directiveRow:
		s.direct(r)
	case chordRow:
		return s.chordsOver(i)
	case inlineRow:
		s.block(i)
		s.inline(r, 0)
	case lyrics:
		return s.unchorded(i)
	case tabRow:
		s.tabs.at(r.num)
	case gripRow:
		s.grips.at(r.num)
	case asideRow:
		if !s.field(r.text, r.num) {
			s.aside.at(r.num)
		}
	}
	return 1
}

// section opens a part, with what stands in its line and, where that is chords, the
// words below.
func (s *sheet) section(i int) int {
	r := s.rows[i]
	h, _ := s.header(r)
	s.open(h, r.num, true)
	switch {
	case h.rest == "":
	case strings.HasPrefix(h.rest, "(") && s.allChords(h.rest) && i+1 < len(s.kinds) && s.kinds[i+1] == chordRow && s.under(i+1) > 0:
		s.aside.at(r.num) // the chords of what follows
	case s.allChords(h.rest):
		return s.over(row{r.num, strings.Repeat(" ", h.at) + h.rest}, i)
	default:
		if _, _, ok := s.d.cutInline(h.rest); ok {
			s.inline(r, h.at)
		} else {
			s.add(phrase{line: r.num, text: r.text, sung: h.at, times: 1})
		}
	}
	return 1
}

func (s *sheet) open(h header, line int, named bool) *part {
	s.parts = append(s.parts, part{header: h, line: line, named: named})
	return &s.parts[len(s.parts)-1]
}

// add puts a phrase into the part that is open.
func (s *sheet) add(p phrase) {
	last := len(s.parts) - 1
	if last < 0 || s.parts[last].closed {
		s.open(header{kind: "verse", times: 1}, p.line, false)
		last++
	}
	s.parts[last].phrases = append(s.parts[last].phrases, p)
}

// chordsOver reads a row of chords with the words below it, if there are any.
func (s *sheet) chordsOver(i int) int {
	s.block(i)
	return s.over(s.rows[i], i)
}

// over puts a row of chords over the words below row i.
func (s *sheet) over(r row, i int) int {
	j := s.under(i)
	if j == 0 {
		s.chordsAlone(r)
		return 1
	}
	below := s.rows[j]
	body, n := cutTimes(r.text)
	text, m := cutSung(below.text)
	if text == "" || m == 1 {
		text, m = below.text, 1
	}
	p := phrase{line: below.num, text: text, chords: s.d.tokens(body), times: max(n, m)}
	if h, ok := s.header(below); ok && h.rest != "" {
		s.open(h, below.num, true)
		p.sung = h.at
	} else {
		s.number(&p)
	}
	s.add(p)
	return j - i + 1
}

// under is the row of the words to the chords of a row: the one below or, where a blank
// row lies between, a single row of words behind it; 0 where there is none.
func (s *sheet) under(i int) int {
	is := func(j int, k kind) bool { return j < len(s.kinds) && s.kinds[j] == k }
	switch {
	case is(i+1, lyrics), is(i+1, sectionRow) && s.headed(i+1):
		return i + 1
	case is(i+1, blank) && is(i+2, lyrics) && !is(i+3, lyrics):
		return i + 2
	}
	return 0
}

// headed reports whether a row has words behind the name of its section.
func (s *sheet) headed(i int) bool {
	h, ok := s.header(s.rows[i])
	return ok && h.rest != "" && !s.allChords(h.rest)
}

func (s *sheet) chordsAlone(r row) {
	body, n := cutTimes(r.text)
	s.add(phrase{line: r.num, chords: s.d.tokens(body), times: n})
}

// inline reads words with chords in brackets, from a column on.
func (s *sheet) inline(r row, from int) {
	body, n := cutSung(r.text)
	cut := offset(body, from)
	rest, chords, ok := s.d.cutInline(body[cut:])
	if !ok {
		rest, chords, _ = s.d.cutInline(r.text[cut:])
		n = 1
	}
	for i := range chords {
		chords[i].col += from
	}
	p := phrase{line: r.num, text: body[:cut] + rest, sung: from, chords: chords, inline: true, times: n}
	if from == 0 {
		s.number(&p)
	}
	s.add(p)
}

// number opens a verse where a line begins with its number.
func (s *sheet) number(p *phrase) {
	m := numbered.FindStringSubmatch(p.text)
	if m == nil || len(m[0]) == len(p.text) {
		return
	}
	n, _ := strconv.Atoi(m[1])
	if strings.TrimSpace(m[2]) == "" && n != s.verse+1 { // "99 bottles"
		return
	}
	s.verse = n
	p.sung = columns(m[0])
	if last := len(s.parts) - 1; last >= 0 && len(s.parts[last].phrases) == 0 {
		if s.parts[last].named {
			return
		}
		s.parts = s.parts[:last]
	}
	s.open(header{name: "Verse " + m[1], kind: "verse", times: 1}, p.line, true)
}

// unchorded reads a block of words without chords: a further verse, or text around
// the song.
func (s *sheet) unchorded(i int) int {
	n := 1
	for i+n < len(s.rows) && s.kinds[i+n] == lyrics {
		n++
	}
	fresh := i == 0 || s.kinds[i-1] == blank
	button := i+n < len(s.rows) && s.kinds[i+n] == asideRow && chrome.MatchString(s.rows[i+n].text)
	if fresh && !s.awaited() && (button || !s.stanza(s.rows[i:i+n])) {
		for _, r := range s.rows[i : i+n] {
			if !s.field(r.text, r.num) {
				s.aside.at(r.num)
			}
		}
		return n
	}
	s.block(i)
	for _, r := range s.rows[i : i+n] {
		text, times := cutSung(r.text)
		if text == "" || (fresh || s.kinds[i-1] == asideRow) && s.field(r.text, r.num) {
			continue
		}
		p := phrase{line: r.num, text: text, times: times}
		s.number(&p)
		s.add(p)
	}
	return n
}

// awaited reports whether a section was named and has nothing yet.
func (s *sheet) awaited() bool {
	last := len(s.parts) - 1
	return last >= 0 && s.parts[last].named && len(s.parts[last].phrases) == 0
}

// longer is by how much a line of a further verse may be longer than those with
// chords: prose runs on.
const longer = 1.7

// stanza tells lines of a further verse from prose by their length.
func (s *sheet) stanza(rows []row) bool {
	sum, n := 0, 0
	for _, p := range s.parts {
		for _, ph := range p.phrases {
			if ph.text != "" {
				sum += columns(ph.text) - ph.sung
				n++
			}
		}
	}
	if n == 0 || len(rows) < 2 && n > 1 && !onlyDotted.MatchString(rows[0].text) {
		return false
	}
	for _, r := range rows {
		if float64(columns(r.text)) > longer*float64(sum)/float64(n)+10 {
			return false
		}
	}
	return true
}
