package term

import (
	"math"
	"slices"
	"strconv"

	"undersong/internal/ui/words"

	"undersong/internal/session/sitting"
)

// span is a range of bars, first to end-1, drawn in one line.
type span struct{ first, end int }

// chartLines groups the bars into lines of at most max bars: as the chart has them,
// longer ones broken into even parts.
func chartLines(bars []words.Bar, max int) []span {
	var lines []span
	for first := 0; first < len(bars); {
		end := first + 1
		for end < len(bars) && !bars[end].NewLine && bars[end].Section == "" {
			end++
		}
		parts := (end - first + max - 1) / max
		even := (end - first + parts - 1) / parts
		for first < end {
			lines = append(lines, span{first, min(first+even, end)})
			first += even
		}
		first = end
	}
	return lines
}

// lineOf is the index of the line that holds a bar, 0 where none does.
func lineOf(lines []span, bar int) int {
	for i, l := range lines {
		if bar >= l.first && bar < l.end {
			return i
		}
	}
	return 0
}

// chartLook is how the bars of a chart are drawn at some width.
type chartLook struct {
	lines  []span
	cell   int // usual columns of a bar, its left line included
	medium bool
}

// usualBars is the number of bars in a line that charts mostly have.
const usualBars = 4

// look sets the lines out so that every chord fits in plain letters.
func (c *canvas) look(bars []words.Bar, medium bool) chartLook {
	need := 0
	for _, b := range bars {
		need = max(need, c.barWidth(b, false))
	}
	most := max(1, (c.width-1)/max(need, 1))
	if medium {
		most = min(most, usualBars)
	}
	lines := chartLines(bars, min(most, 2*usualBars))
	longest := 1
	for _, l := range lines {
		longest = max(longest, l.end-l.first)
	}
	return chartLook{lines, max(1, (c.width-1)/max(longest, min(usualBars, most))), medium}
}

// barCells are the columns of each bar of a line: even ones, unless a bar needs
// more for its lyric or its chords in medium letters. medium reports that these
// fit everywhere.
func (c *canvas) barCells(bars []words.Bar, look chartLook) (cells []int, medium bool) {
	for _, try := range []struct{ medium, lyric bool }{{true, true}, {true, false}, {false, true}, {false, false}} {
		if try.medium && !look.medium {
			continue
		}
		needs := make([]int, len(bars))
		for i, b := range bars {
			needs[i] = c.barWidth(b, try.medium)
			if try.lyric {
				needs[i] = max(needs[i], width(c.clean(b.Lyric))+3)
			}
		}
		if cells = share(needs, len(bars)*look.cell, c.width-1); cells != nil {
			return cells, try.medium
		}
	}
	return slices.Repeat([]int{look.cell}, len(bars)), false
}

// share gives each its need, and all the same where needs allow, within total
// columns or, if that is too little, most. It is nil if needs exceed most.
func share(needs []int, total, most int) []int {
	sum := 0
	for _, n := range needs {
		sum += n
	}
	if sum > most {
		return nil
	}
	total = max(total, sum)
	for level := total; ; level-- {
		cells, sum := make([]int, len(needs)), 0
		for i, n := range needs {
			cells[i] = max(n, level)
			sum += cells[i]
		}
		if sum <= total {
			return cells
		}
	}
}

// barWidth is the least columns of a bar: its line and its chords, with gaps
// between them.
func (c *canvas) barWidth(b words.Bar, medium bool) int {
	w := 1
	for i, ch := range b.Chords {
		if i > 0 {
			w += nameGap(medium)
		}
		w += c.nameWidth(ch.Name, medium)
	}
	return max(w+1, 8)
}

// nameGap is the blank columns between chords.
func nameGap(medium bool) int {
	if medium {
		return 2
	}
	return 1
}

func (c *canvas) nameWidth(name string, medium bool) int {
	if medium {
		if rows, ok := c.medium(name); ok {
			return width(rows[0])
		}
	}
	return width(c.clean(name))
}

// drawChart draws the line with the current bar and, where there is room, the
// line after it.
func (c *canvas) drawChart(s *words.View, p, ahead place) {
	if p.rows == 0 || len(s.Bars) == 0 {
		return
	}
	look := c.look(s.Bars, p.rows >= chartMedium)
	i := lineOf(look.lines, s.Current)
	c.drawLine(s, look, look.lines[i], p)
	if ahead.rows > 0 && i+1 < len(look.lines) {
		look.medium = false
		c.drawLine(s, look, look.lines[i+1], ahead)
	}
}

func (c *canvas) drawLine(s *words.View, look chartLook, l span, p place) {
	chords := place{p.y, 1}
	if p.rows >= chartMarked {
		chords.y++
	}
	if look.medium {
		chords.rows = mediumRows
	}
	cells, medium := c.barCells(s.Bars[l.first:l.end], look)
	look.medium = medium
	x := 0
	for i := l.first; i < l.end; i++ {
		look.cell = cells[i-l.first]
		c.drawBar(s, look, i, x, chords)
		if p.rows >= chartMarked {
			c.drawBarHead(s, i, x, look.cell, p.y)
		}
		if lyric := chords.y + chords.rows; lyric < p.y+p.rows {
			c.drawLyric(s.Bars[i].Lyric, x+2, look.cell-2, place{lyric, p.y + p.rows - lyric})
		}
		x += look.cell
	}
	if marked(s) != l.end-1 {
		c.fill(x, chords.y, 1, chords.rows, c.marks.barLine, inkDim)
	}
}

// marked is the index of the bar that is surely being played, or one that no
// bar has.
func marked(s *words.View) int {
	if s.Phase == sitting.PlaceLost || s.Current < 0 {
		return -2
	}
	return s.Current
}

// drawBar draws the bar's lines and chords; brackets and a lighter ground mark
// the current one.
func (c *canvas) drawBar(s *words.View, look chartLook, i, x int, p place) {
	in := inkPlain
	if i == marked(s) {
		in = inkCurrent
		c.fill(x, p.y, look.cell+1, p.rows, " ", in)
		c.fill(x, p.y, 1, p.rows, c.marks.currentLeft, in)
		c.fill(x+look.cell, p.y, 1, p.rows, c.marks.currentRight, in)
	} else if i != marked(s)+1 || x == 0 {
		c.fill(x, p.y, 1, p.rows, c.marks.barLine, inkDim)
	}
	b := s.Bars[i]
	for j, at := range c.chordColumns(b, s.Beats, look) {
		c.drawChord(b.Chords[j].Name, x+at, look.cell-at, look.medium, p, in)
	}
}

func (c *canvas) drawChord(name string, x, room int, medium bool, p place, in ink) {
	if medium {
		if rows, ok := c.medium(name); ok && width(rows[0]) <= room {
			c.picture(x, p.y, rows, in)
			return
		}
	}
	if in == inkPlain {
		in = inkTitle
	}
	c.text(x, p.y+p.rows/2, room, name, in)
}

// chordColumns are the columns of the chords in a bar: by their beats, moved
// where they would touch or run over the end.
func (c *canvas) chordColumns(b words.Bar, beats int, look chartLook) []int {
	gap := nameGap(look.medium)
	at := make([]int, len(b.Chords))
	next := 2
	for i, ch := range b.Chords {
		at[i] = next
		if part := (ch.Beat - 1) / float64(beats); beats > 0 && part > 0 && part < 1 {
			at[i] = max(next, 2+int(math.Round(part*float64(look.cell-2))))
		}
		next = at[i] + c.nameWidth(ch.Name, look.medium) + gap
	}
	limit := look.cell + gap
	for i := len(at) - 1; i >= 0; i-- {
		limit -= c.nameWidth(b.Chords[i].Name, look.medium) + gap
		at[i] = max(1, min(at[i], limit))
		limit = at[i]
	}
	return at
}

// drawBarHead writes the marker, the number and the section above a bar.
func (c *canvas) drawBarHead(s *words.View, i, x, cell, y int) {
	b := s.Bars[i]
	text, in := "", inkDim
	if b.Number != 0 {
		text = strconv.Itoa(max(b.Number, -b.Number))
	}
	if b.Section != "" {
		text += " " + b.Section
	}
	if s.CorrectionBar != 0 && b.Number == s.CorrectionBar && s.Correction != "" {
		text, in = c.marks.flag+" "+text, inkWarn
	}
	if i == s.Current {
		mark := c.marks.here
		if s.Phase == sitting.PlaceLost {
			mark = c.marks.lost
		}
		if in == inkDim {
			in = inkWanted
		}
		text = mark + " " + text
	}
	c.text(x+1, y, cell-1, text, in)
}

// drawLyric writes a bar's words, over several rows if given.
func (c *canvas) drawLyric(lyric string, x, room int, p place) {
	lines := wrapColumns(c.clean(lyric), room)
	for i := range min(len(lines), p.rows) {
		line := lines[i]
		if i == p.rows-1 && i < len(lines)-1 {
			line += " " + lines[i+1]
		}
		c.text(x, p.y+i, room, line, inkPlain)
	}
}
