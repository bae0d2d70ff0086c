package song

import (
	"undersong/internal/sheet/chart"
)

// FromChart is a chart as a song.
func FromChart(c *chart.Chart) *Song {
	s := &Song{Title: c.Title, By: c.By, Key: c.Key, Meter: c.Meter, Tempo: c.Tempo, Upbeat: c.Upbeat, Unit: c.Unit, Chart: c,
		Asks: Asks{Pattern: c.Pattern, Intro: c.Intro.Name, Turnaround: c.Turnaround.Name, Ending: c.Ending.Name}}
	if c.Untimed {
		s.Tempo = 0
	}
	for _, f := range c.Fills {
		s.Fills = append(s.Fills, Fill{f.Name, f.Bars})
	}
	for i := range c.Sections {
		s.Sections = append(s.Sections, sectionOf(&c.Sections[i]))
	}
	at := map[*chart.Bar]int{}
	for i, b := range c.Bars() {
		at[b] = i
	}
	for _, p := range c.Unfold() {
		s.Order = append(s.Order, at[p.Bar])
	}
	return s
}

func sectionOf(c *chart.Section) Section {
	s := Section{Name: c.Name, Pattern: c.Pattern.Name}
	for i := range c.Lines {
		bars := c.Lines[i].Bars
		for j := range bars {
			b := barOf(&bars[j])
			b.Breaks = j == len(bars)-1
			s.Bars = append(s.Bars, b)
		}
	}
	return s
}

func barOf(c *chart.Bar) Bar {
	b := Bar{Len: c.Len, Notes: c.Melody, Lyrics: c.Lyrics, Simile: c.Simile, Opens: c.Opens, Closes: c.Closes, Times: c.Times,
		Ending: c.Ending, Barline: c.Barline, Line: c.Line, Col: c.Col}
	for _, p := range c.Chords {
		b.Chords = append(b.Chords, Symbol{p.At, p.Chord.String(), p.Chord, true})
	}
	return b
}
