package term

import (
	"strings"

	"undersong/internal/ui/words"
)

// fixText is the one thing to say: the correction, or else the praise, or else what to
// begin with.
func (c *canvas) fixText(s *words.View) (text string, in ink) {
	switch {
	case s.Correction != "":
		return c.marks.warn + s.Correction, inkWarn
	case s.Praise != "":
		return c.marks.praise + s.Praise, inkPraise
	}
	return s.Prompt, inkTitle
}

// fixLines is that text broken into rows of plain letters.
func (c *canvas) fixLines(s *words.View) []string {
	text, _ := c.fixText(s)
	var lines []string
	for _, line := range strings.Split(text, "\n") {
		lines = append(lines, wrapColumns(c.clean(line), c.width)...)
	}
	return lines
}

// drawFix writes the correction in medium letters where they all fit and stand on one
// line, as all but long hints do; else in
// plain ones with what to do in medium ones below, which is what the hands need
// to know from where they play; else in plain ones alone. Its words are never
// cut while the screen has rows for them.
func (c *canvas) drawFix(s *words.View, p place) {
	text, in := c.fixText(s)
	if p.rows == 0 || text == "" {
		return
	}
	if lines := c.mediumLines(text, c.width); !strings.Contains(text, "\n") && lines != nil && len(lines)*mediumRows <= p.rows {
		c.mediumAt(0, p, lines, in)
		return
	}
	lines := c.fixLines(s)
	if large := c.mediumLines(whatToDo(s.Correction), c.width); large != nil && len(lines)+len(large)*mediumRows <= p.rows {
		c.mediumAt(0, place{p.y + len(lines), p.rows - len(lines)}, large, in)
	}
	if len(lines) > p.rows {
		lines = append(lines[:p.rows-1], lines[p.rows-1]+" "+c.marks.ellipsis)
	}
	if in == inkWarn {
		in = inkWrong
		c.fill(0, p.y, c.width, len(lines), " ", in)
	}
	for i, line := range lines {
		c.text(0, p.y+i, c.width, line, in)
	}
}

// whatToDo is the end of a correction: "go down to C" of "bar 6, beat 1: bass A,
// this bar is C7 - go down to C". Empty where it says no more than what was wrong.
func whatToDo(correction string) string {
	if i := strings.LastIndex(correction, " - "); i >= 0 {
		return correction[i+len(" - "):]
	}
	return ""
}

// mediumAt draws lines of medium letters that are known to fit, with a row
// between them if there are rows enough.
func (c *canvas) mediumAt(x int, p place, lines []string, in ink) {
	pitch := mediumRows
	if len(lines)*(mediumRows+1)-1 <= p.rows {
		pitch++
	}
	for i, line := range lines {
		rows, _ := c.medium(line)
		c.picture(x, p.y+i*pitch, rows, in)
	}
}

// mediumLines breaks text into lines of medium letters, or is nil where a sign
// cannot be drawn or a word would have to be broken.
func (c *canvas) mediumLines(text string, max int) []string {
	lines := wrap(c.clean(text), func(line string) bool { return c.fitsMedium(line, max) })
	for _, line := range lines {
		if !c.fitsMedium(line, max) {
			return nil
		}
	}
	if brokenWords(text, lines) {
		return nil
	}
	return lines
}
