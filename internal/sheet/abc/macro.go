package abc

import (
	"strings"

	"undersong/internal/music/melody"
)

// macro replaces a text in the lines of music (9).
type macro struct {
	target, text string
	moves        bool // the target ends with n and a length, for any note (9.2)
	length       string
}

// longestLine is how long macros may make a line.
const longestLine = 1 << 16

// macro reads m: ~G3 = G{A}G{F}G.
func (r *reader) macro(value string) {
	target, text, ok := strings.Cut(value, "=")
	m := macro{target: strings.TrimSpace(target), text: strings.TrimSpace(text)}
	if !ok || m.target == "" || len(m.target) > 31 || len(m.text) > 200 || len(r.macros) == 100 {
		r.tell("this macro (m:) is passed over")
		return
	}
	if stem := strings.TrimRight(m.target, "0123456789/"); strings.HasSuffix(stem, "n") {
		m.moves, m.length, m.target = true, m.target[len(stem):], stem[:len(stem)-1]
	}
	r.macros = append(r.macros, m)
}

// expand puts in what macros stand for.
func (r *reader) expand(text string) string {
	for _, m := range r.macros {
		if m.moves && m.target == "" {
			continue // it would be for every note
		}
		to := strings.ReplaceAll
		if m.moves {
			to = func(s, _, _ string) string { return m.anyNote(s) }
		}
		longer := to(text, m.target, m.text)
		if len(longer) > longestLine {
			r.tell("macros make this line too long, and are passed over")
			return text
		}
		text = longer
	}
	return text
}

// anyNote puts the macro in for each note of its length.
func (m macro) anyNote(text string) string {
	var w strings.Builder
	for {
		before, after, found := strings.Cut(text, m.target)
		w.WriteString(before)
		if !found {
			return w.String()
		}
		end := 1
		for end < len(after) && (after[end] == ',' || after[end] == '\'') {
			end++
		}
		if rest, isLength := cutLength(after, end, m.length); isLength {
			w.WriteString(m.at(after[:end]))
			text = rest
		} else {
			w.WriteString(m.target)
			text = after
		}
		if w.Len() > longestLine {
			return w.String() + text
		}
	}
}

// cutLength reports that a note of so many bytes has the length, and what follows.
func cutLength(after string, note int, length string) (string, bool) {
	if len(after) < note {
		return "", false
	}
	if _, ok := melody.Letter(rune(after[0])); !ok || !strings.HasPrefix(after[note:], length) {
		return "", false
	}
	rest := after[note+len(length):]
	return rest, rest == "" || strings.IndexByte("0123456789/", rest[0]) < 0
}

// at is the macro for a note: h to z stand for notes as far from it as from n.
func (m macro) at(note string) string {
	const scale = "CDEFGABcdefgab"
	place := strings.IndexByte(scale, note[0])
	for _, sign := range note[1:] {
		if sign == ',' {
			place -= 7
		} else {
			place += 7
		}
	}
	var w strings.Builder
	for _, r := range m.text {
		if r < 'h' || r > 'z' {
			w.WriteRune(r)
			continue
		}
		to := place + int(r) - 'n'
		low, high := 0, 0
		for ; to < 0 && low < 9; to += 7 {
			low++
		}
		for ; to > 13 && high < 9; to -= 7 {
			high++
		}
		to = max(min(to, 13), 0)
		w.WriteString(scale[to:to+1] + strings.Repeat(",", low) + strings.Repeat("'", high))
	}
	return w.String()
}
