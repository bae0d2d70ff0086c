package abc

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"undersong/internal/music/melody"
	"undersong/internal/music/meter"
	"undersong/internal/sheet/chart"
)

// Write writes a chart as a tune that every reader of abc understands: notes, chord
// symbols, words, repeats and endings. What only charts know stands in instructions
// of ours, so that Read gives the same chart back.
func Write(c *chart.Chart) []byte {
	w := &writer{c: c, tune: melody.NewWriter(melody.Setting{Key: c.Key, Meter: c.Meter, Unit: c.Unit})}
	w.bars = c.Bars()
	w.worded = slices.ContainsFunc(w.bars, func(b *chart.Bar) bool { return len(b.Lyrics) > 0 })
	w.head()
	for i := range c.Sections {
		s := &c.Sections[i]
		if s.Name != "" {
			w.field("P:", s.Name)
		}
		w.fact(factPattern, s.Pattern.Name)
		for j := range s.Lines {
			w.line(&s.Lines[j])
		}
	}
	return []byte(w.out.String())
}

// writer writes a chart; at is the number of bars written.
type writer struct {
	out  strings.Builder
	c    *chart.Chart
	tune *melody.Writer
	bars []*chart.Bar
	at   int

	worded bool // some line has words
}

// field writes a field with a text.
func (w *writer) field(name, value string) {
	w.out.WriteString(name + escape(value) + "\n")
}

// fact writes an instruction of ours, if it says something.
func (w *writer) fact(name, value string) {
	if value != "" {
		w.field("%%"+ourName+" "+name+" ", value)
	}
}

// head writes the fields before the music, X: and T: first, K: last (3.1).
func (w *writer) head() {
	c := w.c
	w.out.WriteString("%abc-2.1\n%%abc-creator " + ourName + "\nX:1\n")
	w.field("T:", c.Title)
	if c.By != "" {
		w.field("C:", c.By)
	}
	w.out.WriteString("%%" + ourName + " " + factChart + "\n")
	w.fact(factPattern, c.Pattern)
	w.fact(factIntro, c.Intro.Name)
	for _, f := range c.Fills {
		w.fact(factFills, f.Name+" at "+list(f.Bars))
	}
	w.fact(factTurnaround, c.Turnaround.Name)
	w.fact(factEnding, c.Ending.Name)
	w.field("M:", c.Meter.String())
	if c.Unit > 0 {
		w.field("L:", strings.TrimSuffix(fmt.Sprintf("1/%d", int(meter.Whole/c.Unit)), "/1"))
	}
	beat := 1
	if c.Meter.Compound() {
		beat = 3
	}
	w.field("Q:", fmt.Sprintf("%d/%d=%s", beat, beat*int(meter.Whole)/int(c.Meter.Beat()), strconv.FormatFloat(float64(c.Tempo), 'f', -1, 64)))
	w.field("K:", c.Key.String())
}

func list(numbers []int) string {
	all := make([]string, len(numbers))
	for i, n := range numbers {
		all[i] = strconv.Itoa(n)
	}
	return strings.Join(all, " ")
}

// line writes a line of bars, the facts about it before it and its words behind.
func (w *writer) line(l *chart.Line) {
	var text strings.Builder
	var same, thin, joined []int
	var sung []slot
	for i := range l.Bars {
		b := &l.Bars[i]
		text.WriteString(w.opening(b, i == 0))
		notes, joins := cutNotes(b)
		for k := range notes {
			sung = append(sung, slot{bar: i, goesOn: joins[k] || k == 0 && w.tiedOver() || k > 0 && notes[k-1].Tied})
			if joins[k] {
				joined = append(joined, len(sung))
			}
		}
		text.WriteString(w.tune.Marked(notes, b.Len, marks(b)))
		w.at++
		sign, isThin := w.closing(b)
		if sign != "|" || i+1 == len(l.Bars) || !l.Bars[i+1].Opens {
			text.WriteString(" " + sign)
		}
		if b.Simile && b.Number > 1 {
			same = append(same, i+1)
		}
		if isThin {
			thin = append(thin, i+1)
		}
	}
	w.fact(factSame, list(same))
	w.fact(factThin, list(thin))
	w.fact(factJoined, list(joined))
	w.out.WriteString(text.String() + "\n")
	if len(sung) == 0 {
		return
	}
	for v := range l.Lyrics {
		w.out.WriteString(strings.TrimRight("w: "+wordsLine(l, v, sung), " ") + "\n")
	}
	if len(l.Lyrics) == 0 && w.worded {
		w.out.WriteString("w:\n") // or the words of a later line would begin here (5.1)
	}
}

// tiedOver reports that the last note of the bar before is tied.
func (w *writer) tiedOver() bool {
	if w.at == 0 {
		return false
	}
	notes := w.bars[w.at-1].Melody
	return len(notes) > 0 && notes[len(notes)-1].Tied
}

// cutNotes cuts the notes of a bar where chords begin within them; joins tells the
// pieces that go on with the one before.
func cutNotes(b *chart.Bar) (notes []melody.Note, joins []bool) {
	for _, n := range b.Melody {
		first := true
		for _, p := range b.Chords {
			if p.At <= n.At || p.At >= n.At+n.Dur {
				continue
			}
			piece := n
			piece.Dur, piece.Tied, piece.Ends = p.At-n.At, true, false
			notes, joins = append(notes, piece), append(joins, !first)
			n.Dur -= piece.Dur
			n.At, first = p.At, false
		}
		notes, joins = append(notes, n), append(joins, !first)
	}
	return notes, joins
}

// marks are the chord symbols of a bar, and below one without notes its words, each
// verse an annotation (4.19).
func marks(b *chart.Bar) []melody.Mark {
	var all []melody.Mark
	for _, p := range b.Chords {
		all = append(all, melody.Mark{At: p.At, Text: `"` + p.Chord.String() + `"`})
	}
	if len(b.Melody) > 0 || !slices.ContainsFunc(b.Lyrics, func(s string) bool { return s != "" }) {
		return all
	}
	for _, words := range b.Lyrics {
		all[0].Text += `"_` + strings.ReplaceAll(escape(words), `"`, "&quot;") + `"`
	}
	return all
}

// opening is what stands before a bar: where a repeat or an ending begins.
func (w *writer) opening(b *chart.Bar, first bool) string {
	text := ""
	if b.Opens {
		text = "|" + strings.Repeat(":", w.timesFrom()-1) + " "
	}
	begins := b.Ending > 0 && (b.Opens || w.at == 0 || w.bars[w.at-1].Ending != b.Ending)
	switch {
	case begins:
		text += fmt.Sprintf("[%d ", b.Ending)
	case text == "" && !first:
		return " "
	}
	if !first {
		text = " " + text
	}
	return text
}

// timesFrom is how often the repeat that begins with the next bar is played, as its
// signs say: 2 where endings tell.
func (w *writer) timesFrom() int {
	for _, b := range w.bars[w.at:] {
		if b.Closes {
			return times(b)
		}
	}
	return 2
}

func times(b *chart.Bar) int {
	if b.Ending > 0 {
		return 2
	}
	return max(b.Times, 2)
}

// closing is the barline behind the bar just written. The last ending, which no
// repeat sign ends, wants a double one (4.10); thin tells that the chart has none.
func (w *writer) closing(b *chart.Bar) (sign string, thin bool) {
	switch {
	case b.Closes:
		return strings.Repeat(":", times(b)-1) + "|", false
	case b.Barline == chart.Double:
		return "||", false
	case b.Barline == chart.Final:
		return "|]", false
	case b.Ending > 0 && (w.at == len(w.bars) || w.bars[w.at].Ending != b.Ending && !w.bars[w.at].Opens):
		return "||", true
	}
	return "|", false
}
