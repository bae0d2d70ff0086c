package term

import (
	"strings"

	"undersong/internal/ui/words"
)

// drawMenu writes what may be asked, with the keys of the computer: all of it where
// there is room, and always how to end.
func (c *canvas) drawMenu(s *words.View, p place) {
	if p.rows == 0 || len(s.Menu) == 0 {
		return
	}
	long, short := make([]string, len(s.Menu)), make([]string, len(s.Menu))
	for i, m := range s.Menu {
		long[i], short[i] = m.Key+" "+m.Text, m.Key+" "+m.Short
	}
	line := strings.Join(long, c.marks.dot)
	if width(c.clean(line)) > c.width {
		line = strings.Join(short, "  ")
	}
	for n := len(short) - 1; width(c.clean(line)) > c.width && n > 0; n-- { // the last is how to end
		line = strings.Join(append(short[:n-1:n-1], short[len(short)-1]), "  ")
	}
	c.text(0, p.y, c.width, line, inkDim)
}

// drawCommands writes what the white keys of the piano ask for, as large as there is
// room.
func (c *canvas) drawCommands(s *words.View) {
	c.drawHeader(s, place{0, 1})
	y, pitch := 2, 1
	if c.height < 3 {
		y = 0
	}
	large := len(s.Menu) > 0 && c.height-y >= len(s.Menu)*mediumRows
	if large {
		pitch = mediumRows
	} else if c.drawTwoColumns(s.Menu, y) {
		return
	}
	for i, m := range s.Menu {
		text := m.Piano + "  " + m.Text
		if rows, ok := c.medium(text); large && ok && width(rows[0]) <= c.width {
			c.picture(0, y+i*pitch, rows, inkWanted)
			continue
		}
		c.text(0, y+i*pitch, c.width, text, inkWanted)
	}
}

// columnGap is the blank columns between two columns.
const columnGap = 3

// drawTwoColumns writes commands in few words and medium letters, half of them beside
// the others; false where there is no room for that.
func (c *canvas) drawTwoColumns(menu []words.Choice, y int) bool {
	half := (len(menu) + 1) / 2
	pictures, wide := make([][]string, len(menu)), [2]int{}
	for i, m := range menu {
		rows, ok := c.medium(m.Piano + " " + m.Short)
		if !ok {
			return false
		}
		pictures[i] = rows
		wide[i/half] = max(wide[i/half], width(rows[0]))
	}
	pitch := mediumRows + 1
	if wide[0]+columnGap+wide[1] > c.width || y+half*pitch-1 > c.height {
		return false
	}
	for i, rows := range pictures {
		c.picture(i/half*(wide[0]+columnGap), y+i%half*pitch, rows, inkWanted)
	}
	return true
}
