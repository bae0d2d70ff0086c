package chart

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"undersong/internal/music/chord"
	"undersong/internal/music/meter"
	"undersong/internal/text/source"
)

// section is a section while it is read.
type section struct {
	name    string
	line    int // of its name, from 1
	pattern Ask
	lines   []*Line
	bars    []*written
	open    *joint // a repeat or ending announced at the end of a line of text
}

// written is a bar with what the text says about it.
type written struct {
	*Bar
	start  int // the ending that begins here, or 0
	onLine int // which of the section's lines it stands in
}

func (p *parser) sectionName(raw string) {
	p.startMusic()
	p.strayTune()
	p.lost = false
	text := strings.TrimSpace(raw)
	name := strings.TrimSpace(strings.TrimSuffix(strings.TrimPrefix(text, "["), "]"))
	p.endSection()
	p.section = &section{name: name, line: p.at + 1}
	switch {
	case !strings.HasSuffix(text, "]") && strings.Contains(text, "]"):
		p.fail(indent(raw), "a section name stands alone on its line", "write the bars on the next line; begin the line with w: if it is words")
	case name == "" || !strings.HasSuffix(text, "]") || strings.ContainsAny(name, "[]"):
		p.fail(indent(raw), "this is no section name", "write it as in [Verse]")
	}
}

// endSection checks the section read and adds it to the chart.
func (p *parser) endSection() {
	s := p.section
	p.section, p.under = nil, nil
	if s == nil {
		return
	}
	if len(s.lines) == 0 {
		if len(p.errs) == 0 {
			p.failAt(s.line, 1, fmt.Sprintf("the section %s has no bars", s.name), barsHint)
		}
		return
	}
	if !p.missing {
		p.repeats(s)
	}
	done := Section{Name: s.name, Pattern: s.pattern}
	for _, l := range s.lines {
		done.Lines = append(done.Lines, *l)
	}
	p.c.Sections = append(p.c.Sections, done)
}

// barLine reads a line of bars.
func (p *parser) barLine(raw string) {
	p.startMusic()
	p.lost = false
	if p.section == nil {
		p.section = &section{line: p.at + 1}
	}
	l := &lexer{text: []rune(raw)}
	cut := l.measures()
	if l.err == nil && len(cut) == 0 {
		l.fail(indent(raw), "this line has barlines but no bars", barsHint)
	}
	if l.err != nil {
		p.fail(l.err.Col, l.err.Reason, l.err.Hint)
		p.missing, p.under, p.lost, p.tune = true, nil, true, nil
		return
	}
	line := &Line{}
	s := p.section
	if !p.upbeat && p.bars == 0 && !p.missing {
		cut = p.takeUpbeat(line, cut)
	}
	p.takeBars(line, cut)
	if p.stop {
		return
	}
	for i := range line.Bars {
		s.bars = append(s.bars, &written{Bar: &line.Bars[i], onLine: len(s.lines)})
	}
	s.lines = append(s.lines, line)
	p.join(s.bars[len(s.bars)-len(line.Bars):], cut)
	p.under, p.sung = line, p.tune != nil
	if p.tune != nil {
		p.sing(line, p.tune)
		p.tune = nil
	}
}

// takeUpbeat makes the upbeat, which may be silent, and returns the bars that
// follow it.
func (p *parser) takeUpbeat(line *Line, cut []measure) []measure {
	spoken := cut[0].left.lines == 0
	if p.c.Upbeat == 0 {
		if spoken {
			p.fail(cut[0].col, "something stands before the first barline, but the chart has no upbeat", "begin the line with | if this is bar 1; else add the heading upbeat: 1, counted in beats")
		}
		return cut
	}
	up := Bar{Len: p.c.Upbeat, Line: p.at + 1, Col: indent(p.lines[p.at])}
	up.Chords = []Placed{{0, up.Len, chord.Chord{}}}
	if spoken {
		m := unwrap(cut[0])
		up.Col = m.col
		if len(m.tokens) > 0 { // not just ()
			up.Chords = p.place(m, up.Len)
		}
		cut = cut[1:]
		if len(cut) == 0 {
			p.afterUpbeat(m.right)
		}
	}
	p.prev = &up
	line.Bars = append(line.Bars, up)
	p.upbeat = true
	return cut
}

// afterUpbeat heeds the barline that ends an upbeat alone on its line.
func (p *parser) afterUpbeat(j joint) {
	if j.closes {
		p.closeBefore(j, 0)
	}
	if j.opens || j.ending > 0 {
		p.section.open = &j
	}
}

// unwrap takes the parentheses off an upbeat such as (C7 .).
func unwrap(m measure) measure {
	first, last := m.tokens[0], m.tokens[len(m.tokens)-1]
	if !strings.HasPrefix(first.text, "(") || !strings.HasSuffix(last.text, ")") {
		return m
	}
	m.tokens = slices.Clone(m.tokens)
	m.tokens[0] = token{first.text[1:], first.col + 1}
	end := &m.tokens[len(m.tokens)-1]
	end.text = strings.TrimSuffix(end.text, ")")
	m.tokens = slices.DeleteFunc(m.tokens, func(t token) bool { return t.text == "" })
	if len(m.tokens) > 0 {
		m.col = m.tokens[0].col
	}
	return m
}

func (p *parser) takeBars(line *Line, cut []measure) {
	for _, m := range cut {
		if len(p.errs) >= source.MostErrors {
			p.stop = true
			return
		}
		if p.bars++; p.bars > MaxBars {
			p.fail(m.col, fmt.Sprintf("the chart is longer than %d bars", MaxBars), "let what comes again repeat, with |: and :|")
			p.stop = true
			return
		}
		b := Bar{Number: p.bars, Len: p.c.Meter.Bar(), Line: p.at + 1, Col: m.col}
		if b.Simile = len(m.tokens) == 1 && m.tokens[0].text == "%"; b.Simile {
			b.Chords = p.again(m.col)
		} else {
			b.Chords = p.place(m, b.Len)
		}
		p.missing = p.missing || len(b.Chords) == 0
		line.Bars = append(line.Bars, b)
		p.prev = &b
	}
}

// again is the chords of the bar before, for %.
func (p *parser) again(col int) []Placed {
	if p.prev == nil || p.prev.Number == 0 {
		p.fail(col, "% has no bar before it to repeat", "write the chord")
		return nil
	}
	return slices.Clone(p.prev.Chords)
}

// place gives a bar's chords their places; nil after an error.
func (p *parser) place(m measure, length meter.Ticks) []Placed {
	if len(m.tokens) > mostTokens {
		p.uneven(m, length, false)
		return nil
	}
	cells, ok := p.cells(m)
	if !ok {
		return nil
	}
	unit := p.unit(m, length)
	if unit == 0 {
		return nil
	}
	var placed []Placed
	for i, t := range m.tokens {
		if t.dot() && i > 0 {
			placed[len(placed)-1].Dur += unit
		} else {
			placed = append(placed, Placed{meter.Ticks(i) * unit, unit, cells[i]})
		}
	}
	return placed
}

// mostTokens is more than any meter has cells.
const mostTokens = 24

// cells reads the tokens of a bar: the chord that each begins or goes on with.
func (p *parser) cells(m measure) ([]chord.Chord, bool) {
	all := make([]chord.Chord, len(m.tokens))
	for i, t := range m.tokens {
		ok := true
		switch {
		case !t.dot():
			all[i], ok = p.chord(t)
		case i > 0:
			all[i] = all[i-1]
		default:
			all[i], ok = p.goesOn(t)
		}
		if !ok {
			return nil, false
		}
	}
	return all, true
}

// goesOn is the chord that a dot at the beginning of a bar prolongs.
func (p *parser) goesOn(t token) (chord.Chord, bool) {
	if p.prev == nil {
		p.fail(t.col, "there is no chord before this dot to go on", "begin the bar with a chord or N.C.")
		return chord.Chord{}, false
	}
	n := len(p.prev.Chords)
	if n == 0 { // an error has been told already
		return chord.Chord{}, true
	}
	return p.prev.Chords[n-1].Chord, true
}

// chord reads a chord symbol.
func (p *parser) chord(t token) (chord.Chord, bool) {
	c, err := chord.Parse(t.text)
	if err == nil {
		if !c.IsNone() {
			p.home = c
		}
		return c, true
	}
	col, reason := t.col, err.Error()
	var se *chord.SymbolError
	if errors.As(err, &se) {
		col += utf8.RuneCountInString(t.text[:se.Offset])
	}
	p.fail(col, reason, symbolHint(t.text))
	return c, false
}

func symbolHint(s string) string {
	first, size := utf8.DecodeRuneInString(s)
	switch upper := string(unicode.ToUpper(first)) + s[size:]; {
	case s == "%":
		return "% stands alone in its bar"
	case strings.ContainsAny(s, "()") && reads(strings.Trim(s, "()")):
		return "only the upbeat may stand in parentheses; write " + strings.Trim(s, "()")
	case upper != s && reads(upper):
		return "chords begin with a capital letter: " + upper
	case first == 'H' && reads("B"+s[1:]):
		return "the note H is called B here: B" + s[1:]
	case meant(s) != "":
		return "write it as " + meant(s)
	case strings.HasSuffix(s, ".") && reads(strings.TrimRight(s, ".")):
		return "put a space before the dot"
	}
	return "if the line is words, begin it with w:"
}

// spellings are ways to write roots and types that are not read here.
var spellings = strings.NewReplacer("Cis", "C#", "Des", "Db", "Dis", "D#", "Es", "Eb", "Fis", "F#", "Ges", "Gb", "Gis", "G#", "As", "Ab", "Ais", "A#",
	"mj", "maj")

// meant is the chord that such a spelling means, or "".
func meant(s string) string {
	if m := spellings.Replace(s); m != s && reads(m) {
		return m
	}
	return ""
}

func reads(s string) bool {
	_, err := chord.Parse(s)
	return err == nil
}

// chordLine reports text of several chord symbols and nothing else: bars whose
// barlines were forgotten.
func chordLine(text string) bool {
	fields := strings.Fields(text)
	for _, f := range fields {
		if !reads(f) {
			return false
		}
	}
	return len(fields) > 1
}
