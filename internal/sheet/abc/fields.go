package abc

import (
	"strings"

	"undersong/internal/music/meter"
	"undersong/internal/sheet/song"
)

// reader reads a tune line by line.
type reader struct {
	book   book
	body   bool // the first K: is past (3.1.14)
	text   bool // between %%begintext and %%endtext (11.4.5)
	num    int  // of the line being read
	title  string
	other  []string // further titles
	by     []string
	order  string // P: of the header
	tempo  beat
	ours   bool // written by Write
	asks   song.Asks
	facts  facts // of ours, for the line of music to come
	unit   meter.Ticks
	macros []macro
	signs  map[rune]string // U: (4.16)
	breaks breaks
	spread string // %%propagate-accidentals (11.3)
	parts  []part

	start  *voice // what voices begin as
	voices []*voice
	v      *voice
	last   string // kind of the last line: m for music, w for words
	events int
	told   notices
}

// breaks says what ends a line of the score (6.1.1).
type breaks struct{ line, dollar, bang, plus bool }

func newReader(b book) *reader {
	r := &reader{book: b, signs: map[rune]string{}, breaks: breaks{line: true, dollar: true}, spread: "pitch", parts: []part{{}}}
	r.start = &voice{meter: common, free: true, unit: defaultUnit(common), key: signatureOf(0)}
	r.v = r.start
	for _, l := range b.head {
		r.line(l)
	}
	return r
}

func (r *reader) read(t tune) {
	for _, l := range joined(t.lines) {
		r.line(l)
	}
	for _, v := range r.voices {
		v.endBar()
		if n := len(v.bars); n > 0 { // what stands behind the last barline
			v.bars[n-1].signs = v.bars[n-1].signs.with(v.next.signs)
		}
	}
}

// joined puts what +: continues behind its field (3.3).
func joined(lines []line) []line {
	var all []line
	field := -1
	for _, l := range lines {
		text := uncomment(l.text)
		if strings.HasPrefix(text, "+:") && field >= 0 {
			all[field].text += " " + strings.TrimSpace(text[2:])
			continue
		}
		if l.text != "" && l.text[0] != '%' {
			field = -1
			if _, _, ok := cutField(text, true); ok {
				field = len(all)
				l.text = text
			}
		}
		all = append(all, l)
	}
	return all
}

// uncomment cuts a comment off (2.2.5).
func uncomment(text string) string {
	for i := 0; i < len(text); i++ {
		switch {
		case text[i] == '\\':
			i++
		case text[i] == '%':
			return text[:i]
		}
	}
	return text
}

// cutField cuts a field into its letter and value. In the body, letters of notes and
// rests begin none (3), unless words follow that no music has.
func cutField(text string, body bool) (letter byte, value string, ok bool) {
	if len(text) < 2 || text[1] != ':' {
		return 0, "", false
	}
	l := text[0]
	if !(l >= 'A' && l <= 'Z' || l >= 'a' && l <= 'z') {
		return 0, "", false
	}
	value = strings.TrimSpace(text[2:])
	if body && strings.IndexByte("ABCDEFGXYZabcdefgxyz", l) >= 0 && (value == "" || strings.ContainsAny(value, "|\"") || strings.IndexByte(":[(", value[0]) >= 0) {
		return 0, "", false
	}
	return l, value, true
}

func (r *reader) line(l line) {
	r.num = l.num
	switch {
	case strings.HasPrefix(l.text, "%%"):
		r.directive(strings.TrimSpace(l.text[2:]))
		return
	case r.text:
		return
	}
	text := uncomment(l.text)
	if strings.TrimSpace(text) == "" {
		return
	}
	if f, value, ok := cutField(text, r.body); ok {
		r.field(f, value, false)
		return
	}
	if !r.body && strings.Contains(text, "|") && goesOn(text) {
		r.tell("the music begins without a key (K:), and C is taken")
		r.body = true
	}
	if r.body {
		r.music(text)
	}
}

// field takes a field in, on a line of its own or within music.
func (r *reader) field(f byte, value string, inline bool) {
	switch f {
	case 'w':
		r.words(value)
		return
	case 's':
		if r.body {
			r.symbols(value)
		}
	case 'K':
		r.key(value)
		r.body = r.body || !inline
	case 'M':
		r.meter(value)
	case 'L':
		r.length(value)
	case 'Q':
		r.speed(value)
	case 'P':
		r.part(value, inline)
	case 'V':
		r.voice(value, inline)
	case 'T':
		r.titled(value)
	case 'C':
		r.by = append(r.by, plainText(value))
	case 'I':
		r.directive(value)
	case 'm':
		r.macro(value)
	case 'U':
		r.sign(value)
	default:
		r.passOver(f, value)
	}
}

// passOver tells of a field that says nothing here, unless it only tells about the
// tune (3.1.4 to 3.1.16).
func (r *reader) passOver(f byte, value string) {
	switch {
	case strings.IndexByte("ABDFGHNORSZXrE", f) >= 0:
	case f == 'W':
		r.tell("the words below the tune (W:) are left out")
	default:
		r.tell("the field " + string(rune(f)) + ": is not known, and passed over")
	}
}

func (r *reader) titled(value string) {
	switch title := plainText(value); {
	case r.body:
		r.parts = append(r.parts, part{name: title})
	case r.title == "":
		r.title = title
	case title != "":
		r.other = append(r.other, title)
	}
}

// part is the order of the parts in the header, and else the beginning of one
// (3.1.9).
func (r *reader) part(value string, inline bool) {
	if !r.body {
		r.order = value
		return
	}
	r.v.endBar()
	r.parts = append(r.parts, part{name: plainText(value)})
}

// directive heeds an instruction (3.1.17, 11).
func (r *reader) directive(text string) {
	name, value, _ := strings.Cut(text, " ")
	value = strings.TrimSpace(value)
	switch strings.ToLower(name) {
	case "begintext":
		r.text = true
	case "endtext":
		r.text = false
	case "propagate-accidentals":
		r.spread = value
	case "linebreak":
		r.breaks = breaks{line: strings.Contains(value, "<EOL>"), dollar: strings.Contains(value, "$"), bang: strings.Contains(value, "!")}
		r.breaks.plus = r.breaks.bang
	case "continueall":
		if value == "true" || value == "1" {
			r.breaks = breaks{bang: true, plus: true}
		}
	case "decoration":
		r.breaks.plus = value == "+"
	case "abc-version":
		r.book.strict = strict("%abc-" + value)
	case "abc-include":
		r.tell("the file " + value + " is not read")
	case ourName:
		r.fact(value)
	}
}

// notices counts what is told, one of a kind.
type notices struct {
	list  []song.Notice
	count map[string]int
}

const mostNotices = 40

// tell notes something that could not be carried over.
func (r *reader) tell(text string) {
	if r.told.count == nil {
		r.told.count = map[string]int{}
	}
	if r.told.count[text] == 0 && len(r.told.list) == mostNotices {
		return
	}
	r.told.count[text]++
	if r.told.count[text] == 1 {
		r.told.list = append(r.told.list, song.Notice{Line: r.num, Text: text})
	}
}
