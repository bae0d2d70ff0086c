package chart

import (
	"fmt"
	"strconv"
	"strings"

	"undersong/internal/music/melody"
	"undersong/internal/music/meter"
)

// Text writes the chart so that Parse reads the same chart back, but for the
// places in the text (Bar.Line and Bar.Col) and remarks. Chords must stand on
// beats, half beats or, in compound meters, eighths, and the upbeat be whole
// sixteenths, as in charts from Parse.
func (c *Chart) Text() string {
	var w strings.Builder
	tune := melody.NewWriter(c.tuneSetting())
	c.writeHeadings(&w)
	for i := range c.Sections {
		s := &c.Sections[i]
		w.WriteString("\n")
		if s.Name != "" {
			fmt.Fprintf(&w, "[%s]\n", s.Name)
		}
		if s.Pattern.Name != "" {
			fmt.Fprintf(&w, "pattern: %s\n", s.Pattern.Name)
		}
		var before *Bar
		for j := range s.Lines {
			before = c.writeLine(&w, &s.Lines[j], before)
			w.WriteString(c.tuneText(tune, &s.Lines[j]))
			writeVerses(&w, &s.Lines[j])
		}
	}
	return w.String()
}

func (c *Chart) writeHeadings(w *strings.Builder) {
	put := func(name, value string) {
		if value != "" {
			fmt.Fprintf(w, "%s: %s\n", name, value)
		}
	}
	put("title", c.Title)
	put("by", c.By)
	put("key", c.Key.String())
	put("meter", c.Meter.String())
	put("tempo", strconv.FormatFloat(float64(c.Tempo), 'f', -1, 64))
	if c.Upbeat > 0 {
		put("upbeat", upbeatString(c.Upbeat, c.Meter))
	}
	if c.Unit > 0 {
		put("unit", unitString(c.Unit))
	}
	put("pattern", c.Pattern)
	put("intro", c.Intro.Name)
	put("fills", fillsText(c.Fills))
	put("turnaround", c.Turnaround.Name)
	put("ending", c.Ending.Name)
}

// writeLine writes a line of bars; before is the bar before it in
// the section, or nil. It returns the line's last bar.
func (c *Chart) writeLine(w *strings.Builder, l *Line, before *Bar) *Bar {
	for i := range l.Bars {
		b := &l.Bars[i]
		if b.Number == 0 {
			c.writeUpbeat(w, b, len(l.Bars) == 1)
			continue
		}
		w.WriteString(barlineBetween(before, b, before != nil && i > 0) + " " + c.barText(b) + " ")
		before = b
	}
	if before == nil { // the upbeat stands alone
		w.WriteString("|\n")
	} else {
		w.WriteString(closing(before) + "\n")
	}
	return before
}

func writeVerses(w *strings.Builder, l *Line) {
	for v := range l.Lyrics {
		w.WriteString(verseText(l, v) + "\n")
	}
}

// writeUpbeat leaves a silent upbeat out, unless it is a line of its own.
func (c *Chart) writeUpbeat(w *strings.Builder, b *Bar, alone bool) {
	if len(b.Chords) == 1 && b.Chords[0].Chord.IsNone() && !alone {
		return
	}
	w.WriteString("(" + c.ChordsText(b) + ") ")
}

// barlineBetween is what stands before b: in the middle of a line the barline
// that ends the bar before as well.
func barlineBetween(before, b *Bar, inLine bool) string {
	opens := ""
	if b.Opens {
		opens = "|:"
	}
	ending := ""
	if b.Ending > 0 && (before == nil || b.Ending != before.Ending || b.Opens) {
		ending = strconv.Itoa(b.Ending) + "."
	}
	if !inLine {
		if opens == "" {
			opens = "|"
		}
		return opens + ending
	}
	left := closing(before)
	switch {
	case opens == "":
		return left + ending
	case left == "|":
		return opens + ending
	case left == ":|":
		return ":|:" + ending
	}
	return left + " " + opens + ending
}

// closing is the barline that ends a bar.
func closing(b *Bar) string {
	switch {
	case b.Closes && b.Ending == 0 && b.Times > 2:
		return ":| x" + strconv.Itoa(b.Times)
	case b.Closes:
		return ":|"
	case b.Barline == Double:
		return "||"
	case b.Barline == Final:
		return "|]"
	}
	return "|"
}

func (c *Chart) barText(b *Bar) string {
	if b.Simile && b.Number > 1 {
		return "%"
	}
	return c.ChordsText(b)
}

// ChordsText is the chords of a bar of this chart as text: alone where they share the
// bar, else with dots on the coarsest grid that they fit, as in "C . . G7".
func (c *Chart) ChordsText(b *Bar) string {
	n := len(b.Chords)
	even := c.Meter.Even(n, b.Len)
	for _, p := range b.Chords {
		even = even && p.Dur*meter.Ticks(n) == b.Len
	}
	if even {
		return onGrid(b, b.Len/meter.Ticks(n))
	}
	all := c.Meter.Grids()
	coarse := b.Len%all[0] == 0
	for _, p := range b.Chords {
		coarse = coarse && p.At%all[0] == 0
	}
	if coarse {
		return onGrid(b, all[0])
	}
	return onGrid(b, all[1])
}

// onGrid writes the chord that begins in each cell, or a dot.
func onGrid(b *Bar, grid meter.Ticks) string {
	var cells []string
	for at := meter.Ticks(0); at < b.Len; at += grid {
		cell := "."
		for _, p := range b.Chords {
			if p.At >= at && p.At < at+grid {
				cell = p.Chord.String()
			}
		}
		cells = append(cells, cell)
	}
	return strings.Join(cells, " ")
}

// verseText writes a verse as plainly as it reads back.
func verseText(l *Line, v int) string {
	text := l.Lyrics[v]
	parts := make([]string, len(l.Bars))
	even := true
	for i, share := range spread(text, l.Bars) {
		parts[i] = l.Bars[i].Lyrics[v]
		even = even && share == parts[i]
	}
	if even {
		if mistakable(text) {
			return strings.TrimSpace("w: " + text)
		}
		return text
	}
	for parts[len(parts)-1] == "" { // not all are: an empty verse is even
		parts = parts[:len(parts)-1]
	}
	aligned := strings.Join(parts, " | ") + " |"
	if l.Bars[0].Number != 0 {
		aligned = "| " + aligned
	}
	return "w: " + single(aligned)
}

// mistakable reports words that would not be read as such without w: before.
func mistakable(text string) bool {
	name, isHeading := headingName(text)
	return text == "" || strings.HasPrefix(text, "#") || strings.HasPrefix(text, "[") || isWords(text) || isTune(text) ||
		isHeading && known(name) || chordLine(text)
}
