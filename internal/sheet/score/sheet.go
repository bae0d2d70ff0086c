package score

import "undersong/internal/sheet/chart"

// sheet is the chart as it is played, and for each bar its place there. Bars that
// are no longer the same each time are written out.
func sheet(c *chart.Chart, all []bar) (*chart.Chart, []int) {
	printed := make([]int, len(all))
	if same(all) {
		place := map[*chart.Bar]int{}
		for i, b := range c.Bars() {
			place[b] = i
		}
		for i := range all {
			printed[i] = place[all[i].Bar]
		}
		return c, printed
	}
	w := &sheetWriter{c: c, out: writtenOut(all), lines: linesOf(c), seen: map[*chart.Bar]int{}}
	d := *c
	d.Sections = nil
	w.d = &d
	for i := range all {
		printed[i] = w.write(&all[i])
	}
	return w.d, printed
}

// same reports bars that are all the chart's own.
func same(all []bar) bool {
	for _, b := range all {
		if b.Bar != b.own {
			return false
		}
	}
	return true
}

// writtenOut reports a bar that comes again otherwise than before.
func writtenOut(all []bar) bool {
	was := map[*chart.Bar]*chart.Bar{}
	for _, b := range all {
		if before, ok := was[b.own]; ok && b.own != nil && before != b.Bar {
			return true
		}
		was[b.own] = b.Bar
	}
	return false
}

// linesOf numbers the lines of text that the bars stand in.
func linesOf(c *chart.Chart) map[*chart.Bar]int {
	lines := map[*chart.Bar]int{}
	n := 0
	for _, s := range c.Sections {
		for _, l := range s.Lines {
			n++
			for i := range l.Bars {
				lines[&l.Bars[i]] = n
			}
		}
	}
	return lines
}

// sheetWriter writes bars into a chart.
type sheetWriter struct {
	c, d  *chart.Chart
	out   bool // repeats are written out
	lines map[*chart.Bar]int
	seen  map[*chart.Bar]int // the place of a bar
	n     int                // bars written
	last  *bar
}

// write adds a bar, unless it stands there already, and returns its place.
func (w *sheetWriter) write(b *bar) int {
	if at, ok := w.seen[b.Bar]; ok && !w.out {
		return at
	}
	s := w.section(b)
	if w.newLine(b) || len(s.Lines) == 0 {
		s.Lines = append(s.Lines, chart.Line{})
	}
	line := &s.Lines[len(s.Lines)-1]
	line.Bars = append(line.Bars, w.copied(b))
	w.seen[b.Bar] = w.n
	w.n++
	w.last = b
	return w.n - 1
}

// section is the section that a bar belongs to, begun where it has to.
func (w *sheetWriter) section(b *bar) *chart.Section {
	if w.last == nil || w.last.Section != b.Section {
		w.d.Sections = append(w.d.Sections, chart.Section{Name: b.Section})
	}
	return &w.d.Sections[len(w.d.Sections)-1]
}

// newLine reports a bar that begins a line of the chart, or the same one again.
func (w *sheetWriter) newLine(b *bar) bool {
	if w.last == nil || w.last.own == nil || b.own == nil {
		return false
	}
	return w.lines[w.last.own] != w.lines[b.own] || b.own.Number <= w.last.own.Number
}

// copied is the bar as it stands there: written out it has the words of its time
// and no repeat signs.
func (w *sheetWriter) copied(b *bar) chart.Bar {
	copied := *b.Bar
	if w.out {
		copied.Opens, copied.Closes, copied.Times, copied.Ending = false, false, 0, 0
		if len(copied.Lyrics) > 0 {
			copied.Lyrics = []string{b.Lyric()}
		}
	}
	return copied
}
