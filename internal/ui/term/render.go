package term

import (
	"fmt"
	"strings"
)

// Render draws s as height lines of at most width columns, joined by line
// feeds. It takes any size from 1x1; smaller sizes give "".
func Render(s State, width, height int, style Style) string {
	if width < 1 || height < 1 {
		return ""
	}
	width, height = min(width, maxColumns), min(height, maxLines)
	c := newCanvas(width, height, style)
	switch {
	case s.Phase == Finished:
		c.drawSummary(&s)
	case s.Tune != nil:
		c.drawTune(&s)
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

func (c *canvas) drawSession(s *State) {
	need := len(c.fixLines(s))
	at := choose(s, c.style, c.width, c.height, need).setOut(c.height)
	c.drawHeader(s, at.header)
	c.drawChart(s, at.chart, at.ahead)
	c.drawBeats(s, at.beats)
	c.drawSound(s, at.sound)
	c.drawKeyboard(s, at.keys)
	c.drawFix(s, at.fix)
	c.drawStatus(s, at.status)
}

// drawHeader writes the tune and how it is played.
func (c *canvas) drawHeader(s *State, p place) {
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

func headerParts(s *State) []string {
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

// drawStatus writes the notice, or else the counts.
func (c *canvas) drawStatus(s *State, p place) {
	if p.rows == 0 {
		return
	}
	if s.Notice != "" && s.Phase != Waiting {
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
	parts = append(parts, "q ends")
	c.text(0, p.y, c.width, strings.Join(parts, c.marks.dot), inkDim)
}

// drawSummary fills the screen with the summary, the first paragraph in medium
// letters if all the rest still fits. What does not fit is cut at the end; the
// caller prints it whole on the normal screen.
func (c *canvas) drawSummary(s *State) {
	y := 0
	if c.height > 4 {
		c.drawHeader(s, place{0, 1})
		y = 2
	}
	var rest []string
	for _, paragraph := range s.Summary[min(1, len(s.Summary)):] {
		rest = append(rest, "")
		rest = append(rest, wrapColumns(c.clean(paragraph), min(c.width, summaryWidth))...)
	}
	if len(s.Summary) > 0 {
		y = c.drawHeadline(s.Summary[0], y, c.height-y-len(rest))
	}
	for i, line := range rest {
		c.text(0, y+i, c.width, line, inkPlain)
	}
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
