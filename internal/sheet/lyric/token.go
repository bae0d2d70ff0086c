package lyric

import (
	"regexp"
	"strconv"
	"strings"
)

// mark is what a word of a chord line is.
type mark uint8

const (
	other  mark = iota // no sign of a chord line
	name               // a chord
	beat               // a slash or dot: the chord goes on for a beat
	bar                // a bar line
	simile             // the bar before once more
	sign               // says nothing about the chords
)

// token is a word of a chord line, or a part of one.
type token struct {
	mark    mark
	text    string // of a chord its name as read, of others as written
	written string // of a chord as written
	col     int    // where it begins, in characters from 0
	deco    byte   // what a chord stands in: '(', '[', '*'; or 0
	in      int    // how far within its decoration the name begins
	before  int    // how many signs '*' stand before it in the line
}

// times finds how often a line is said to be played: x2, (2x), (repeat), twice.
var times = regexp.MustCompile(`(?i)[(\[]?\s*(?:\b(?:play(?:ed)?\s+|sing\s+|repeat\s+|rep\.?\s+)?(?:repeat(?:\s+(?:(\d+)\s*(?:x|times)|twice|once))?|twice|bis)\b|(?:^|\b)(\d{1,6})\s?(?:x|×|times|mal|fois|veces|volte)(?:\b|$)|(?:\b[x]|×)\s?([1-9]\d{0,5})\b)\s*[)\]]?\.?\s*$`)

// timesSung is what says so behind words, which may be "twice" themselves.
var timesSung = regexp.MustCompile(`(?:[(\[][^()\[\]]*[)\]]|(?i:\s[x×]\s?\d{1,6}|\s\d{1,6}\s?[x×]))\s*$`)

// cutSung is cutTimes for a line of words.
func cutSung(text string) (rest string, n int) {
	m := timesSung.FindStringIndex(text)
	if m == nil {
		return text, 1
	}
	rest, n = cutTimes(text[m[0]:])
	if rest != "" {
		return text, 1
	}
	return strings.TrimRight(text[:m[0]], " "), n
}

// cutTimes takes a sign of repetition off the end of a line. Without one it is 1.
func cutTimes(text string) (rest string, n int) {
	m := times.FindStringSubmatchIndex(text)
	if m == nil {
		return text, 1
	}
	n = 2
	for g := 2; g < len(m); g += 2 {
		if m[g] >= 0 {
			n, _ = strconv.Atoi(text[m[g]:m[g+1]])
		}
	}
	return strings.TrimRight(text[:m[0]], " "), max(n, 1)
}

var (
	abut    = regexp.MustCompile(`[)\]>}][(\[<{]`)
	barLine = regexp.MustCompile(`:?[|‖¦]+:?|\|:|:\|`)
	beats   = regexp.MustCompile(`^(?:/+|\.{1,8}|…)$`)
	signs   = regexp.MustCompile(`^(?:[-–—~>=→,;&*_+]+|->|\(?(?i:hold|stop|riff|etc|rit|fine|fill|pause|strum|let|ring|once|end|then|walk|down|up|and|slow|fast|fade|out|tacet|fermata)\)?[.:,]?|\d\.|\d{1,2}\))$`)
	joints  = regexp.MustCompile(`->|[-–—>→,]`)
)

// tokens are the words of a line, as far as it is a chord line.
func (d dialect) tokens(text string) []token {
	var all []token
	stars, col, from, opened := 0, 0, 0, -1
	for _, w := range basses(text, pieces(text)) {
		col, from = col+columns(text[from:w.at]), w.at
		t := token{text: w.text, written: w.text, col: col, before: stars}
		stars += strings.Count(w.text, "*")
		next := d.words(t)
		if all = append(all, d.overBass(all, t, next)...); strings.HasPrefix(w.text, "(") && !strings.Contains(w.text, ")") {
			opened = len(all) - len(next)
		} else if opened >= 0 && strings.Contains(w.text, ")") {
			remarked(all[opened:])
			opened = -1
		}
	}
	return held(all)
}

// remarked takes what stands in parentheses with words among it, as in "(stay on C)",
// for a remark.
func remarked(all []token) {
	words := false
	for _, t := range all {
		words = words || t.mark == other
	}
	for i := range all {
		if words {
			all[i].mark = sign
		}
	}
}

// held settles what slashes and dashes between chords mean: single ones part the
// chords, as in "G / C" and "G - C"; of several in a row each is a beat.
func held(all []token) []token {
	all = trailing(all)
	parted, dashed := true, false
	for i, t := range all {
		between := i > 0 && i+1 < len(all) && all[i-1].mark == name && all[i+1].mark == name
		parted = parted && t.mark != bar && (t.mark != beat || between)
		dashed = dashed || i > 0 && t.dash() && all[i-1].dash()
	}
	for i, t := range all {
		switch {
		case parted && t.mark == beat:
			all[i].mark = sign
		case dashed && t.dash():
			all[i].mark = beat
		}
	}
	return all
}

// trailing takes dots that end a line, and stand nowhere else in it, for "and so on".
func trailing(all []token) []token {
	first := 0
	for first < len(all) && all[first].mark != beat {
		first++
	}
	for i := first; i < len(all); i++ {
		if i == 0 || all[i].text != "." || all[i].col != all[first].col || all[i].col == all[first-1].col {
			return all
		}
	}
	for i := first; i < len(all); i++ {
		all[i].mark = sign
	}
	return all
}

// dash reports a dash that stands alone.
func (t token) dash() bool {
	return t.mark == sign && (t.text == "-" || t.text == "–" || t.text == "—")
}

type piece struct {
	text string
	at   int
}

// pieces splits at spaces and around bar lines.
func pieces(text string) []piece {
	var all []piece
	add := func(from, to int) {
		for from < to {
			m := barLine.FindStringIndex(text[from:to])
			if m == nil {
				if m = abut.FindStringIndex(text[from:to]); m == nil {
					all = append(all, piece{text[from:to], from})
					return
				}
				cut := from + m[0] + 1 // after what closes
				all = append(all, piece{text[from:cut], from})
				from = cut
				continue
			}
			if m[0] > 0 {
				all = append(all, piece{text[from : from+m[0]], from})
			}
			all = append(all, piece{text[from+m[0] : from+m[1]], from + m[0]})
			from += m[1]
		}
	}
	start := -1
	for i := 0; i <= len(text); i++ {
		switch space := i == len(text) || text[i] == ' '; {
		case space && start >= 0:
			add(start, i)
			start = -1
		case !space && start < 0:
			start = i
		}
	}
	return all
}

// words says what a word is; it is several where chords are joined in it.
func (d dialect) words(t token) []token {
	switch {
	case barLine.MatchString(t.text):
		t.mark = bar
		return []token{t}
	case t.text == "%" || t.text == "./.":
		t.mark = simile
		return []token{t}
	case beats.MatchString(t.text):
		return beatsOf(t, t.text)
	case signs.MatchString(t.text):
		t.mark = sign
		return []token{t}
	}
	if c, ok := d.chord(t); ok {
		return []token{c}
	}
	if body := strings.TrimRight(t.text, "/."); body != t.text && body != "" {
		if c, ok := d.chord(t.as(body, 0)); ok {
			return append([]token{c}, beatsOf(t, t.text[len(body):])...)
		}
	}
	if i := strings.Index(t.text, "//"); i > 0 {
		rest := strings.TrimLeft(t.text[i:], "/")
		if c, ok := d.chord(t.as(t.text[:i], 0)); ok && rest != "" {
			at := len(t.text) - len(rest)
			return append(append([]token{c}, beatsOf(t, t.text[i:at])...), d.words(t.as(rest, at))...)
		}
	}
	if all := d.joined(t, leaders); all != nil {
		return all
	}
	if all := d.joined(t, joints); all != nil {
		return all
	}
	if strings.Count(t.text, "/") > 1 {
		if all := d.joined(t, slash); all != nil {
			return all
		}
	}
	return []token{t}
}

var (
	slash   = regexp.MustCompile("/")
	leaders = regexp.MustCompile(`\.{2,}|…`)
)

// dashed reports chords that dashes of any length join into one word, which only looks
// like a string of a tablature.
func (d dialect) dashed(text string) bool {
	t := token{text: strings.TrimRight(strings.TrimSpace(text), "-")}
	return !strings.ContainsAny(t.text, " |") && len(d.joined(t, joints)) > 1 && strings.ToUpper(t.text[:1]) == t.text[:1]
}

// as is a part of a token's text, beginning so many bytes into it.
func (t token) as(text string, at int) token {
	t.col += columns(t.text[:at])
	t.text, t.written = text, text
	return t
}

func beatsOf(t token, text string) []token {
	text = strings.ReplaceAll(text, "…", "...")
	all := make([]token, len(text))
	for i := range all {
		all[i] = token{mark: beat, text: text[i : i+1], col: t.col}
	}
	return all
}

// joined is a word of chords alone, such as G-D-Em; nil where any is none.
func (d dialect) joined(t token, by *regexp.Regexp) []token {
	var all []token
	from := 0
	for _, m := range append(by.FindAllStringIndex(t.text, -1), []int{len(t.text), len(t.text)}) {
		if part := t.text[from:m[0]]; part != "" {
			c, ok := d.chord(t.as(part, from))
			if !ok {
				return nil
			}
			all = append(all, c)
		}
		from = m[1]
	}
	return all
}

// chord reads a token as a chord name in whatever signs it stands.
func (d dialect) chord(t token) (token, bool) {
	text := strings.TrimRight(t.text, "?,;:!~'\"`’")
	inner := strings.TrimLeft(text, "*_`'\"")
	if inner != text {
		t.deco = '*'
	}
	inner = strings.TrimRight(inner, "*_`'\"")
	for _, pair := range []string{"()", "[]", "<>", "{}"} {
		if len(inner) > 1 && inner[0] == pair[0] && strings.Count(inner, pair[:1]) > strings.Count(inner[:len(inner)-1], pair[1:]) {
			inner = strings.TrimSuffix(inner[1:], pair[1:])
			t.deco = pair[0]
		}
	}
	if inner == "" {
		return t, false
	}
	lead := strings.Index(text, inner)
	inner = strings.TrimRight(inner, "]>}")
	if strings.Count(inner, ")") > strings.Count(inner, "(") {
		inner = strings.TrimSuffix(inner, ")")
	} else if strings.HasPrefix(inner, "(") && !strings.Contains(inner, ")") {
		inner, lead = inner[1:], lead+1
		t.deco = '('
	}
	n, ok := d.read(inner)
	if !ok {
		n, ok = d.read(strings.TrimRight(inner, "*."))
	}
	if !ok {
		return t, false
	}
	t.mark, t.text, t.written = name, n, inner
	t.in = columns(text[:lead])
	return t, true
}
