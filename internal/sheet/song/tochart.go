package song

import (
	"fmt"
	"slices"
	"strings"

	"undersong/internal/music/meter"
	"undersong/internal/sheet/chart"
	"undersong/internal/text/source"
)

// ToChart is the chart of a song, and what had to be changed for it. A chart has one
// meter of those that are known and whole bars: a song in another note value is
// written in a known one, repeats that a chart has no signs for are written out,
// incomplete bars that belong together are joined and others filled with rest. A
// song that cannot be a chart is a *source.Error: file is its name there.
func (s *Song) ToChart(file string) (*chart.Chart, []Notice, error) {
	if s.Chart != nil {
		return s.Chart, nil, nil
	}
	b := &builder{song: s, file: file}
	if err := b.inOneMeter(); err != nil {
		return nil, nil, err
	}
	c, err := b.asWritten()
	if err != nil {
		c, err = b.writtenOut()
	}
	if err != nil {
		return nil, nil, b.fail(0, "this sheet makes no chart: "+source.Brief(err.Error()), "write it as a chart by hand; undersong manual charts says how")
	}
	return c, b.told, nil
}

// builder makes the chart of a song.
type builder struct {
	song   *Song
	file   string
	meter  meter.Meter // of the chart
	num    meter.Ticks // each length of the song is num/den as long in the chart
	den    meter.Ticks
	told   []Notice
	chords placer
	parts  []*part
}

func (b *builder) fail(line int, reason, hint string) error {
	return &source.Error{File: b.file, Line: max(line, 1), Col: 1, Reason: reason, Hint: hint}
}

func (b *builder) tell(at *Bar, format string, args ...any) {
	n := Notice{Text: fmt.Sprintf(format, args...)}
	if at != nil {
		n.Line = at.Line
	}
	if !slices.Contains(b.told, n) {
		b.told = append(b.told, n)
	}
}

// scale is a length in the chart.
func (b *builder) scale(t meter.Ticks) meter.Ticks { return t * b.num / b.den }

// inOneMeter finds the chart's meter: the song's, or one that counts the same in
// other note values, as 3/4 does for 3/8.
func (b *builder) inOneMeter() error {
	m := b.song.Meter
	b.num, b.den = 1, 1
	for _, f := range []struct{ num, den meter.Ticks }{{1, 1}, {2, 1}, {1, 2}, {4, 1}, {1, 4}} {
		in := meter.Meter{Num: m.Num, Den: m.Den * int(f.den) / int(f.num)}
		if slices.Contains(meter.Known(), in) {
			b.meter, b.num, b.den = in, f.num, f.den
			break
		}
	}
	if b.meter.Num == 0 {
		return b.fail(0, fmt.Sprintf("a chart is not written in %s", m), "the meters of charts are "+knownMeters())
	}
	if b.num != b.den {
		b.tell(nil, "%s is written as %s, with other note values", m, b.meter)
	}
	for _, bar := range b.song.Bars() {
		if bar.Meter.Num > 0 && bar.Meter.Bar() != m.Bar() {
			return b.fail(bar.Line, fmt.Sprintf("the meter changes to %s, and a chart keeps one", bar.Meter), "write the part that you want to practise as a chart of its own")
		}
	}
	return nil
}

func knownMeters() string {
	var all []string
	for _, m := range meter.Known() {
		all = append(all, m.String())
	}
	return strings.Join(all, ", ")
}

// begin begins a chart anew.
func (b *builder) begin() *chart.Chart {
	b.chords, b.parts = placer{b: b}, nil
	return b.head()
}

// head is the chart without its bars.
func (b *builder) head() *chart.Chart {
	s := b.song
	c := &chart.Chart{Title: plain(s.Title), By: plain(s.By), Key: s.Key, Meter: b.meter, Tempo: chart.DefaultTempo, Untimed: true,
		Pattern: s.Pattern, Intro: chart.Ask{Name: s.Intro}, Turnaround: chart.Ask{Name: s.Turnaround}, Ending: chart.Ask{Name: s.Ending}, Unit: s.Unit}
	if f := c.Key.Fifths(); f < -7 || f > 7 {
		c.Key = c.Key.Simplest()
	}
	for _, f := range s.Fills {
		c.Fills = append(c.Fills, chart.Fill{Ask: chart.Ask{Name: f.Name}, Bars: f.Bars})
	}
	if s.Tempo > 0 {
		t := s.Tempo * (meter.Tempo(b.meter.Beats()) / meter.Tempo(s.Meter.Beats())) // by 1, mostly: exactly
		if t >= meter.SlowestTempo && t <= meter.FastestTempo {
			c.Tempo, c.Untimed = t, false
		} else {
			b.tell(nil, "a tempo of %g is out of reach and left out", float64(t))
		}
	}
	return c
}

// plain is a text on one line.
func plain(text string) string { return strings.Join(strings.Fields(text), " ") }

// finished is the chart as it reads back, which proves that it is one: order is how
// its bars have to be played, by their index.
func finished(c *chart.Chart, order []int) (*chart.Chart, error) {
	read, err := chart.Parse([]byte(c.Text()), "")
	if err != nil {
		return nil, err
	}
	at := map[*chart.Bar]int{}
	for i, b := range read.Bars() {
		at[b] = i
	}
	played := read.Unfold()
	if len(played) != len(order) {
		return nil, fmt.Errorf("%d bars are played instead of %d", len(played), len(order))
	}
	for i, p := range played {
		if at[p.Bar] != order[i] {
			return nil, fmt.Errorf("bar %d is played in the wrong place", i+1)
		}
	}
	read.Untimed = c.Untimed
	read.Unplaced()
	return read, nil
}
