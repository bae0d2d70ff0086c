package term

import (
	"slices"
	"strings"

	"github.com/charmbracelet/x/ansi"
	"github.com/rivo/uniseg"
)

// cell is one column of one row. A sign two columns wide fills its first cell;
// the second holds cont.
type cell struct {
	sign string
	ink  ink
	cont bool
}

// canvas is a grid of cells. Drawing outside it does nothing.
type canvas struct {
	width, height int
	margin        int // blank columns to the left of x = 0, and as many to the right
	style         Style
	marks         *marks
	cells         []cell
}

// newCanvas has margins inside width where it is wide enough.
func newCanvas(width, height int, style Style) *canvas {
	margin := 0
	switch {
	case width >= 100:
		margin = 2
	case width >= 60:
		margin = 1
	}
	width -= 2 * margin
	c := &canvas{width: width, height: height, margin: margin, style: style, marks: style.marks()}
	c.cells = make([]cell, width*height)
	for i := range c.cells {
		c.cells[i].sign = " "
	}
	return c
}

// set puts a sign of the given width at x, y if it fits there whole.
func (c *canvas) set(x, y int, sign string, width int, in ink) {
	if width < 1 || x < 0 || y < 0 || y >= c.height || x+width > c.width {
		return
	}
	row := c.cells[y*c.width : (y+1)*c.width]
	for i := x; i < x+width; i++ {
		c.split(row, i)
	}
	row[x] = cell{sign: sign, ink: in}
	for i := x + 1; i < x+width; i++ {
		row[i] = cell{ink: in, cont: true}
	}
}

// split blanks a wide sign of which one half is about to be drawn over.
func (c *canvas) split(row []cell, x int) {
	first := x
	for first > 0 && row[first].cont {
		first--
	}
	for i := first + 1; i < len(row) && row[i].cont; i++ {
		row[i] = cell{sign: " ", ink: row[i].ink}
		row[first].sign = " "
	}
}

// text writes s from x on, at most max columns, and shows where it was cut. It
// returns the columns used.
func (c *canvas) text(x, y, max int, s string, in ink) int {
	s = c.clean(s)
	max = min(max, c.width-x)
	if max <= 0 {
		return 0
	}
	if width(s) > max {
		s = cut(s, max, c.marks.ellipsis)
	}
	at := x
	state := -1
	for s != "" {
		var sign string
		var w int
		sign, s, w, state = uniseg.FirstGraphemeClusterInString(s, state)
		c.set(at, y, sign, w, in)
		at += w
	}
	return at - x
}

// fill paints a rectangle with one sign of a column.
func (c *canvas) fill(x, y, w, h int, sign string, in ink) {
	for j := y; j < y+h; j++ {
		for i := x; i < x+w; i++ {
			c.set(i, j, sign, 1, in)
		}
	}
}

// picture draws rows of one-column signs; spaces leave the canvas as it is.
func (c *canvas) picture(x, y int, rows []string, in ink) {
	for j, row := range rows {
		i := 0
		for _, r := range row {
			if r != ' ' {
				c.set(x+i, y+j, string(r), 1, in)
			}
			i++
		}
	}
}

// String is the grid as height lines without a final line feed. Lines carry no
// blanks at their end, unless the ground is painted.
func (c *canvas) String() string {
	var b strings.Builder
	for y := range c.height {
		if y > 0 {
			b.WriteByte('\n')
		}
		c.line(&b, c.cells[y*c.width:(y+1)*c.width])
	}
	return b.String()
}

func (c *canvas) line(b *strings.Builder, row []cell) {
	margin := make([]cell, c.margin)
	for i := range margin {
		margin[i].sign = " "
	}
	row = slices.Concat(margin, row, margin)
	if !c.style.rich() {
		row = trimRight(row)
	}
	last := inkCount
	for _, cl := range row {
		if cl.cont {
			continue
		}
		if c.style.Colour && cl.ink != last {
			b.WriteString(c.style.sgr(cl.ink))
			last = cl.ink
		}
		b.WriteString(cl.sign)
	}
	if c.style.Colour && len(row) > 0 {
		b.WriteString("\x1b[0m")
	}
}

func trimRight(row []cell) []cell {
	for len(row) > 0 && row[len(row)-1].sign == " " && !reversed(row[len(row)-1].ink) {
		row = row[:len(row)-1]
	}
	return row
}

// reversed reports inks whose blanks are seen without a painted ground.
func reversed(i ink) bool { return i == inkCurrent || i == inkWrong }

// width is the columns that s takes.
func width(s string) int { return ansi.StringWidth(s) }

// cut shortens s to max columns, with the mark of a cut where there is room.
func cut(s string, max int, mark string) string {
	if width(s) <= max {
		return s
	}
	if max < 2*width(mark) {
		mark = ""
	}
	return ansi.Truncate(s, max-width(mark), "") + mark
}
