package term

import (
	"strconv"

	"undersong/internal/listen/keyboard"
	"undersong/internal/music/pitch"
	"undersong/internal/ui/words"
)

// The keys of a full piano, A0 to C8, and the range drawn when nothing is said:
// C2 to C6. Middle C, key 60, is C4 (common practice; the MIDI 1.0
// Specification leaves octave names open).
const (
	pianoLow, pianoHigh = 21, 108
	usualLow, usualHigh = 36, 84
	fullPianoWidth      = 120 - 4 // margins left out
)

func isBlack(key int) bool {
	switch key % 12 {
	case 1, 3, 6, 8, 10:
		return true
	}
	return false
}

// whites counts the white keys from low to high.
func whites(low, high int) int {
	n := 0
	for k := low; k <= high; k++ {
		if !isBlack(k) {
			n++
		}
	}
	return n
}

// keyRange is the keys to draw: all 88 where they fit, else the octaves in use.
func (c *canvas) keyRange(s *words.View) (low, high, step int) {
	low, high = pianoLow, pianoHigh
	if c.width < fullPianoWidth {
		low, high = octavesInUse(s)
	}
	for step = 4; step >= 2; step-- {
		if whites(low, high)*step+1 <= c.width {
			return low, high, step
		}
	}
	low, high = c.narrowRange(s, low, high)
	return low, high, 2
}

// octavesInUse is the tune's range and any key held or wanted outside it,
// widened to octaves from C to C.
func octavesInUse(s *words.View) (low, high int) {
	low, high = int(s.LowKey), int(s.HighKey)
	if low >= high {
		low, high = usualLow, usualHigh
	}
	for key := range 128 {
		if inUse(s, key) {
			low, high = min(low, key), max(high, key)
		}
	}
	return low / 12 * 12, min((high+11)/12*12, 127)
}

func inUse(s *words.View, key int) bool {
	return has(s.Down, key) || has(s.WantedKeys, key) || has(s.WrongKeys, key)
}

// has reports a key of MIDI that is in a set.
func has(set keyboard.Set, key int) bool {
	return key >= 0 && key <= 127 && set.Has(pitch.Num(key))
}

// narrowRange drops octaves that hold no key in use, then the lower ones.
func (c *canvas) narrowRange(s *words.View, low, high int) (int, int) {
	busy := func(from, to int) bool {
		for k := from; k <= to; k++ {
			if inUse(s, k) {
				return true
			}
		}
		return false
	}
	for high-low > 12 && whites(low, high)*2+1 > c.width {
		if !busy(high-11, high) || busy(low, low+11) && high-low > 24 {
			high -= 12
		} else {
			low += 12
		}
	}
	return low, high
}

// drawKeyboard draws two rows with the black keys, one where only the white
// ones reach, and the names of the Cs.
func (c *canvas) drawKeyboard(s *words.View, p place) {
	if p.rows < 3 {
		return
	}
	low, high, step := c.keyRange(s)
	face := p.rows
	if p.rows > 3 {
		face--
	}
	x := 0
	for k := low; k <= high; k++ {
		if isBlack(k) {
			continue
		}
		c.drawWhite(s, k, x, step, p.y, face)
		if k%12 == 0 && face < p.rows {
			c.text(x+1, p.y+face, 4, "C"+strconv.Itoa(k/12-1), inkDim)
		}
		x += step
	}
	c.fill(x, p.y, 1, face, c.marks.keyEdge, inkWhiteKey)
	x = 0
	for k := low; k <= high; k++ {
		if isBlack(k) {
			c.drawBlack(s, k, x, step, p.y, face-1)
		} else {
			x += step
		}
	}
	c.drawLegend(s, x+3, p.y)
}

// look of a key: the mark on it, "" for none, and its two inks.
func (c *canvas) keyMark(s *words.View, k int) (mark string, white, black ink) {
	switch {
	case has(s.WrongKeys, k):
		return c.marks.wrong, inkWrong, inkWrong
	case has(s.Down, k):
		return c.marks.held, inkWhiteHeld, inkBlackHeld
	case has(s.WantedKeys, k):
		return c.marks.wanted, inkWhiteWanted, inkBlackWanted
	}
	return "", inkWhiteKey, inkBlackKey
}

func (c *canvas) drawWhite(s *words.View, k, x, step, y, face int) {
	mark, in, _ := c.keyMark(s, k)
	c.fill(x, y, 1, face, c.marks.keyEdge, inkWhiteKey)
	if c.style.rich() {
		c.fill(x+1, y, step-1, face, " ", in)
	}
	if mark != "" {
		c.set(x+step/2, y+face-1, mark, 1, in)
	}
}

// drawBlack draws a black key over the edge between its white neighbours.
func (c *canvas) drawBlack(s *words.View, k, x, step, y, rows int) {
	mark, _, in := c.keyMark(s, k)
	wide := 1
	if step == 4 {
		wide = 3
	}
	c.fill(x-wide/2, y, wide, rows, c.marks.blackKey, inkBlackKey)
	if mark == "" {
		return
	}
	if c.style.rich() {
		c.fill(x-wide/2, y, wide, rows, " ", in)
	}
	c.set(x, y+rows-1, mark, 1, in)
}

func (c *canvas) drawLegend(s *words.View, x, y int) {
	if c.width-x < 8 {
		return
	}
	marks := []string{c.marks.held + " held", c.marks.wanted + " go to", c.marks.wrong + " let go"}
	if s.Showing || heardAlone(s) {
		marks = marks[:1]
	}
	for i, line := range marks {
		c.text(x, y+i, c.width-x, line, inkDim)
	}
}
