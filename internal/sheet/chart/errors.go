package chart

import (
	"fmt"
	"sort"
	"strings"

	"undersong/internal/text/source"
	"undersong/internal/text/visible"
)

// Error is one thing wrong in a chart: where, what and what to do.
type Error struct {
	File   string // as given to Parse; may be empty
	Line   int    // from 1
	Col    int    // runes from 1
	Source string // the line's text; empty where it is no readable text
	Reason string
	Hint   string // may be empty
}

// Error is "file:line:col: reason; hint" in one line.
func (e *Error) Error() string {
	s := fmt.Sprintf("%d:%d: %s", e.Line, e.Col, source.Brief(e.Reason))
	if e.File != "" {
		s = visible.Name(e.File) + ":" + s
	}
	if e.Hint != "" {
		s += "; " + source.Brief(e.Hint)
	}
	return s
}

// longestShown is how many runes of a line Show prints.
const longestShown = 120

// Show is the error with the line it is about and a caret under the place, on
// three lines without a last newline.
func (e *Error) Show() string {
	if strings.TrimSpace(e.Source) == "" {
		return e.Error()
	}
	text := []rune(e.Source)
	col := min(max(e.Col-1, 0), len(text))
	if from := col - longestShown/2; len(text) > longestShown && from > 0 {
		text, col = text[from:], col-from
	}
	if len(text) > longestShown {
		text = text[:longestShown]
	}
	var pad strings.Builder
	before := visible.Text(string(text[:col]))
	for _, r := range before {
		if r != '\t' { // a tab keeps the caret under its place
			r = ' '
		}
		pad.WriteRune(r)
	}
	return fmt.Sprintf("%s\n    %s\n    %s^", e.Error(), before+visible.Text(string(text[col:])), pad.String())
}

// Errors are the things wrong in a chart, by line, ten at most. errors.As finds
// the first *Error in it.
type Errors []*Error

const mostErrors = 10

func (es Errors) Error() string { return es.join((*Error).Error) }

// Show is every error with its line and caret.
func (es Errors) Show() string { return es.join((*Error).Show) }

func (es Errors) join(text func(*Error) string) string {
	parts := make([]string, len(es))
	for i, e := range es {
		parts[i] = text(e)
	}
	return strings.Join(parts, "\n")
}

// Unwrap gives the single errors to errors.As and errors.Is.
func (es Errors) Unwrap() []error {
	all := make([]error, len(es))
	for i, e := range es {
		all[i] = e
	}
	return all
}

// orNil is nil without errors, the *Error itself where it is the only one, and
// all of them otherwise.
func (es Errors) orNil() error {
	switch len(es) {
	case 0:
		return nil
	case 1:
		return es[0]
	}
	sort.SliceStable(es, func(i, j int) bool {
		a, b := es[i], es[j]
		return a.Line < b.Line || a.Line == b.Line && a.Col < b.Col
	})
	return es
}
