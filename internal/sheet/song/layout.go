package song

import (
	"strings"

	"undersong/internal/sheet/chart"
)

// part is a section of the chart being made.
type part struct {
	chart.Section
	broken []bool // after each bar: its line ends
	bars   []chart.Bar
}

// section begins a section of the chart. One without a name goes on with the one
// before.
func (b *builder) section(name, pattern string) *part {
	name = strings.NewReplacer("[", "(", "]", ")").Replace(plain(name))
	if name == "" && pattern == "" && len(b.parts) > 0 {
		return b.parts[len(b.parts)-1]
	}
	if name == "" && len(b.parts) > 0 {
		name = "Part"
	}
	p := &part{Section: chart.Section{Name: name, Pattern: chart.Ask{Name: pattern}}}
	b.parts = append(b.parts, p)
	return p
}

func (p *part) add(bar chart.Bar, breaks bool) {
	p.bars = append(p.bars, bar)
	p.broken = append(p.broken, breaks)
}

// usualLine is how many bars a line has where the song has no lines of its own.
const usualLine = 4

// layOut puts the parts into the chart, their bars numbered and set in lines.
func (b *builder) layOut(c *chart.Chart) {
	number := 1
	for _, p := range b.parts {
		if len(p.bars) == 0 {
			continue
		}
		p.setLines(!b.song.breaks(), &number)
		c.Sections = append(c.Sections, p.Section)
	}
	b.parts = nil
}

// breaks reports a song that has lines of its own.
func (s *Song) breaks() bool {
	bars := s.Bars()
	for _, b := range bars[:max(len(bars)-1, 0)] {
		if b.Breaks {
			return true
		}
	}
	return false
}

func (p *part) setLines(usual bool, number *int) {
	var line chart.Line
	whole := 0 // bars of the line, the upbeat left out
	for i := range p.bars {
		bar := p.bars[i]
		if bar.Number != 0 {
			bar.Number = *number
			*number++
			whole++
		}
		line.Bars = append(line.Bars, bar)
		if end := i == len(p.bars)-1; end || !usual && p.broken[i] || usual && whole == usualLine {
			p.Lines = append(p.Lines, worded(line))
			line, whole = chart.Line{}, 0
		}
	}
}

// worded gives each bar of a line the same number of verses, and the line theirs.
func worded(l chart.Line) chart.Line {
	verses := 0
	for i := range l.Bars {
		for v, words := range l.Bars[i].Lyrics {
			if words != "" {
				verses = max(verses, v+1)
			}
		}
	}
	l.Lyrics = make([]string, verses)
	for i := range l.Bars {
		bar := &l.Bars[i]
		parts := make([]string, verses)
		copy(parts, bar.Lyrics)
		bar.Lyrics = parts
		for v := range parts {
			l.Lyrics[v] = strings.TrimSpace(l.Lyrics[v] + " " + parts[v])
		}
	}
	return l
}
