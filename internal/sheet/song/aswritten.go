package song

import (
	"errors"
	"strings"

	"undersong/internal/music/meter"
	"undersong/internal/sheet/chart"
)

var errUneven = errors.New("a bar is not whole")

// asWritten keeps sections, repeats and endings as they are. It is an error where a
// chart has no such repeats, or a bar in the middle is not whole.
func (b *builder) asWritten() (*chart.Chart, error) {
	told := b.told
	c := b.begin()
	at := 0
	for i := range b.song.Sections {
		s := &b.song.Sections[i]
		part := b.section(s.Name, s.Pattern)
		for j := range s.Bars {
			bar, err := b.bar(&s.Bars[j], at == 0, i == len(b.song.Sections)-1 && j == len(s.Bars)-1)
			if err != nil {
				b.told = told
				return nil, err
			}
			if bar.Number == 0 {
				c.Upbeat = bar.Len
			}
			part.add(bar, s.Bars[j].Breaks)
			at++
		}
	}
	b.layOut(c)
	opens(c)
	out, err := finished(c, b.song.Order)
	if err != nil {
		b.told = told
	}
	return out, err
}

// bar is a bar of the chart: the first may be an upbeat, the last be filled up.
func (b *builder) bar(s *Bar, first, last bool) (chart.Bar, error) {
	full, length := b.meter.Bar(), b.scale(s.Len)
	out := chart.Bar{Number: 1, Len: full, Simile: s.Simile, Opens: s.Opens, Closes: s.Closes, Times: s.Times, Ending: s.Ending, Barline: s.Barline}
	switch {
	case length == full, last && length < full:
	case first && length < full && length%meter.Sixteenth == 0:
		out.Number, out.Len = 0, length
	default:
		return out, errUneven
	}
	out.Chords = b.chords.place(s, out.Len)
	out.Melody = b.notes(s, 0)
	for _, words := range s.Lyrics {
		out.Lyrics = append(out.Lyrics, sung(words))
	}
	return out, nil
}

// sung are words without the sign that stands between bars.
func sung(words string) string { return plain(strings.ReplaceAll(words, "|", " ")) }

// opens marks where repeats begin whose beginning was left out: after the one
// before, or at the beginning of the section.
func opens(c *chart.Chart) {
	for i := range c.Sections {
		var from *chart.Bar
		ended := false
		for j := range c.Sections[i].Lines {
			for k := range c.Sections[i].Lines[j].Bars {
				bar := &c.Sections[i].Lines[j].Bars[k]
				switch {
				case bar.Number == 0:
					continue
				case bar.Opens, from == nil, ended && bar.Ending == 0:
					from, ended = bar, false
				}
				if bar.Closes {
					from.Opens, ended = true, true
				}
			}
		}
	}
}
