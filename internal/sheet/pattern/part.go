package pattern

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"undersong/internal/music/harmony"
	"undersong/internal/music/meter"
	"undersong/internal/text/source"
)

// Part is what of a piece a pattern is for.
type Part uint8

// The parts.
const (
	Accompaniment Part = iota // as long as the tune is
	Intro                     // bars before the tune
	Fill                      // one bar, or the end of one
	Turnaround                // the last bars before the tune comes again
	Ending                    // the last bars
)

var partWords = [...]string{"accompaniment", "intro", "fill", "turnaround", "ending"}

func (p Part) String() string { return partWords[p] }

// PartWords are the words for parts, in order.
func PartWords() []string { return slices.Clone(partWords[:]) }

// ParsePart reads a part's word.
func ParsePart(s string) (Part, error) {
	if i := slices.Index(partWords[:], s); i >= 0 {
		return Part(i), nil
	}
	return 0, fmt.Errorf("part %q is not one of %s", s, strings.Join(partWords[:], ", "))
}

// Chords is one bar of the harmony that a pattern brings: numerals, and an empty
// one for a dot, which goes on with the chord before.
type Chords []harmony.Numeral

// dot is a beat that goes on with the chord before.
func dot(n harmony.Numeral) bool { return n.String() == "" }

// String writes the bar as a file has it.
func (c Chords) String() string {
	words := make([]string, len(c))
	for i, n := range c {
		if words[i] = n.String(); dot(n) {
			words[i] = "."
		}
	}
	return strings.Join(words, " ")
}

// Unit is what each of the bar's signs lasts in a meter; 0 where they do not fill
// it.
func (c Chords) Unit(m meter.Meter) meter.Ticks {
	return m.Share(len(c), slices.ContainsFunc(c, dot), m.Bar())
}

// OwnChords are the bars of harmony that the pattern brings for a mode; nil where
// it brings none.
func (p *Pattern) OwnChords(minor bool) []Chords {
	if minor {
		return p.Harmony[1]
	}
	return p.Harmony[0]
}

// BringsChords reports a pattern with a harmony of its own.
func (p *Pattern) BringsChords() bool { return p.Harmony[0] != nil || p.Harmony[1] != nil }

// Bars is how many bars a part of a piece has: those of its chords, or else of
// its rows.
func (p *Pattern) Bars() int { return max(p.Length, len(p.Harmony[0]), len(p.Harmony[1])) }

// FillsFrom is where in its bar a fill takes a hand over from the accompaniment;
// at the bar's end where it leaves that hand alone.
func (p *Pattern) FillsFrom(h Hand, m meter.Meter) meter.Ticks {
	row := p.Rows[h]
	if row == nil {
		return m.Bar()
	}
	n := 0
	for n < len(row) && row[n].Kind == GoOn {
		n++
	}
	return meter.Ticks(n) * p.Grid.Ticks(m)
}

// LastStroke is where the last stroke of a part of a piece begins, from its first
// bar on.
func (p *Pattern) LastStroke(m meter.Meter) meter.Ticks {
	last := meter.Ticks(0)
	cell := p.Grid.Ticks(m)
	for h := range p.Rows {
		for i := 0; p.Rows[h] != nil && i < p.Bars()*p.CellsPerBar(m); i++ {
			if n := p.CellsPerBar(m); p.Cell(Hand(h), m, i/n, i%n).Strikes() {
				last = max(last, meter.Ticks(i)*cell)
			}
		}
	}
	return last
}

// The bounds of a ritardando: how much longer its last beat is. Listeners took
// final tempi down to a third and less in the recordings that Friberg and Sundberg
// measured (1999); below this least one hears no ritardando.
const (
	leastSlowing = 1.05
	mostSlowing  = 4
)

func (p *parser) setPart(value string, at int) error {
	part, err := ParsePart(value)
	if err != nil {
		return p.fail(at, err.Error(), "leave it out in an accompaniment")
	}
	p.p.Part = part
	return nil
}

func (p *parser) setSlowing(value string, at int) error {
	v, err := strconv.ParseFloat(value, 64)
	if p.p.Slowing = v; err != nil || !(v >= leastSlowing && v <= mostSlowing) {
		return p.fail(at, fmt.Sprintf("slowing %q", short(value)), fmt.Sprintf("slowing says how much longer the last beat is, %g to %g times, as in slowing: 1.5", leastSlowing, float64(mostSlowing)))
	}
	return nil
}

// readChords reads the harmony for a mode from a heading.
func (p *parser) readChords(mode int, name string) error {
	line, ok := p.seen[name]
	if !ok {
		return nil
	}
	p.line = line
	text := p.lines[line]
	offset := strings.IndexByte(text, ':') + 1
	for _, bar := range strings.Split(text[offset:], "|") {
		c, err := p.readChordBar(bar, offset)
		if err != nil {
			return err
		}
		p.p.Harmony[mode] = append(p.p.Harmony[mode], c)
		offset += len(bar) + 1
	}
	if len(p.p.Harmony[mode]) > MaxLength {
		return p.fail(strings.IndexByte(text, ':')+1, fmt.Sprintf("chords for %d bars are too many", len(p.p.Harmony[mode])), fmt.Sprintf("a pattern has at most %d bars", MaxLength))
	}
	return nil
}

func (p *parser) readChordBar(bar string, offset int) (Chords, error) {
	var c Chords
	for _, w := range source.Words(bar) {
		var n harmony.Numeral
		if w.Text != "." {
			var err error
			if n, err = harmony.ParseNumeral(w.Text); err != nil {
				return nil, p.fail(offset+w.Offset, err.Error(), harmony.NumeralForms)
			}
		} else if len(c) == 0 {
			return nil, p.fail(offset+w.Offset, "there is no chord in this bar for the dot to go on with", "begin each bar with its chord")
		}
		c = append(c, n)
	}
	m := p.p.Meter
	switch {
	case len(c) == 0:
		return nil, p.fail(offset, "this bar has no chord", "write a numeral in each bar, as in chords: I vi | ii V7")
	case p.p.AnyMeter() && len(c) > 1:
		return nil, p.fail(offset, "a pattern for any meter has one chord a bar", "name a meter to write more")
	case !p.p.AnyMeter() && c.Unit(m) == 0:
		return nil, p.fail(offset, fmt.Sprintf("%d signs do not fill a bar of %s", len(c), m), fmt.Sprintf("write one chord or dot for each of the %d beats", m.Beats()))
	}
	return c, nil
}

// modeHeadings are the headings with the harmony for major and minor keys.
var modeHeadings = [2]string{"chords", "chords-minor"}

// checkPart checks what belongs to parts of a piece only.
func (p *parser) checkPart() error {
	pt := p.p
	for mode, name := range modeHeadings {
		if err := p.readChords(mode, name); err != nil {
			return err
		}
	}
	at := func(name string) { p.line = p.seen[name] }
	switch {
	case pt.BringsChords() && (pt.Part == Accompaniment || pt.Part == Fill):
		at(p.firstSeen(modeHeadings[:]...))
		return p.fail(0, fmt.Sprintf("only an intro, a turnaround or an ending brings chords; other patterns, this %s too, go over the chart's", pt.Part), "leave the chords out, or say part: intro and the like")
	case pt.Slowing != 0 && pt.Part != Ending:
		at("slowing")
		return p.fail(0, "only an ending slows down", "write part: ending, or leave it out")
	case pt.Part == Fill && pt.AnyMeter():
		at("meter")
		return p.fail(0, "a fill is for one meter", "name the meter")
	case pt.Part == Fill && pt.Length > 1:
		at(p.firstSeen("left", "right"))
		return p.fail(0, fmt.Sprintf("this fill has %d bars", pt.Length), "a fill has one bar; begin it with % where only the end is its own")
	}
	return p.checkBarCount()
}

// checkBarCount lets chords and rows have as many bars as each other. One cell for
// any meter has as many as there are chords.
func (p *parser) checkBarCount() error {
	pt := p.p
	bars := pt.Length
	for mode, own := range pt.Harmony {
		if pt.AnyMeter() && own != nil && (mode == 0 || pt.Harmony[0] == nil) {
			bars = len(own)
		}
		if own != nil && len(own) != bars {
			p.line = p.seen[modeHeadings[mode]]
			return p.fail(0, fmt.Sprintf("there are chords for %d bars, and %d bars to play", len(own), bars), "give each bar its chords")
		}
	}
	m := pt.Meter
	if pt.AnyMeter() {
		m = meter.Meter{Num: 4, Den: 4}
	}
	if pt.Slowing != 0 && pt.LastStroke(m) == 0 {
		p.line = p.seen["slowing"]
		return p.fail(0, "nothing is struck that could slow down", "let the ending have more than one stroke")
	}
	return nil
}

// firstSeen is the first of some headings that stands in the file.
func (p *parser) firstSeen(names ...string) string {
	for _, n := range names {
		if _, ok := p.seen[n]; ok {
			return n
		}
	}
	return ""
}

// checkGoOn lets cells that go on with the accompaniment stand only where a bar
// of a fill begins.
func (p *parser) checkGoOn(h Hand, i int, c Cell) error {
	switch {
	case c.Kind != GoOn:
		return nil
	case p.p.Part != Fill:
		return p.failCell(h, i, "% goes on with the accompaniment, and this is no fill", "write . for a rest, or part: fill")
	case i > 0 && p.p.Rows[h][i-1].Kind != GoOn:
		return p.failCell(h, i, "a fill goes on to the end of its bar", "write % only where the bar begins")
	}
	return nil
}

// chordsText writes the harmony for a mode.
func (p *Pattern) chordsText(mode int) string {
	bars := make([]string, len(p.Harmony[mode]))
	for i, c := range p.Harmony[mode] {
		bars[i] = c.String()
	}
	return strings.Join(bars, " | ")
}

// Each yields the chords of a bar with their places in it, in order.
func (c Chords) Each(m meter.Meter, yield func(at, dur meter.Ticks, n harmony.Numeral)) {
	unit := c.Unit(m)
	for i := 0; i < len(c); {
		j := i + 1
		for j < len(c) && dot(c[j]) {
			j++
		}
		yield(meter.Ticks(i)*unit, meter.Ticks(j-i)*unit, c[i])
		i = j
	}
}
