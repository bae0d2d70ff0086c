package source

import (
	"fmt"
	"sort"
	"strings"

	"undersong/internal/text/visible"
)

// Error is a mistake in a text file, told so that its writer can mend it.
type Error struct {
	File   string
	Line   int    // from 1; 0 where the whole file is meant
	Col    int    // in characters, from 1; 0 where the whole line is meant
	Text   string // the line as written
	Reason string // what is wrong
	Hint   string // what would be right; may be empty
}

// Error is "file:line:col: reason; hint", leaving out what is not known.
func (e *Error) Error() string {
	var b strings.Builder
	if e.File != "" {
		b.WriteString(visible.Name(e.File) + ":")
	}
	if e.Line > 0 {
		fmt.Fprintf(&b, "%d:", e.Line)
		if e.Col > 0 {
			fmt.Fprintf(&b, "%d:", e.Col)
		}
	}
	if b.Len() > 0 {
		b.WriteByte(' ')
	}
	b.WriteString(Brief(e.Reason))
	if e.Hint != "" {
		b.WriteString("; " + Brief(e.Hint))
	}
	return b.String()
}

// longestShown is how many characters of a line Show prints.
const longestShown = 120

// Show is the error with the line it is about and a caret under the place, on
// three lines without a last newline; without a place or a readable line the error
// alone.
func (e *Error) Show() string {
	if e.Line == 0 || e.Col == 0 || strings.TrimSpace(e.Text) == "" {
		return e.Error()
	}
	text := []rune(e.Text)
	col := min(e.Col-1, len(text))
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

// MostErrors is how many things wrong in one text are told at once.
const MostErrors = 10

// Errors are the things wrong in a text, by line, MostErrors at most. errors.As
// finds the first *Error in it.
type Errors []*Error

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

// OrNil is nil without errors, the *Error itself where it is the only one, and
// all of them otherwise.
func (es Errors) OrNil() error {
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
