package lyric

import (
	"strings"

	"undersong/internal/sheet/song"
)

// cell is what stands between two bar lines.
type cell struct {
	slots         []token // names, beats and similes
	col           int     // where it begins
	opens, closes bool
}

// widest is how many characters stand between two bar lines with no bar between.
const widest = 3

// split cuts a phrase at its bar lines; where it has none, after as many slots as the
// meter has beats.
func (l *layer) split(ph *phrase) []cell {
	var all []cell
	now := cell{col: ph.sung}
	lined, from := false, -1
	flush := func(to int) {
		if len(now.slots) > 0 || from >= 0 && to-from > widest {
			all = append(all, now)
		}
	}
	for _, t := range ph.chords {
		if t.mark != bar {
			if t.mark == name || t.mark == beat || t.mark == simile {
				now.slots = append(now.slots, t)
			}
			continue
		}
		lined = true
		flush(t.col)
		if strings.HasPrefix(t.text, ":") && len(all) > 0 {
			all[len(all)-1].closes = true
		}
		from = t.col + columns(t.text) - 1
		now = cell{col: from + 1, opens: strings.HasSuffix(t.text, ":")}
	}
	if lined {
		if len(now.slots) > 0 {
			all = append(all, now)
		}
		return all
	}
	return l.grouped(ph, now.slots)
}

// grouped makes a cell of as many slots as the meter has beats.
func (l *layer) grouped(ph *phrase, slots []token) []cell {
	var all []cell
	n := l.meter.Beats()
	if s := struck(slots); len(slots)%n != 0 && len(s)%n == 0 {
		slots = s
	}
	for i := 0; i < len(slots); i += n {
		g := slots[i:min(i+n, len(slots))]
		for len(g) < n {
			g = append(g[:len(g):len(g)], token{mark: beat})
		}
		all = append(all, cell{slots: g, col: g[0].col})
	}
	return all
}

// struck takes each chord's first slash for the beat of the chord itself, as in "G////".
func struck(slots []token) []token {
	var all []token
	for i, t := range slots {
		if t.mark != beat || i == 0 || slots[i-1].mark != name {
			all = append(all, t)
		}
	}
	return all
}

// cells lays a phrase out that has bar lines, or slashes for beats.
func (l *layer) cells(ph *phrase) laid {
	var out laid
	for _, c := range l.split(ph) {
		b := song.Bar{Len: l.meter.Bar(), Opens: c.opens, Closes: c.closes}
		if c.closes {
			b.Times = 2
		}
		col := -1
		for i, t := range c.slots {
			switch t.mark {
			case name:
				s := symbol(t.text)
				s.At = l.slot(i, len(c.slots))
				b.Chords = append(b.Chords, s)
				if col < 0 {
					col = l.d.column(t)
				}
			case simile:
				if len(c.slots) == 1 && len(out.bars) > 0 {
					b.Simile = true
					b.Chords = out.bars[len(out.bars)-1].Chords
				}
			}
		}
		if col < 0 {
			col = c.col
		}
		out.bars = append(out.bars, b)
		out.cuts = append(out.cuts, cutAt(ph.text, col, ph.sung, ph.inline))
	}
	return out
}
