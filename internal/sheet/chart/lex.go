package chart

import (
	"strconv"
	"strings"
	"unicode"

	"undersong/internal/text/source"
)

// token is a chord, dot or other sign that fills a bar, with its column.
type token struct {
	text string
	col  int
}

// dot reports a sign that the chord before goes on.
func (t token) dot() bool { return t.text == "." || t.text == "/" }

// joint is what stands between two bars, or before the first or after the last
// of a line: one barline, or several that belong together, as in :| |1.
type joint struct {
	col     int
	lines   int // barlines joined; 0 where the line of text begins or ends without
	closes  bool
	times   int
	opens   bool
	ending  int
	barline Barline
}

// plain reports a barline that says no more than that a bar ends.
func (j joint) plain() bool {
	return !j.closes && !j.opens && j.ending == 0 && j.barline == Single
}

// measure is the tokens of one bar and the joints on both its sides; the right
// one is the left one of the next.
type measure struct {
	left, right joint
	tokens      []token
	col         int
}

// lexer cuts a line of bars. It stops at the first error.
type lexer struct {
	text []rune
	i    int
	err  *source.Error // Col, Reason and Hint
}

func (l *lexer) fail(col int, reason, hint string) {
	if l.err == nil {
		l.err = &source.Error{Col: col, Reason: reason, Hint: hint}
	}
}

// measures cuts the whole line.
func (l *lexer) measures() []measure {
	var all []measure
	m := measure{left: l.joint()}
	for l.err == nil {
		m.tokens = l.tokens()
		m.right = l.joint()
		if len(m.tokens) > 0 {
			m.col = m.tokens[0].col
			all = append(all, m)
		} else if m.right.lines > 0 {
			l.fail(m.right.col, "this bar is empty", "write % to repeat the bar before, or N.C. for no chord")
		}
		if l.i >= len(l.text) {
			break
		}
		m = measure{left: m.right}
	}
	return all
}

// tokens reads up to the next barline.
func (l *lexer) tokens() []token {
	var all []token
	for l.space(); l.i < len(l.text) && !l.atBarline(); l.space() {
		start := l.i
		for l.i < len(l.text) && !l.atBarline() && !unicode.IsSpace(l.text[l.i]) {
			l.i++
		}
		all = append(all, split(token{string(l.text[start:l.i]), start + 1})...)
	}
	return all
}

// split takes dots or slashes written together apart.
func split(t token) []token {
	if strings.Trim(t.text, ".") != "" && strings.Trim(t.text, "/") != "" {
		return []token{t}
	}
	parts := make([]token, len(t.text))
	for i := range parts {
		parts[i] = token{t.text[i : i+1], t.col + i}
	}
	return parts
}

// space skips spaces, and a remark to the end of the line.
func (l *lexer) space() {
	for l.i < len(l.text) && unicode.IsSpace(l.text[l.i]) {
		l.i++
	}
	if l.i < len(l.text) && l.text[l.i] == '#' {
		l.i = len(l.text)
	}
}

func (l *lexer) has(s string) bool {
	return strings.HasPrefix(string(l.text[l.i:min(l.i+len(s), len(l.text))]), s)
}

func (l *lexer) atBarline() bool { return l.has("|") || l.has(":|") }

// joint reads barlines that belong together. Two plain ones do not: they stand
// around an empty bar.
func (l *lexer) joint() joint {
	l.space()
	j := joint{col: l.i + 1}
	for l.err == nil && l.atBarline() {
		start := l.i
		next := l.barline()
		if j.lines > 0 && j.plain() && next.plain() || j.ending > 0 || j.opens {
			l.i = start
			break
		}
		j = j.with(next)
		l.space()
	}
	return j
}

func (j joint) with(next joint) joint {
	j.lines++
	j.closes = j.closes || next.closes
	j.opens = j.opens || next.opens
	j.times = max(j.times, next.times)
	j.ending = max(j.ending, next.ending)
	j.barline = max(j.barline, next.barline)
	if j.closes {
		j.barline = Single
	}
	return j
}

// barline reads one barline with what clings to it: :| x3, |:, ||, |], |2.
func (l *lexer) barline() joint {
	j := joint{col: l.i + 1}
	if l.text[l.i] == ':' {
		j.closes = true
		l.i++
	}
	strokes := 0
	for l.i < len(l.text) && l.text[l.i] == '|' {
		strokes++
		l.i++
	}
	switch {
	case strokes > 2:
		l.fail(j.col, "too many barlines in a row", "write | between bars, || or |] at the end of a part")
	case l.has("]"):
		j.barline = Final
		l.i++
	case strokes == 2:
		j.barline = Double
	}
	if l.has(":") && !l.has(":|") {
		j.opens = true
		l.i++
	}
	if j.closes {
		j.times = l.times()
	}
	j.ending = l.ending()
	return j
}

// times reads x3 after :|, or is 0.
func (l *lexer) times() int {
	start := l.i
	l.space()
	from := l.i
	if l.has("x") || l.has("X") || l.has("×") {
		l.i++
		if n, ok := l.number(); ok {
			if n < 2 || n > 99 {
				l.fail(from+1, "a repeat is played 2 to 99 times", "write it as in :| x3")
			}
			return n
		}
	}
	l.i = start
	return 0
}

// ending reads 1. or [1 after a barline, or is 0.
func (l *lexer) ending() int {
	start := l.i
	l.space()
	from := l.i
	bracket := l.has("[")
	if bracket {
		l.i++
	}
	n, ok := l.number()
	if !ok {
		l.i = start
		return 0
	}
	if l.has(".") {
		l.i++
	}
	if bracket && l.has("]") {
		l.i++
	}
	if n < 1 || n > 99 || l.has("-") || l.has(",") {
		l.fail(from+1, "endings have one number each, from 1", "write them as in |: F |1. C :|2. F |")
	}
	return n
}

// number reads digits, of which the first three count; larger numbers are wrong
// anyway.
func (l *lexer) number() (int, bool) {
	start := l.i
	for l.i < len(l.text) && l.text[l.i] >= '0' && l.text[l.i] <= '9' {
		l.i++
	}
	n, err := strconv.Atoi(string(l.text[start:min(l.i, start+3)]))
	return n, err == nil
}
