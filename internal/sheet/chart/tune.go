package chart

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"

	"undersong/internal/music/melody"
	"undersong/internal/music/meter"
	"undersong/internal/text/source"
)

// isTune reports a line that says itself that it is the tune of bars.
func isTune(text string) bool { return strings.HasPrefix(text, "m:") }

// tune is a line of the tune that waits for its bars.
type tune struct {
	melody.Line
	line, col int // where its notes begin in the text, from 1
}

// tuneLine reads an m: line: the tune of the bars above it, or of those below
// where the ones above have theirs.
func (p *parser) tuneLine(raw string) {
	if p.lost {
		return
	}
	p.startMusic()
	if p.stop {
		return
	}
	before, text, _ := strings.Cut(raw, ":")
	t := &tune{line: p.at + 1, col: utf8.RuneCountInString(before) + 1}
	var err error
	if t.Line, err = p.tuneReader().Line(text); err != nil {
		p.failTune(t, err)
		return
	}
	switch {
	case p.under != nil && !p.sung:
		p.sung = true
		p.sing(p.under, t)
	case p.tune != nil:
		p.strayTune()
		fallthrough
	default:
		p.tune = t
	}
}

// tuneReader is made with the first line of the tune: the headings are read.
func (p *parser) tuneReader() *melody.Reader {
	if p.reader == nil {
		p.reader = melody.NewReader(p.c.tuneSetting())
	}
	return p.reader
}

func (c *Chart) tuneSetting() melody.Setting {
	return melody.Setting{Key: c.Key, Meter: c.Meter, Unit: c.Unit}
}

func (p *parser) failTune(t *tune, err error) {
	p.sung = true // it is wrong, but it is there
	var e *source.Error
	if errors.As(err, &e) {
		p.failAt(t.line, t.col+e.Col, e.Reason, e.Hint)
	}
}

// strayTune tells of a tune whose bars never came.
func (p *parser) strayTune() {
	if p.tune != nil {
		p.failAt(p.tune.line, 1, "this tune stands with no bars", "write it directly under its line of bars")
		p.tune = nil
	}
}

// sing gives the bars of a line their notes.
func (p *parser) sing(l *Line, t *tune) {
	bars, sung := l.Bars, t.Bars
	if bars[0].Number == 0 && t.Begun {
		bars = bars[1:] // the upbeat is silent
	}
	if len(sung) != len(bars) {
		p.miscounted(t, len(bars))
		return
	}
	for i := range bars {
		b, s := &bars[i], sung[i]
		if !s.Rest && s.Len != b.Len {
			p.unfilled(t, b, s)
			return
		}
		b.Melody = s.Notes
	}
}

// miscounted tells of a tune with more or fewer bars than its line.
func (p *parser) miscounted(t *tune, bars int) {
	col := 1
	switch n := len(t.Bars); {
	case n > bars:
		col = t.Bars[bars].Col
	case n > 0:
		col = t.Bars[0].Col
	}
	p.failAt(t.line, t.col+col, fmt.Sprintf("the tune has %s, its line of bars %d", barCount(len(t.Bars)), bars), "write the notes of every bar, or Z for a bar of rest, with | between")
}

func barCount(n int) string {
	if n == 1 {
		return "1 bar"
	}
	return fmt.Sprintf("%d bars", n)
}

// unfilled tells of a bar of the tune that is too long or too short.
func (p *parser) unfilled(t *tune, b *Bar, s melody.Bar) {
	where := fmt.Sprintf("a bar of %s has", p.c.Meter)
	hint := fmt.Sprintf("take %s away, or put a | where the bar ends", p.beats(s.Len-b.Len))
	if b.Number == 0 {
		where = "the upbeat has"
	}
	if s.Len < b.Len {
		hint = "lengthen a note or add the rest " + melody.Rest(b.Len-s.Len, p.c.tuneSetting())
		if b.Number == 1 && p.c.Upbeat == 0 {
			hint += "; if this is an upbeat, add the heading upbeat: " + upbeatString(s.Len, p.c.Meter)
		}
	}
	p.failAt(t.line, t.col+s.Col, fmt.Sprintf("the notes last %s, %s %s", p.beats(s.Len), where, p.beats(b.Len)), hint)
}

// beats tells a length in beats.
func (p *parser) beats(t meter.Ticks) string {
	n := strconv.FormatFloat(float64(t)/float64(p.c.Meter.Beat()), 'g', 4, 64)
	if n == "1" {
		return "1 beat"
	}
	return n + " beats"
}

// tuneText writes the tune of a line of bars, or nothing where it has none.
func (c *Chart) tuneText(w *melody.Writer, l *Line) string {
	bars := l.Bars
	if bars[0].Number == 0 && len(bars[0].Melody) == 0 {
		bars = bars[1:]
	}
	var parts []string
	notes := 0
	for i := range bars {
		notes += len(bars[i].Melody)
	}
	if notes == 0 {
		return ""
	}
	for i := range bars {
		parts = append(parts, w.Bar(bars[i].Melody, bars[i].Len))
	}
	text := strings.Join(parts, " | ") + " |"
	if bars[0].Number != 0 {
		text = "| " + text
	}
	return "m: " + text + "\n"
}
