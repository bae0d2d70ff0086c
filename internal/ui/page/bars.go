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
	css := sheetCSS + `table { border-collapse: collapse; width: calc(100% - 1mm); table-layout: fixed; }
table.whole, tr { break-inside: avoid; }
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
		body += tableOf(c, s)
	}
	return document(titled(c, "chords"), p, "15mm", css, body)
}

// mostWhole is how many rows are kept together on a page.
const mostWhole = 10

// tableOf is a section, on one page where it is short.
func tableOf(c *chart.Chart, s *chart.Section) string {
	rows := rowsOf(c, s)
	if strings.Count(rows, "<tr>") <= mostWhole {
		return "<table class=\"whole\">\n" + rows + "</table>\n"
	}
	return "<table>\n" + rows + "</table>\n"
}

// columns is how many bars of a section stand side by side: as many as its longest
// line has, or half of them where a bar could not be read so.
func columns(c *chart.Chart, s *chart.Section) int {
	across := 1
	var all []chart.Bar
	for i := range s.Lines {
		bars := played(&s.Lines[i])
		across = max(across, min(mostAcross, len(bars)))
		all = append(all, bars...)
	}
	const readable = 8 // points
	for across > 2 && slices.ContainsFunc(all, func(b chart.Bar) bool {
		size, _ := fitting(&b, c.ChordsText(&b), across)
		return size < readable
	}) {
		across = (across + 1) / 2
	}
	return across
}

// rowsOf are the lines of a section; long ones are parted.
func rowsOf(c *chart.Chart, s *chart.Section) string {
	across := columns(c, s)
	text := ""
	for i := range s.Lines {
		bars := played(&s.Lines[i])
		for from := 0; from < len(bars); from += across {
			text += "<tr>"
			for k := from; k < from+across; k++ {
				if k < len(bars) {
					text += cell(c, &bars[k], across)
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
	if b := &l.Bars[0]; len(l.Bars) > 1 && b.Number == 0 && len(b.Chords) == 1 && b.Chords[0].Chord.IsNone() {
		return l.Bars[1:]
	}
	return l.Bars
}

// cell is a bar: its chords stand where their beats do, or where there is no room for
// that, with dots for beats that have no chord of their own.
func cell(c *chart.Chart, b *chart.Bar, across int) string {
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
	size, byBeats := fitting(b, c.ChordsText(b), across)
	if size < largest {
		attrs += fmt.Sprintf(` style="font-size:%.3gpt"`, size)
	}
	text := "<td" + attrs + ">"
	if b.Ending > 0 {
		text += fmt.Sprintf("<i>%d.</i>", b.Ending)
	}
	if b.Simile {
		text += "<span>%</span>"
	} else if byBeats {
		for _, p := range b.Chords {
			text += fmt.Sprintf(`<span style="width:%.4g%%">%s</span>`, 92*float64(p.Dur)/float64(b.Len), html.EscapeString(signs(p.Chord.String())))
		}
	} else {
		for _, name := range strings.Fields(c.ChordsText(b)) {
			text += "<span>" + html.EscapeString(signs(name)) + "&ensp;</span>"
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
// where its beats are; where they would be small so, they follow one another as in
// text.
func fitting(b *chart.Bar, text string, across int) (size float64, byBeats bool) {
	room := 0.92 * (tableWide/float64(across) - margin)
	size = largest
	for _, p := range b.Chords {
		n := utf8.RuneCountInString(p.Chord.String()) + 1
		size = min(size, room*float64(p.Dur)/float64(b.Len)/(letter*float64(n)))
	}
	const small = 11
	if size >= small {
		return size, true
	}
	return min(largest, room/(letter*float64(utf8.RuneCountInString(text)+1))), false
}
