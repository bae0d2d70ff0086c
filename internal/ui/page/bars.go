package page

import (
	"fmt"
	"html"
	"slices"
	"strings"

	"undersong/internal/sheet/chart"
)

// mostAcross is how many bars stand side by side.
const mostAcross = 8

// Bars is a sheet of the chords alone, bar by bar, as players without a tune use
// it; repeats as the chart writes them.
func Bars(c *chart.Chart, p Paper) []byte {
	css := sheetCSS + `table { border-collapse: collapse; width: 100%; table-layout: fixed; break-inside: avoid; }
td { border-left: 1px solid black; border-right: 1px solid black; height: 13mm; padding: 0 2mm; font: 15pt "Liberation Sans", Arial, sans-serif; white-space: nowrap; position: relative; }
td.none { border: 0; }
td.opens { border-left: 4px double black; }
td.closes { border-right: 4px double black; }
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
	for _, l := range s.Lines {
		across = max(across, min(mostAcross, len(l.Bars)))
	}
	text := ""
	for i := range s.Lines {
		bars := s.Lines[i].Bars
		for from := 0; from < len(bars); from += across {
			text += "<tr>"
			for k := from; k < from+across; k++ {
				if k < len(bars) {
					text += cell(&bars[k])
				} else {
					text += `<td class="none"></td>`
				}
			}
			text += "</tr>\n"
		}
	}
	return text
}

// cell is a bar: its chords stand where their beats do.
func cell(b *chart.Bar) string {
	var class []string
	for name, is := range map[string]bool{"opens": b.Opens, "closes": b.Closes, "double": b.Barline == chart.Double, "final": b.Barline == chart.Final} {
		if is {
			class = append(class, name)
		}
	}
	text := "<td>"
	if len(class) > 0 {
		text = fmt.Sprintf(`<td class="%s">`, strings.Join(slices.Sorted(slices.Values(class)), " "))
	}
	if b.Ending > 0 {
		text += fmt.Sprintf("<i>%d.</i>", b.Ending)
	}
	if b.Opens {
		text += "<span>𝄆&nbsp;</span>"
	}
	if b.Simile {
		text += "<span>%</span>"
	} else {
		for _, p := range b.Chords {
			text += fmt.Sprintf(`<span style="width:%.4g%%">%s</span>`, 96*float64(p.Dur)/float64(b.Len), html.EscapeString(signs(p.Chord.String())))
		}
	}
	if b.Closes && b.Times > 2 {
		text += fmt.Sprintf("<u>%d times</u>", b.Times)
	}
	return text + "</td>"
}
