package term

import (
	"strconv"
	"strings"

	"undersong/internal/session/sitting"
	"undersong/internal/ui/words"
)

// word is a word of a line with the chord name over it; either may be empty.
type word struct {
	chord, text string
	bar         int // index into View.Bars
}

// sungLook is how large a line's chord names and words are, in rows.
type sungLook struct{ chord, text int }

// sungLooks run from large to small: what is read from two metres away, words first.
var sungLooks = []sungLook{{mediumRows, mediumRows}, {1, mediumRows}, {1, 1}}

// drawWordsView shows the line that is sung, in letters as large as there is room for,
// and the next one below. Both stand still while a line is sung.
func (c *canvas) drawWordsView(s *words.View) {
	c.drawHeader(s, place{0, min(1, c.height-1)})
	foot := c.drawFoot(s)
	lines := chartLines(s.Bars, len(s.Bars))
	i := lineOf(lines, s.Current)
	now := c.wordsOf(s, lines[i])
	var next []word
	if i+1 < len(lines) {
		next = c.wordsOf(s, lines[i+1])
	}
	top := min(1, c.height-1)
	rows := foot - top
	look, after := c.fitSung(now, next, rows)
	y := c.drawSung(s, lines[i], now, look, place{top, rows}, false)
	if after.text > 0 {
		c.drawSung(s, lines[i+1], next, after, place{y, foot - y}, true)
	}
}

// drawFoot draws what stands below the words: what is heard, one correction, the
// status and what may be asked. It returns its first row.
func (c *canvas) drawFoot(s *words.View) int {
	y := c.height
	if len(s.Menu) > 1 && c.height > 8 {
		y--
		c.drawMenu(s, place{y, 1})
	}
	if c.height > 6 {
		y--
		c.drawStatus(s, place{y, 1})
	}
	fix := len(c.fixLines(s))
	if large := c.mediumLines(whatToDo(s.Correction), c.width); large != nil && fix > 0 && c.height >= roomForFix {
		fix += mediumRows * len(large)
	}
	fix = min(max(fix, 1), max(c.height/3, 1))
	y = max(y-fix, 0)
	c.drawFix(s, place{y, fix})
	if c.height > 4 {
		y--
		c.drawSoundLine(c.sides(s), place{y, soundLine})
	}
	return y
}

// roomForFix is the height from which on a correction is drawn large under the words.
const roomForFix = 36

// fitSung is the largest look of the line that is sung with which the next one is
// still seen, and the look of that; a look without rows where there is none.
func (c *canvas) fitSung(now, next []word, rows int) (look, after sungLook) {
	for _, look = range sungLooks {
		left := rows - c.sungRows(now, look)
		if left < 0 || !c.fitsSung(now, look) {
			continue
		}
		if next == nil {
			return look, sungLook{}
		}
		for _, after = range sungLooks {
			if after.text <= look.text && after.chord <= look.chord && c.sungRows(next, after) <= left && c.fitsSung(next, after) {
				return look, after
			}
		}
		if look.text == 1 {
			return look, sungLook{}
		}
	}
	return sungLooks[len(sungLooks)-1], sungLook{}
}

// fitsSung reports that every word can be drawn at that size.
func (c *canvas) fitsSung(all []word, look sungLook) bool {
	for _, w := range all {
		if c.wordWidth(w, look) > c.width {
			return false
		}
		for _, part := range []struct {
			text string
			rows int
		}{{w.text, look.text}, {w.chord, look.chord}} {
			if _, ok := c.medium(part.text); part.rows > 1 && part.text != "" && !ok {
				return false
			}
		}
	}
	return true
}

// sungRows are the rows that a line takes: one above it for its name, and a gap
// below rows that are large throughout.
func (c *canvas) sungRows(all []word, look sungLook) int {
	return 1 + len(c.wrapSung(all, look))*c.sungPitch(look)
}

func (c *canvas) sungPitch(look sungLook) int {
	pitch := look.chord + look.text
	if look.chord > 1 {
		pitch++
	}
	return pitch
}

// wrapSung breaks a line where its words reach the right edge.
func (c *canvas) wrapSung(all []word, look sungLook) [][]word {
	var rows [][]word
	x := c.width + 1
	for _, w := range all {
		wide := c.wordWidth(w, look)
		if x+wide > c.width {
			rows, x = append(rows, nil), 0
		}
		rows[len(rows)-1] = append(rows[len(rows)-1], w)
		x += wide + c.wordGap(look)
	}
	return rows
}

func (c *canvas) wordGap(look sungLook) int {
	if look.text > 1 {
		return 3
	}
	return 1
}

func (c *canvas) wordWidth(w word, look sungLook) int {
	chord := c.nameWidth(w.chord, look.chord > 1)
	if chord > 0 {
		chord++
	}
	return max(chord, c.nameWidth(w.text, look.text > 1))
}

// drawSung draws a line of words and returns the row after it. What is ahead is dim.
func (c *canvas) drawSung(s *words.View, l span, all []word, look sungLook, p place, ahead bool) int {
	c.text(0, p.y, c.width, sungName(s, l), inkDim)
	y, end := p.y+1, p.y+p.rows
	for _, row := range c.wrapSung(all, look) {
		if y+look.chord+look.text > end {
			break
		}
		x := 0
		for _, w := range row {
			text, chord := c.sungInks(s, w, ahead)
			c.drawChord(w.chord, x, c.width-x, look.chord > 1, place{y, look.chord}, chord)
			c.drawChord(w.text, x, c.width-x, look.text > 1, place{y + look.chord, look.text}, text)
			x += c.wordWidth(w, look) + c.wordGap(look)
		}
		y += c.sungPitch(look)
	}
	return y
}

// sungInks are brightest for the bar that is sung.
func (c *canvas) sungInks(s *words.View, w word, ahead bool) (text, chord ink) {
	switch {
	case ahead:
		return inkDim, inkBeat
	case w.bar == marked(s):
		return inkHeard, inkCurrent
	}
	return inkTitle, inkWanted
}

// sungName is the number of a line's first bar, and its section.
func sungName(s *words.View, l span) string {
	b := s.Bars[l.first]
	name := ""
	if b.Number > 0 {
		name = "bar " + strconv.Itoa(b.Number)
	}
	if b.Section != "" {
		name = strings.TrimSpace(b.Section + "  " + name)
	}
	return name
}

// wordsOf are the words of a line with their chord names. A chord stands over the
// word that is sung when it comes, as far as the words of a bar share it evenly.
func (c *canvas) wordsOf(s *words.View, l span) []word {
	var all []word
	for i := l.first; i < l.end; i++ {
		b := s.Bars[i]
		var in []word
		for _, text := range strings.Fields(c.clean(b.Lyric)) {
			in = append(in, word{text: text, bar: i})
		}
		for j, ch := range b.Chords {
			at := j
			if s.Beats > 0 && len(in) > 0 {
				at = int((ch.Beat - 1) / float64(s.Beats) * float64(len(in)))
			}
			for at >= len(in) || in[at].chord != "" {
				if at >= len(in) {
					in, at = append(in, word{bar: i}), len(in)
					continue
				}
				at++
			}
			in[at].chord = ch.Name
		}
		all = append(all, in...)
	}
	return all
}

// sings reports a view that shows words and has some.
func sings(s *words.View) bool {
	if !s.Words || s.Phase == sitting.Finished {
		return false
	}
	for _, b := range s.Bars {
		if b.Lyric != "" {
			return true
		}
	}
	return false
}
