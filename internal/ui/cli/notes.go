package cli

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"undersong/internal/music/chord"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/text/visible"
	"undersong/internal/ui/words"
)

// chartFor is the chart that a pattern is shown over.
func (o *patternsShowOptions) chartFor(a *App, p *pattern.Pattern) (*chart.Chart, error) {
	if o.chart != "" {
		return a.chartOf(o.chart)
	}
	chords := o.chords
	if chords == "" {
		chords = fewFor(p)
	}
	return chordChart(chords, p)
}

// chordChart makes a chart of chords, one a bar, in the pattern's meter. It is
// in the key of the first chord.
func chordChart(chords string, p *pattern.Pattern) (*chart.Chart, error) {
	m := p.Meter
	if p.AnyMeter() {
		m = meter.Meter{Num: 4, Den: 4}
	}
	names := strings.Fields(strings.ReplaceAll(chords, "|", " "))
	if len(names) == 0 {
		return nil, usagef("--chords wants chords, such as %q", fewChords)
	}
	c := &chart.Chart{Key: pitch.Key{}, Meter: m, Tempo: chart.DefaultTempo}
	var line chart.Line
	for i, name := range names {
		ch, err := chord.Parse(name)
		if err != nil {
			return nil, asUsage(chordError(err))
		}
		if i == 0 && !ch.IsNone() {
			c.Key = ch.Home()
		}
		line.Bars = append(line.Bars, chart.Bar{
			Number: i + 1, Len: m.Bar(), Chords: []chart.Placed{{Dur: m.Bar(), Chord: ch}},
		})
	}
	c.Sections = []chart.Section{{Lines: []chart.Line{line}}}
	if p.PlaysTune() {
		makeTune(c)
	}
	return c, nil
}

// chordError puts a caret under the place where a chord symbol goes wrong.
func chordError(err error) error {
	var e *chord.SymbolError
	if !errors.As(err, &e) {
		return err
	}
	at := utf8.RuneCountInString(visible.Name(e.Symbol[:min(max(e.Offset, 0), len(e.Symbol))]))
	return errorf("%w\n    %s\n    %s^", err, e.Symbol, strings.Repeat(" ", at))
}

// fewFor are a few chords that a pattern is shown over: in minor, where it brings
// chords for minor keys only.
func fewFor(p *pattern.Pattern) string {
	if p.BringsChords() && p.OwnChords(false) == nil {
		return fewMinor
	}
	return fewChords
}

// writeNotes prints a heading and what a pattern asks for over a chart, bar by
// bar.
func (a *App) writeNotes(c *chart.Chart, p *pattern.Pattern, key *pitch.Key, heading string) error {
	s, err := score.Excerpt(c, p, score.Options{Key: key})
	if err != nil {
		return err
	}
	if err := a.writeText(heading); err != nil {
		return err
	}
	for i := range s.Bars {
		if err := writeBar(a.Out, s, i); err != nil {
			return err
		}
	}
	if text := caution(s); text != "" {
		return a.writeText("\n" + text)
	}
	return nil
}

// writeBar prints a bar: its chords, the beats, and the notes of each hand.
func writeBar(w io.Writer, s *score.Score, bar int) error {
	b := s.Bars[bar]
	var beats []string
	var rows [2][]string
	last := meter.Ticks(-1)
	for i := range s.Wants {
		want := &s.Wants[i]
		if want.Bar != bar {
			continue
		}
		if want.At != last {
			last = want.At
			beats = append(beats, words.BeatName(want.Beat, s.Meter))
			rows[0], rows[1] = append(rows[0], ""), append(rows[1], "")
		}
		rows[want.Hand][len(beats)-1] = wantText(s, want)
	}
	table := [][]string{append([]string{"beat"}, beats...)}
	for _, h := range []pattern.Hand{pattern.Right, pattern.Left} {
		if s.Pattern.Rows[h] != nil {
			table = append(table, append([]string{h.String()}, rows[h]...))
		}
	}
	if _, err := fmt.Fprintf(w, "\n%s  %s\n", score.BarName(b.Number), chordsIn(s, b)); err != nil {
		return err
	}
	return writeTable(w, table)
}

// chordsIn are the chords of a bar, in order.
func chordsIn(s *score.Score, b score.Bar) string {
	var names []string
	for i := s.HarmonyAt(b.At); i < len(s.Harmonies) && s.Harmonies[i].At < b.At+b.Len; i++ {
		names = append(names, s.Harmonies[i].Chord.String())
	}
	return strings.Join(names, "  ")
}

// wantText is a stroke's notes with their octaves, and its accent.
func wantText(s *score.Score, w *score.Want) string {
	var names []string
	for _, k := range w.Keys() {
		names = append(names, k.Spell(w.Chord.Spell(k.Class(), s.Key)).String())
	}
	text := strings.Join(names, " ")
	if w.Accent {
		text += " >"
	}
	return text
}

// capital begins a sentence.
func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// writeTable prints rows in columns, two spaces apart.
func writeTable(w io.Writer, rows [][]string) error {
	var widths []int
	for _, row := range rows {
		for i, cell := range row {
			if i == len(widths) {
				widths = append(widths, 0)
			}
			widths[i] = max(widths[i], utf8.RuneCountInString(cell))
		}
	}
	for _, row := range rows {
		var line strings.Builder
		for i, cell := range row {
			line.WriteString(cell + strings.Repeat(" ", widths[i]-utf8.RuneCountInString(cell)+2))
		}
		if _, err := io.WriteString(w, strings.TrimRight(line.String(), " ")+"\n"); err != nil {
			return err
		}
	}
	return nil
}
