package term

import (
	"fmt"
	"strings"

	"undersong/internal/ui/words"
)

// drawTune shows the phrase, a block for each of its notes, how the phrases
// stand, and what was said last.
func (c *canvas) drawTune(s *words.View) {
	c.drawHeader(s, place{0, 1})
	y := c.drawTop(s, 2)
	y = c.drawNotes(s.Tune, y) + 1
	c.text(0, y, c.width, c.phraseSigns(s.Tune), inkDim)
	c.drawLast(s, y+2)
	if c.height < 3 {
		return
	}
	if c.height >= tuneMedium {
		c.drawStatus(s, place{c.height - 2, 1})
	}
	c.drawMenu(s, place{c.height - 1, 1})
}

// tuneMedium are the rows from which on there are medium letters, and a row to spare.
const tuneMedium = 16

// drawTop writes which phrase it is or, while nothing moves, why. It returns the row
// below, and the one after it.
func (c *canvas) drawTop(s *words.View, y int) int {
	name, in := fmt.Sprintf("phrase %d of %d", s.Tune.Current+1, len(s.Tune.Phrases)), inkHeard
	if stands(s) && s.Notice != "" {
		name, in = s.Notice, inkWarn
	}
	if lines := c.mediumLines(name, c.width); lines != nil && c.height >= tuneMedium {
		c.mediumAt(0, place{y, len(lines) * mediumRows}, lines, in)
		return y + len(lines)*mediumRows + 1
	}
	if in == inkHeard {
		in = inkTitle
	}
	c.text(0, y, c.width, name, in)
	return y + 2
}

// drawLast writes what was said last, over other things where there is no room
// below them.
func (c *canvas) drawLast(s *words.View, y int) {
	need := len(c.fixLines(s))
	y = max(0, min(y, c.height-1-need))
	if need > 0 {
		c.fill(0, y, c.width, c.height-y, " ", inkPlain)
	}
	c.drawFix(s, place{y, max(need, c.height-y-2)})
}

// drawNotes draws a full block for each note that is found and an empty one for
// each that is not, as large as they fit in two lines. It returns the row below.
func (c *canvas) drawNotes(t *words.Tune, y int) int {
	wide, gap := 5, 2
	for wide > 1 && (wide+gap)*t.Notes > 2*c.width {
		wide--
		gap = 1
	}
	rows := 1
	if c.height >= 20 {
		rows = 2
	}
	x := 0
	for i := range t.Notes {
		if x > 0 && x+wide > c.width {
			x, y = 0, y+rows+1
		}
		if i < t.Found {
			c.fill(x, y, wide, rows, c.marks.beatFull, inkBeat)
		} else {
			c.fill(x, y+rows-1, wide, 1, c.marks.beatOff, inkDim)
		}
		x += wide + gap
	}
	return y + rows
}

// phraseSigns is a sign for each phrase: right, found, or not yet.
func (c *canvas) phraseSigns(t *words.Tune) string {
	var b strings.Builder
	for i, p := range t.Phrases {
		sign := c.marks.wanted
		switch {
		case p.Right:
			sign = strings.TrimSpace(c.marks.praise)
		case p.Found:
			sign = c.marks.held
		}
		if i == t.Current {
			sign = c.marks.currentLeft + sign + c.marks.currentRight
		}
		if i > 0 {
			b.WriteByte(' ')
		}
		b.WriteString(sign)
	}
	return b.String()
}
