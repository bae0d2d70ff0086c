package sitting

import (
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/score"
)

// NewPiece is a score as faces show it, with the chart that it was made of, in its
// key.
func NewPiece(h Heading, s *score.Score, c *chart.Chart) *Piece {
	p := &Piece{Heading: h, Score: s, Low: 127}
	for i := range s.Wants {
		for _, t := range s.Wants[i].Tones {
			p.Low, p.High = min(p.Low, t.Key), max(p.High, t.Key)
		}
	}
	if p.High == 0 {
		p.Low = 0
	}
	if c != nil {
		p.print(c)
	}
	return p
}

// print sets out the bars of the chart from the first that is played to the last.
func (p *Piece) print(c *chart.Chart) {
	first, last := p.printed()
	n := 0
	for _, section := range c.Sections {
		name := section.Name
		for _, line := range section.Lines {
			begins := true
			for i := range line.Bars {
				if n >= first && n <= last {
					p.Bars = append(p.Bars, barOf(c, &line.Bars[i], name, begins))
					name, begins = "", false
				}
				n++
			}
		}
	}
}

// printed are the first and the last bar of the chart that are played.
func (p *Piece) printed() (first, last int) {
	first = p.Score.Bars[0].Printed
	for _, b := range p.Score.Bars {
		first, last = min(first, b.Printed), max(last, b.Printed)
	}
	return first, last
}

// Printed is the bar of Bars that a bar of the score is.
func (p *Piece) Printed(bar int) int {
	first, _ := p.printed()
	return p.Score.Bars[bar].Printed - first
}

func barOf(c *chart.Chart, b *chart.Bar, section string, newLine bool) Bar {
	out := Bar{Number: b.Number, Section: section, NewLine: newLine, Lyrics: b.Lyrics}
	for _, p := range b.Chords {
		out.Chords = append(out.Chords, ChordAt{Chord: p.Chord, Beat: c.Meter.BeatAt(p.At)})
	}
	return out
}

// Line is the run of the piece's bars, by their printed numbers, that stands on one
// line of the chart with a bar of the score. An upbeat belongs to none.
func (p *Piece) Line(bar int) score.Span {
	at := p.Printed(bar)
	from, to := at, at
	for from > 0 && !p.Bars[from].NewLine {
		from--
	}
	for to+1 < len(p.Bars) && !p.Bars[to+1].NewLine {
		to++
	}
	if p.Bars[at].Number < 0 {
		return score.IntroBars
	}
	return score.Span{From: max(1, p.Bars[from].Number), To: max(1, p.Bars[to].Number)}
}

// LineStart is the bar of the score at which the line of the chart begins that a bar
// stands on, within what is played.
func (p *Piece) LineStart(bar int) int {
	for bar > 0 {
		at := p.Printed(bar)
		if p.Bars[at].NewLine || p.Printed(bar-1) != at-1 {
			break
		}
		bar--
	}
	return bar
}

// FirstWant is the first stroke that is waited for from a bar of the score on, or -1.
func (p *Piece) FirstWant(bar int) int {
	for i := range p.Score.Wants {
		if w := &p.Score.Wants[i]; w.Bar >= bar && p.Score.Only.Judges(w.Hand) {
			return i
		}
	}
	return -1
}

// FirstNote is a notice of where the first note is waited for; ok is false where that
// is plainly the beginning.
func (p *Piece) FirstNote() (n Notice, ok bool) {
	first := p.FirstWant(0)
	if first < 0 {
		return Notice{}, false
	}
	w := &p.Score.Wants[first]
	return Notice{Kind: FirstNote, First: first}, w.Bar > 0 || w.Beat != 1 || p.Score.Bars[0].Number == 0
}
