package term

import (
	"fmt"
	"strconv"
	"strings"

	"undersong/internal/ui/words"

	"undersong/internal/session/sitting"
)

// side is one half of the sound part: a label, a name and words about it.
type side struct {
	label, name, words string
	ink                ink
}

// sides are what stands left and right. A left side alone takes all the width.
func (c *canvas) sides(s *words.View) []side {
	wanted := side{"wanted", s.Wanted, s.WantedDetail, inkWanted}
	var left side
	if s.Showing && s.Phase == sitting.Playing {
		return []side{{"now", s.Heard, s.HeardWords, inkHeard}}
	}
	switch s.Phase {
	case sitting.Waiting, sitting.Away, sitting.Paused:
		return []side{{"", "", noticeOr(s, "waiting for the keyboard"), inkWarn}}
	case sitting.CountingIn:
		left = side{"count-in", strconv.Itoa(max(s.CountIn, 0)), beatsWord(s.CountIn), inkHeard}
		wanted.label = "first"
	case sitting.PlaceLost:
		left = side{"you play", s.Heard, s.HeardWords, inkHeard}
		wanted = side{"place", "?", "play on, or begin a bar again", inkWarn}
	default:
		left = side{"you play", s.Heard, s.HeardWords, inkHeard}
	}
	if wanted.name == "" && heardAlone(s) {
		return []side{left}
	}
	return []side{left, wanted}
}

// heardAlone reports that there is nothing to show of what is wanted, now or later.
func heardAlone(s *words.View) bool { return len(s.Bars) == 0 || s.Unasked }

func noticeOr(s *words.View, text string) string {
	if s.Notice != "" {
		return s.Notice
	}
	return text
}

func beatsWord(n int) string {
	if n == 1 {
		return "beat to go"
	}
	return "beats to go"
}

// drawSound shows what is heard beside what is wanted.
func (c *canvas) drawSound(s *words.View, p place) {
	sides := c.sides(s)
	if p.rows == 0 {
		return
	}
	if p.rows < soundMedium {
		c.drawSoundLine(sides, p)
		return
	}
	room := c.width / len(sides)
	for i, side := range sides {
		used := room
		if i < len(sides)-1 {
			used -= 2
		}
		c.drawSide(side, i*room, used, p)
	}
}

// drawSoundLine writes both sides in plain letters, with the words in the
// second row if there is one.
func (c *canvas) drawSoundLine(sides []side, p place) {
	if len(sides) == 1 {
		c.text(0, p.y, c.width, strings.TrimSpace(sides[0].name+" "+sides[0].words), sides[0].ink)
		return
	}
	half := c.width / 2
	for i, side := range sides {
		label := side.label + " "
		if half < 16 {
			label = ""
		}
		x := i * half
		x += c.text(x, p.y, half-1, label, inkDim)
		x += c.text(x, p.y, (i+1)*half-x-1, side.name, side.ink)
		if p.rows > 1 {
			c.text(i*half, p.y+1, half-1, side.words, side.ink)
		}
	}
}

// drawSide draws a label, under it the name as large as it fits, and words.
func (c *canvas) drawSide(sd side, x, room int, p place) {
	c.text(x, p.y, room, sd.label, inkDim)
	if sd.label == "" { // a notice, all words
		c.drawWords(sd, x, room, p)
		return
	}
	name := place{p.y + 1, nameRows(p.rows)}
	c.drawName(sd, x, room, name)
	c.drawWords(sd, x, room, place{name.y + name.rows, p.rows - 1 - name.rows})
}

// nameRows is the rows of a name in a sound part of so many rows, whether or
// not its letters fill them, so that the words below keep their place.
func nameRows(rows int) int {
	switch {
	case rows >= soundHuge:
		return 2 * largeRows
	case rows >= soundLarge:
		return largeRows
	}
	return min(mediumRows, rows-1)
}

// drawName draws a name in the largest letters that fit, standing on the last
// row of its place.
func (c *canvas) drawName(sd side, x, room int, p place) {
	for _, letters := range []func(string) ([]string, bool){c.huge, c.large, c.medium} {
		if rows, ok := letters(sd.name); ok && len(rows) <= p.rows && width(rows[0]) <= room {
			c.picture(x, p.y+p.rows-len(rows), rows, sd.ink)
			return
		}
	}
	if p.rows > 0 {
		c.text(x, p.y+p.rows/2, room, sd.name, sd.ink)
	}
}

// drawWords writes the words in medium letters if there is room, else plain.
func (c *canvas) drawWords(sd side, x, room int, p place) {
	if p.rows < 1 || sd.words == "" {
		return
	}
	if p.rows > mediumRows && (c.wordsMedium(sd.words, sd.ink, x, room, p) || c.wordsMedium(inversion(sd.words), sd.ink, x, room, p)) {
		return
	}
	lines := wrapColumns(c.clean(sd.words), room)
	if short := inversion(sd.words); len(lines) > p.rows && short != "" {
		lines = wrapColumns(c.clean(short), room)
	}
	for i, line := range lines[:min(len(lines), p.rows)] {
		if i == p.rows-1 {
			line = strings.Join(lines[i:], " ")
		}
		c.text(x, p.y+i, room, line, sd.ink)
	}
}

// inversion is what follows the comma in "F major, first inversion": the part
// of the words that the large name does not say.
func inversion(words string) string {
	_, after, _ := strings.Cut(words, ",")
	return strings.TrimSpace(after)
}

func (c *canvas) wordsMedium(words string, in ink, x, room int, p place) bool {
	lines := c.mediumLines(words, room)
	spare := p.rows - len(lines)*mediumRows
	if len(lines) == 0 || spare < 0 {
		return false
	}
	drop := 0
	if len(lines) == 1 {
		drop = min(1, spare)
	}
	c.mediumAt(x, place{p.y + drop, p.rows - drop}, lines, in)
	return true
}

// drawBeats shows the click as a row of bars, the present beat filled, and the
// chord to come. The filled bar sinks halfway through its beat.
func (c *canvas) drawBeats(s *words.View, p place) {
	if p.rows == 0 {
		return
	}
	n := min(s.Beats, 16)
	half := c.width / 2
	wide := max(1, (half-2)/n-1)
	for i := range n {
		x := i * (wide + 1)
		bottom := p.y + min(p.rows, 2) - 1
		c.fill(x, bottom, wide, 1, c.marks.beatOff, inkDim)
		if part := s.Beat - float64(i+1); s.Beat >= 1 && part >= 0 && part < 1 {
			sign := c.marks.beatFull
			if part >= 0.5 {
				sign = c.marks.beatHalf
			}
			c.fill(x, p.y, wide, bottom-p.y+1, sign, inkBeat)
		}
	}
	c.drawNext(s, half, p)
}

func (c *canvas) drawNext(s *words.View, x int, p place) {
	if s.NextChord == "" {
		return
	}
	when := ""
	if s.BeatsToNext > 0 {
		when = fmt.Sprintf("in %d", s.BeatsToNext)
	}
	used := c.text(x, p.y, c.width-x, "next ", inkDim)
	rows, ok := c.medium(s.NextChord)
	if ok && p.rows >= mediumRows && width(rows[0]) <= c.width-x-used-6 {
		c.picture(x+used+1, p.y, rows, inkPlain)
		used += width(rows[0]) + 2
	} else {
		used += c.text(x+used, p.y, c.width-x-used, s.NextChord, inkTitle)
	}
	if when != "" {
		c.text(x+used, p.y, c.width-x-used, " "+when, inkDim)
	}
}
