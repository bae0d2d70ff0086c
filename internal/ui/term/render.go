// Package term draws the view that a pianist reads from the stool, two
// metres from the computer: the chart with the current bar, the chord that is
// heard, the chord that is wanted, one correction, and what may be asked.
//
// Render is pure: a words.View, a size and a Style give a picture. Program shows
// such pictures on a live terminal.
package term

import (
	"fmt"
	"strings"

	"undersong/internal/ui/words"

	"undersong/internal/session/sitting"
)

// Render draws s as height lines of at most width columns, joined by line
// feeds. It takes any size from 1x1; smaller sizes give "".
func Render(s words.View, width, height int, style Style) string {
	if width < 1 || height < 1 {
		return ""
	}
	width, height = min(width, maxColumns), min(height, maxLines)
	c := newCanvas(width, height, style)
	switch {
	case s.AtPiano:
		c.drawCommands(&s)
	case s.Summary != nil:
		c.drawSummary(&s)
	case s.Tune != nil:
		c.drawTune(&s)
	case sings(&s):
		c.drawWordsView(&s)
	default:
		c.drawSession(&s)
	}
	return c.String()
}

// No terminal is larger; the limit keeps a wrong size from taking all memory.
const (
	maxColumns = 1000
	maxLines   = 500
)

func (c *canvas) drawSession(s *words.View) {
	need := len(c.fixLines(s))
	at := choose(s, c.style, c.width, c.height, need).setOut(c.height)
	c.drawHeader(s, at.header)
	c.drawChart(s, at.chart, at.ahead)
	c.drawBeats(s, at.beats)
	c.drawSound(s, at.sound)
	c.drawKeyboard(s, at.keys)
	c.drawFix(s, at.fix)
	c.drawStatus(s, at.status)
	c.drawMenu(s, at.menu)
}

// drawHeader writes the tune and how it is played.
func (c *canvas) drawHeader(s *words.View, p place) {
	if p.rows == 0 {
		return
	}
	x := c.text(0, p.y, c.width, s.Title, inkTitle)
	for _, part := range headerParts(s) {
		sep := c.marks.dot
		if x == 0 {
			sep = ""
		}
		if x+width(sep+c.clean(part)) > c.width {
			return
		}
		x += c.text(x, p.y, c.width-x, sep+part, inkDim)
	}
}

func headerParts(s *words.View) []string {
	var parts []string
	add := func(ok bool, text string) {
		if ok && text != "" {
			parts = append(parts, text)
		}
	}
	add(true, s.Key)
	add(s.Meter.Num > 0, s.Meter.String())
	add(s.Tempo > 0, fmt.Sprintf("tempo %.4g", float64(s.Tempo)))
	add(true, s.Pattern)
	add(true, s.Level)
	return parts
}

// drawStatus writes the notice, or else the counts; and the menu, where that has no
// rows of its own.
func (c *canvas) drawStatus(s *words.View, p place) {
	if p.rows == 0 {
		return
	}
	if s.Notice != "" && !stands(s) {
		c.text(0, p.y, c.width, c.marks.warn+s.Notice, inkWarn)
		return
	}
	var parts []string
	if s.Pass > 0 {
		parts = append(parts, fmt.Sprintf("round %d", s.Pass))
	}
	if s.Right+s.Wrong > 0 {
		parts = append(parts, fmt.Sprintf("%d right", s.Right), fmt.Sprintf("%d to mend", s.Wrong))
	}
	if s.Piano != "" {
		parts = append(parts, s.Piano)
	}
	if len(s.Menu) < 2 {
		parts = append(parts, "q ends")
	}
	c.text(0, p.y, c.width, strings.Join(parts, c.marks.dot), inkDim)
}

// stands reports that nothing moves, and the notice says why, in large letters.
func stands(s *words.View) bool {
	return s.Phase == sitting.Waiting || s.Phase == sitting.Away || s.Phase == sitting.Paused
}

// drawSummary fills the screen with the summary, the first paragraph in medium
// letters if all the rest still fits, and with a row between paragraphs if they do.
// What does not fit is cut at the end, with a sign that it is; the caller prints it
// whole on the normal screen when all is over.
func (c *canvas) drawSummary(s *words.View) {
	y, bottom := 0, c.height
	if c.height > 4 {
		c.drawHeader(s, place{0, 1})
		y = 2
	}
	if len(s.Menu) > 0 && c.height > 4 {
		bottom--
		c.drawMenu(s, place{bottom, 1})
	}
	if len(s.Summary) == 0 {
		return
	}
	rest := c.paragraphs(s.Summary[1:], true)
	if y+1+len(rest) > bottom {
		rest = c.paragraphs(s.Summary[1:], false)
	}
	y = c.drawHeadline(s.Summary[0], y, bottom-y-len(rest))
	if room := max(0, bottom-y); len(rest) > room {
		rest = rest[:room]
		if room > 0 {
			rest[room-1] = c.marks.ellipsis
		}
	}
	for i, line := range rest {
		c.text(0, y+i, c.width, line, inkPlain)
	}
}

// paragraphs are texts broken into lines, each after an empty one where they are to
// stand apart.
func (c *canvas) paragraphs(all []string, apart bool) (lines []string) {
	for _, paragraph := range all {
		if apart {
			lines = append(lines, "")
		}
		lines = append(lines, wrapColumns(c.clean(paragraph), min(c.width, summaryWidth))...)
	}
	return lines
}

// summaryWidth is a line that reads well.
const summaryWidth = 72

// drawHeadline returns the row after it.
func (c *canvas) drawHeadline(s string, y, rows int) int {
	if lines := c.mediumLines(s, c.width); lines != nil && len(lines)*(mediumRows+1) <= rows {
		c.mediumAt(0, place{y, rows}, lines, inkHeard)
		return y + len(lines)*(mediumRows+1)
	}
	lines := wrapColumns(c.clean(s), min(c.width, summaryWidth))
	for i, line := range lines {
		c.text(0, y+i, c.width, line, inkTitle)
	}
	return y + len(lines)
}
