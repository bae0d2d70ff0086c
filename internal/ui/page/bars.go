package page

import (
	"fmt"
	"html"
	"slices"
	"strings"
	"unicode/utf8"

	"undersong/internal/sheet/chart"
)

// mostAcross is how many bars stand side by side.
const mostAcross = 8

// Bars is a sheet of the chords alone, bar by bar, as players without a tune use
// it; repeats as the chart writes them.
func Bars(c *chart.Chart, p Paper) []byte {
	css := sheetCSS + `table { border-collapse: collapse; width: calc(100% - 1mm); table-layout: fixed; break-inside: avoid; }
td { border-left: 1px solid black; border-right: 1px solid black; height: 13mm; padding: 0 2mm; font: 15pt "Liberation Sans", Arial, sans-serif; white-space: nowrap; position: relative; }
td.none { border: 0; }
td.opens { border-left: 5px double black; }
td.closes { border-right: 5px double black; }
td.opens::before, td.closes::after { content: ":"; font-weight: bold; padding-right: 1mm; }
td.closes::after { position: absolute; right: 0; }
td.double { border-right: 3px double black; }
td.final { border-right: 4px solid black; }
td i { position: absolute; top: 0; left: 1mm; font: 9pt serif; }
td u { text-decoration: none; position: absolute; top: 0; right: 1mm; font: 9pt serif; }
td span { display: inline-block; }
`
	body := heading(c, about(c))
	for i := range c.Sections {
		s := &c.Sections[i]
		if s.Name != "" {
			body += "<h2>" + html.EscapeString(s.Name) + "</h2>\n"
		}
		body += "<table>\n" + rowsOf(s) + "</table>\n"
	}
	return document(titled(c, "chords"), p, "15mm", css, body)
}

// rowsOf are the lines of a section; long ones are parted.
func rowsOf(s *chart.Section) string {
	across := 1
	for i := range s.Lines {
		across = max(across, min(mostAcross, len(played(&s.Lines[i]))))
	}
	text := ""
	for i := range s.Lines {
		bars := played(&s.Lines[i])
		for from := 0; from < len(bars); from += across {
			text += "<tr>"
			for k := from; k < from+across; k++ {
				if k < len(bars) {
					text += cell(&bars[k], across)
				} else {
					text += `<td class="none"></td>`
				}
			}
			text += "</tr>\n"
		}
	}
	return text
}

// played are a line's bars without an upbeat that has no chord: it would move the
// bars of its line out of step with those below.
func played(l *chart.Line) []chart.Bar {
	if b := &l.Bars[0]; len(l.Bars) > 1 && b.Number == 0 && !b.Opens && len(b.Chords) == 1 && b.Chords[0].Chord.IsNone() {
		return l.Bars[1:]
	}
	return l.Bars
}

// cell is a bar: its chords stand where their beats do.
func cell(b *chart.Bar, across int) string {
	var class []string
	for name, is := range map[string]bool{"opens": b.Opens, "closes": b.Closes, "double": b.Barline == chart.Double, "final": b.Barline == chart.Final} {
		if is {
			class = append(class, name)
		}
	}
	attrs := ""
	if len(class) > 0 {
		attrs = fmt.Sprintf(` class="%s"`, strings.Join(slices.Sorted(slices.Values(class)), " "))
	}
	size, byBeats := fitting(b, across)
	if size < largest {
		attrs += fmt.Sprintf(` style="font-size:%.3gpt"`, size)
	}
	text := "<td" + attrs + ">"
	if b.Ending > 0 {
		text += fmt.Sprintf("<i>%d.</i>", b.Ending)
	}
	if b.Simile {
		text += "<span>%</span>"
	} else {
		for _, p := range b.Chords {
			name := html.EscapeString(signs(p.Chord.String()))
			if byBeats {
				text += fmt.Sprintf(`<span style="width:%.4g%%">%s</span>`, 92*float64(p.Dur)/float64(b.Len), name)
			} else {
				text += "<span>" + name + "&ensp;</span>"
			}
		}
	}
	if b.Closes && b.Times > 2 {
		text += fmt.Sprintf("<u>%d times</u>", b.Times)
	}
	return text + "</td>"
}

// largest is the size of chord names where there is room, in points.
const largest = 15.0

// Widths in millimetres: of a page's table, a bar's margins, and a letter of a point.
const (
	tableWide = 172.0
	margin    = 4.0
	letter    = 0.6 * 0.3528
)

// fitting is the size of a bar's chord names, in points, and whether each stands
// where its beats are; where they would be small so, they follow one another.
func fitting(b *chart.Bar, across int) (size float64, byBeats bool) {
	room := 0.92 * (tableWide/float64(across) - margin)
	size, letters := largest, 0
	for _, p := range b.Chords {
		n := utf8.RuneCountInString(p.Chord.String()) + 1
		letters += n
		size = min(size, room*float64(p.Dur)/float64(b.Len)/(letter*float64(n)))
	}
	const small = 11
	if size >= small {
		return size, true
	}
	return min(largest, room/(letter*float64(letters))), false
}
