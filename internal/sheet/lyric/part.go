package lyric

import (
	"fmt"
	"regexp"
	"strings"
	"unicode"
)

// part is a section as written: its name and its lines.
type part struct {
	header
	line    int // where it begins
	named   bool
	closed  bool // by a directive: what follows is another part
	phrases []phrase
}

// phrase is a line of words with the chords over it, or a line of chords alone.
type phrase struct {
	line   int
	text   string // the words; "" for chords alone
	sung   int    // the column where what is sung begins, behind "1." or "Chorus:"
	chords []token
	inline bool // the chords stood in brackets inside the words
	times  int

	opens, closes bool // it begins, ends with a repeat sign
}

// chorded reports whether any phrase has a chord.
func (p *part) chorded() bool {
	for _, ph := range p.phrases {
		if ph.chorded() {
			return true
		}
	}
	return false
}

func (p *part) worded() bool {
	for _, ph := range p.phrases {
		if ph.text != "" {
			return true
		}
	}
	return false
}

func (ph *phrase) chorded() bool {
	for _, t := range ph.chords {
		if t.mark == name {
			return true
		}
	}
	return false
}

// name names the parts that have no name, where there are several.
func (s *sheet) name() {
	verses := 0
	for i := range s.parts {
		p := &s.parts[i]
		if !p.named && !p.worded() {
			p.kind = "instrumental"
		}
		if p.kind == "verse" {
			verses++
		}
		switch {
		case p.name != "" || len(s.parts) == 1:
		case p.kind == "verse":
			p.name = fmt.Sprintf("Verse %d", verses)
		case i == 0:
			p.name = "Intro"
		default:
			p.name = "Interlude"
		}
	}
}

// exact reports whether a phrase says of itself how long its chords are.
func (ph *phrase) exact() bool {
	for _, t := range ph.chords {
		if t.mark == bar || t.mark == beat || t.mark == simile {
			return true
		}
	}
	return false
}

// tally counts something and knows where it was first.
type tally struct{ n, first int }

func (t *tally) at(line int) {
	if t.n == 0 {
		t.first = line
	}
	t.n++
}

// sheet is what is read of a text.
type sheet struct {
	heading
	d     dialect
	rows  []row
	kinds []kind
	parts []part

	tabs, grips, aside, orders tally
	inTab                      bool
	labelled                   bool               // some section is named a verse
	judged                     map[string]verdict // of texts, as they come up several times
	heads                      map[int]header     // of sections that only the lines around them tell, by their lines
	braces                     bool               // it has instructions in braces
	verse                      int                // the number of the last verse that had one
}

// kind is what a row is.
type kind uint8

const (
	blank kind = iota
	lyrics
	chordRow
	inlineRow
	sectionRow
	directiveRow
	tabRow
	gripRow
	asideRow
)

// sort says what each row is.
func (s *sheet) sort() {
	s.kinds = make([]kind, len(s.rows))
	for i := range s.rows {
		s.braces = s.braces || directive.MatchString(s.rows[i].text)
		s.unlabel(i)
	}
	verdicts := make([]verdict, len(s.rows))
	for i, r := range s.rows {
		s.kinds[i], verdicts[i] = s.kindOf(r)
	}
	s.keyBehindTitle()
	s.heads = map[int]header{}
	s.letters()
	s.boxes()
	for i := range s.rows {
		if verdicts[i] == maybe && s.kinds[i] == lyrics && s.overWords(i) {
			s.kinds[i] = chordRow
		}
	}
	for i, r := range s.rows { // whatever stands under chords is sung
		if i > 0 && s.kinds[i] == asideRow && s.kinds[i-1] == chordRow && strings.ContainsFunc(r.text, unicode.IsLetter) && !stage.MatchString(r.text) && !linked.MatchString(r.text) && !chrome.MatchString(r.text) && !strums.MatchString(r.text) {
			s.kinds[i] = lyrics
		}
	}
	s.farewells()
}

var labelOf = regexp.MustCompile(`^\s*[^:\[({|]{3,40}:\s`)

// unlabel blanks out what stands before a colon and chords alone, where that is no name
// of a section, as in "Let it ring: G  D".
func (s *sheet) unlabel(i int) {
	m := labelOf.FindString(s.rows[i].text)
	if m == "" || around.MatchString(s.rows[i].text) && !s.ofSection(i, m) || (&heading{}).field(s.rows[i].text, 0) {
		return
	}
	rest := s.rows[i].text[len(m):]
	if _, ok := named(m); !ok && s.judge(rest) == surely {
		s.rows[i].text = strings.Repeat(" ", columns(m)) + rest
	}
}

// ofSection reports whether a label such as "Chords:" stands right below the name of a
// section, whose chords are meant; elsewhere it lists those of the song.
func (s *sheet) ofSection(i int, label string) bool {
	if i == 0 || !ownChords.MatchString(label) {
		return false
	}
	_, ok := sectionName(s.rows[i-1].text, s.allChords)
	return ok
}

var (
	ownChords = regexp.MustCompile(`(?i)^\s*(?:chords?|akkorde|acordes|accords|accordi)\s*:`)
	endsInKey = regexp.MustCompile(`^\s*([^\[\]()]*[^\[\]()\s])\s*(?:\[([A-H][#b♯♭]?m?)\]|\(([A-H][#b♯♭]?m?)\))$`)
)

// keyBehindTitle takes the key off the end of the first row of a sheet whose chords stand
// over its words, as in "Clementine  (F)".
func (s *sheet) keyBehindTitle() {
	over, first := false, -1
	for i, k := range s.kinds {
		over = over || k == chordRow
		if first < 0 && k != blank {
			first = i
		}
	}
	if !over || first < 0 || s.kinds[first] != inlineRow || s.kinds[min(first+1, len(s.kinds)-1)] == inlineRow {
		return
	}
	if m := endsInKey.FindStringSubmatch(s.rows[first].text); m != nil && s.heading.setKey(m[2]+m[3]) {
		s.rows[first].text, s.kinds[first] = m[1], lyrics
	}
}

var letter = regexp.MustCompile(`^[\s\[(]*(([A-D])[1-4]?'?)([\])]|[:.])*$`)

// letters are the names A, B, C or A1, A2 of sections where both A and B stand alone over
// lines of chords; with a sign behind, or in brackets, they stand for them again.
func (s *sheet) letters() {
	rows, again, seen := map[int]string{}, map[int]string{}, map[string]bool{}
	for i, r := range s.rows {
		m := letter.FindStringSubmatch(r.text)
		switch {
		case m == nil:
		case (i == 0 || s.kinds[i-1] == blank) && i+1 < len(s.rows) && s.kinds[i+1] != lyrics && s.kinds[i+1] != blank:
			rows[i], seen[m[2]] = m[1], true
		case m[3] != "":
			again[i] = m[1]
		}
	}
	if !seen["A"] || !seen["B"] {
		return
	}
	for i, l := range again {
		if i+1 == len(s.rows) || s.kinds[i+1] != lyrics {
			rows[i] = l
		}
	}
	for i, l := range rows {
		s.heads[s.rows[i].num], s.kinds[i] = header{name: l, kind: "part", times: 1}, sectionRow
	}
}

// longName is how many characters the name of a section has at most.
const longName = 30

var bareNumber = regexp.MustCompile(`^\s*\d\s*$`)

// called is a line such as "Men:".
var called = regexp.MustCompile(`^\s*\pL+\.?(?: [\pL\d]+)?\s*:$`)

// boxes are names of sections that are known by their brackets or their colon alone,
// over what they name.
func (s *sheet) boxes() {
	seen := map[string]bool{}
	for i := range s.rows {
		t := s.rows[i].text
		if bareNumber.MatchString(t) && i+1 < len(s.rows) && (s.kinds[i+1] == chordRow || s.kinds[i+1] == inlineRow) {
			s.heads[s.rows[i].num], s.kinds[i] = header{name: "Verse " + strings.TrimSpace(t), kind: "verse", times: 1}, sectionRow
			continue
		}
		if (s.kinds[i] != asideRow || !stage.MatchString(t)) && (s.kinds[i] != lyrics || !called.MatchString(t) || talk.MatchString(t)) || columns(t) > longName || around.MatchString(t) || i > 0 && s.kinds[i-1] != blank {
			continue
		}
		if i+1 < len(s.rows) {
			k := s.kinds[i+1]
			seen[t] = seen[t] || k == chordRow || k == inlineRow || k == lyrics && s.kinds[i] == asideRow
		}
		if seen[t] {
			s.heads[s.rows[i].num], s.kinds[i] = header{name: undecorated(t), kind: "part", times: 1}, sectionRow
		}
	}
}

// header reads the name of a section in a row.
func (s *sheet) header(r row) (header, bool) {
	if h, ok := s.heads[r.num]; ok {
		return h, true
	}
	return sectionName(r.text, s.allChords)
}

// overWords decides of a line such as "A": it is a chord where words follow below and
// no chord waits for words above; else it is sung.
func (s *sheet) overWords(i int) bool {
	if strings.Trim(s.rows[i].text, " GDCBHgo") == "" { // Go, Do: never alone
		return false
	}
	if i > 0 && s.kinds[i-1] == sectionRow {
		return true
	}
	return i+1 < len(s.rows) && s.kinds[i+1] == lyrics && (i == 0 || s.kinds[i-1] != chordRow)
}

func (s *sheet) kindOf(r row) (kind, verdict) {
	switch {
	case r.blank():
		return blank, never
	case directive.MatchString(r.text) && !s.allChords(strings.Trim(r.text, " {}")):
		return directiveRow, never
	case s.braces && strings.HasPrefix(r.text, "#"):
		return asideRow, never
	case tab.MatchString(r.text) && !s.d.dashed(r.text), count.MatchString(r.text):
		return tabRow, never
	}
	if m := grip.FindStringSubmatch(r.text); m != nil {
		if _, ok := s.d.read(m[1]); ok {
			return gripRow, never
		}
	}
	if _, ok := sectionName(r.text, s.allChords); ok {
		return sectionRow, never
	}
	v := s.judge(r.text)
	if v == surely {
		return chordRow, v
	}
	if pageField.MatchString(r.text) || strings.ContainsAny(r.text, ":=") && (&heading{}).field(r.text, 0) {
		return asideRow, never
	}
	if _, _, ok := s.d.cutInline(r.text); ok {
		return inlineRow, never
	}
	switch {
	case stage.MatchString(r.text), chrome.MatchString(r.text), around.MatchString(r.text), strums.MatchString(r.text), rule.MatchString(r.text) && !strings.ContainsFunc(r.text, unicode.IsLetter):
		return asideRow, never
	}
	return lyrics, v
}

// allChords reports whether a text is chords alone.
func (s *sheet) allChords(text string) bool { return s.judge(text) != never }

// judge says of a text whether it is a line of chords.
func (s *sheet) judge(text string) verdict {
	v, ok := s.judged[text]
	if !ok {
		body, _ := cutTimes(text)
		v = judge(s.d.tokens(body), body)
		s.judged[text] = v
	}
	return v
}
