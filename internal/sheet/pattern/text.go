package pattern

import (
	"fmt"
	"strconv"
	"strings"

	"undersong/internal/music/pitch"
)

// Text writes the pattern as a file that Parse reads back to the same pattern.
func (p *Pattern) Text() string {
	var b strings.Builder
	line := func(name, value string) {
		if value != "" {
			fmt.Fprintf(&b, "%s: %s\n", name, value)
		}
	}
	line("name", p.Name)
	line("sounds", p.Sounds)
	line("used", p.Used)
	line("source", p.Source)
	line("history", p.History)
	line("level", fmt.Sprint(p.Level))
	if p.Part != Accompaniment {
		line("part", p.Part.String())
	}
	if p.AnyMeter() {
		line("meter", "any")
	} else {
		line("meter", p.Meter.String())
	}
	line("grid", p.Grid.String())
	if p.Swing.Long > 0 {
		line("feel", fmt.Sprintf("swung %d:%d", p.Swing.Long, p.Swing.Short))
	}
	if p.Free {
		line("lengths", "free")
	}
	for h := Left; h <= Right; h++ {
		if n := p.Register[h]; n != defaultRegister[h] {
			line(h.String()+"-low", n.Spell(pitch.Key{}.Spell(n.Class())).String())
		}
	}
	for mode, name := range modeHeadings {
		line(name, p.chordsText(mode))
	}
	if p.Slowing > 0 {
		line("slowing", strconv.FormatFloat(p.Slowing, 'f', -1, 64))
	}
	b.WriteString("\n" + p.Grids())
	return b.String()
}

// Grids writes the rows alone, the right hand above the left as in a score,
// with their cells in columns.
func (p *Pattern) Grids() string {
	widths := make([]int, max(len(p.Rows[Left]), len(p.Rows[Right])))
	for _, row := range p.Rows {
		for i, c := range row {
			widths[i] = max(widths[i], len(c.String()))
		}
	}
	var b strings.Builder
	for _, h := range []Hand{Right, Left} {
		if p.Rows[h] != nil {
			fmt.Fprintf(&b, "%-6s", h.String()+":")
			p.writeRow(&b, h, widths)
		}
	}
	return b.String()
}

func (p *Pattern) writeRow(b *strings.Builder, h Hand, widths []int) {
	row := p.Rows[h]
	perBar := len(row) / max(1, p.Length)
	var line strings.Builder
	for i, c := range row {
		if i > 0 && i%perBar == 0 {
			line.WriteString(" |")
		}
		fmt.Fprintf(&line, " %-*s", widths[i], c)
	}
	b.WriteString(strings.TrimRight(line.String(), " ") + "\n")
}
