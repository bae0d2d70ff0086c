package chart

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"undersong/internal/text/source"
)

// Ask is a pattern that the chart asks for. The zero value asks for none.
type Ask struct {
	Name  string // in the catalogue, or a file's path
	Place Place
}

// Place is where something is written; the zero value in charts not read from
// text.
type Place struct {
	File      string
	Line, Col int    // from 1
	Source    string // the line's text
}

// Fault is a mistake at a place.
func (p Place) Fault(reason, hint string) *source.Error {
	return &source.Error{File: p.File, Line: p.Line, Col: p.Col, Text: p.Source, Reason: reason, Hint: hint}
}

// Fill is a pattern that the chart asks for in single bars.
type Fill struct {
	Ask
	Bars []int // as printed, rising
}

// Asks reports a chart that asks for more than one pattern.
func (c *Chart) Asks() bool {
	for i := range c.Sections {
		if c.Sections[i].Pattern.Name != "" {
			return true
		}
	}
	return c.Intro.Name != "" || c.Turnaround.Name != "" || c.Ending.Name != "" || len(c.Fills) > 0
}

// here is a place in the line being read.
func (p *parser) here(col int) Place { return Place{p.file, p.at + 1, col, p.lines[p.at]} }

// ask reads a heading that asks for one pattern.
func (p *parser) ask(name, value string, col int) {
	a := Ask{value, p.here(col)}
	if value == "" {
		p.fail(col, name+" has no value", `it is the name of a pattern; "undersong patterns --part `+name+`" lists them`)
		return
	}
	switch name {
	case "intro":
		p.c.Intro = a
	case "turnaround":
		p.c.Turnaround = a
	case "ending":
		p.c.Ending = a
	}
}

const fillsHint = "write it as in fills: fill-walk at 4, 8 and several with ; between: fill-walk at 4; fill-stop at 8"

// fills reads "NAME at 4, 8; NAME at 12".
func (p *parser) fills(value string, col int) {
	for _, part := range strings.Split(value, ";") {
		at := col + indent(part) - 1
		col += utf8.RuneCountInString(part) + 1
		text := strings.TrimSpace(part)
		i := strings.LastIndex(text, " at ")
		if i < 0 {
			p.fail(at, fmt.Sprintf("%q does not say in which bars it comes", short(text)), fillsHint)
			return
		}
		f := Fill{Ask: Ask{strings.TrimSpace(text[:i]), p.here(at)}}
		if f.Bars = fillBars(text[i+len(" at "):]); f.Bars == nil {
			p.fail(at+utf8.RuneCountInString(text[:i])+len(" at "), fmt.Sprintf("%q are not numbers of bars", short(text[i+len(" at "):])), fillsHint)
			return
		}
		p.c.Fills = append(p.c.Fills, f)
	}
}

// fillBars reads "4, 8 and 12"; nil where that is not what stands there.
func fillBars(text string) []int {
	var bars []int
	for _, f := range strings.Fields(strings.ReplaceAll(text, ",", " ")) {
		if f == "and" {
			continue
		}
		n, err := strconv.Atoi(f)
		if err != nil || n < 1 || n > MaxBars {
			return nil
		}
		bars = append(bars, n)
	}
	slices.Sort(bars)
	return slices.Compact(bars)
}

// fillsAstray reports fills in bars that the chart does not have, once all are
// read, and fills that come in one bar.
func (p *parser) fillsAstray() bool {
	before := len(p.errs)
	taken := map[int]bool{}
	for _, f := range p.c.Fills {
		for _, n := range f.Bars {
			switch {
			case n > p.bars:
				p.failAt(f.Place.Line, f.Place.Col, fmt.Sprintf("the fill %s stands in bar %d, and the chart has bars 1 to %d", f.Name, n, p.bars), fillsHint)
			case taken[n]:
				p.failAt(f.Place.Line, f.Place.Col, fmt.Sprintf("bar %d has two fills", n), "leave one out")
			}
			taken[n] = true
		}
	}
	return len(p.errs) > before
}

// fillsText writes the fills as a heading's value.
func fillsText(fills []Fill) string {
	parts := make([]string, len(fills))
	for i, f := range fills {
		bars := make([]string, len(f.Bars))
		for j, n := range f.Bars {
			bars[j] = strconv.Itoa(n)
		}
		parts[i] = f.Name + " at " + strings.Join(bars, ", ")
	}
	return strings.Join(parts, "; ")
}

// sectionPattern reads the pattern of the section just named.
func (p *parser) sectionPattern(value string, col, valueCol int) {
	switch {
	case p.section == nil || len(p.section.lines) > 0:
		p.fail(col, "this pattern stands below bars", "write it right under the name of its section, or at the top for the whole chart")
	case p.section.pattern.Name != "":
		p.fail(col, "the section has a pattern already", "leave one out")
	case value == "":
		p.fail(valueCol, "pattern has no value", "it is the name of a pattern")
	default:
		p.section.pattern = Ask{value, p.here(valueCol)}
	}
}

// Unplaced takes away where the chart's bars and wishes were written, for one whose
// text was made from something else.
func (c *Chart) Unplaced() {
	for _, b := range c.Bars() {
		b.Line, b.Col = 0, 0
	}
	for i := range c.Sections {
		c.Sections[i].Pattern.Place = Place{}
	}
	for i := range c.Fills {
		c.Fills[i].Place = Place{}
	}
	c.Intro.Place, c.Turnaround.Place, c.Ending.Place = Place{}, Place{}, Place{}
}
