package pattern

import (
	"fmt"
	"strings"
)

// Under is what the hand that plays the tune strikes beneath it.
type Under byte

// What may lie beneath the tune.
const (
	Alone      Under = 0   // nothing
	UnderChord Under = 'c' // the chord's other notes, with the first note of the tune that falls on the cell or on a beat of it
	UnderTone  Under = '*' // one note of the chord, the same
	Thirds     Under = '3' // under every note, the key's third below it
	Sixths     Under = '6' // under every note, the key's sixth below it
	Octaves    Under = '8' // under every note, its octave below
)

// unders are the words behind + in a cell of the tune.
var unders = map[string]Under{"ch": UnderChord, "*": UnderTone, "3": Thirds, "6": Sixths, "8": Octaves}

func (u Under) String() string {
	for word, v := range unders {
		if v == u {
			return "+" + word
		}
	}
	return ""
}

// EveryNote reports what lies under each note of the tune, not only the first
// of its cell.
func (u Under) EveryNote() bool { return u == Thirds || u == Sixths || u == Octaves }

// PlaysTune reports a pattern whose right hand plays the tune, which the chart
// must then have.
func (p *Pattern) PlaysTune() bool {
	for _, c := range p.Rows[Right] {
		if c.Kind == Tune {
			return true
		}
	}
	return false
}

const tuneForms = "the tune is tu, tub (with blue notes) or tu< (a cell early), an octave up tu' or down tu,; beneath it tu+ch (the chord), tu+* (one note of it), tu+3 tu+6 tu+8 (thirds, sixths, octaves)"

// parseTune reads what stands behind tu.
func parseTune(c *Cell, s string, at int) error {
	c.Kind = Tune
	marks, under, plus := strings.Cut(s, "+")
	end := at + len(marks)
	if plus {
		u, ok := unders[under]
		if !ok {
			return &cellError{end, fmt.Sprintf("%q cannot lie under the tune", short(under))}
		}
		c.Under = u
	}
	marks, c.Blue = strings.CutPrefix(marks, "b")
	marks, c.Early = strings.CutSuffix(marks, "<")
	if c.Early {
		end--
	}
	var err error
	c.Octave, err = onlyOctave(marks, end-len(marks))
	return err
}

// tuneText is a cell of the tune as a pattern file has it, without its accent
// and roll.
func (c Cell) tuneText() string {
	s := "tu"
	if c.Blue {
		s += "b"
	}
	s += octaveMarks(c.Octave)
	if c.Early {
		s += "<"
	}
	return s + c.Under.String()
}

// checkTune refuses a cell of the tune where it cannot stand.
func (p *parser) checkTune(h Hand, i int, c Cell) error {
	switch {
	case c.Kind != Tune:
		return nil
	case h == Left:
		return p.failCell(h, i, "the left hand cannot play the tune", "write tu in the right hand's row")
	case p.p.Part == Intro:
		return p.failCell(h, i, "the tune has not begun in an intro", "leave the right hand free, or write what it plays")
	case c.Early && p.p.Grid < Eighths:
		return p.failCell(h, i, fmt.Sprintf("on a grid of %s the tune would come too early", p.p.Grid), "tu< needs a grid of eighths, triplets or sixteenths")
	}
	return nil
}
