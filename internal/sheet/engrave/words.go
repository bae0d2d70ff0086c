package engrave

import (
	"fmt"
	"strings"

	"undersong/internal/music/meter"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/score"
	"undersong/internal/text/syllable"
)

// lyric is a syllable under a note.
type lyric struct {
	verse int // from 1: the line that it stands in
	text  string
	begun bool // its word began before
	goes  bool // its word goes on
	drawn bool // it is sung on through notes without syllables
}

// sung lays the words under the notes of the tune: for each note its syllables. Of
// several verses that belong to one passage each time through has its own, and the
// last has those that are left.
func sung(s *score.Score) [][]lyric {
	w := newUnderlay(s)
	w.all()
	w.draw()
	return w.out
}

// spoken lays the words of a chart without a tune under strokes, by bars, as they come
// in them: whole words, since nobody has said on which stroke each is sung.
func spoken(s *score.Score, strokes []event) [][]lyric {
	c := *s
	c.Melody = nil
	for _, e := range strokes {
		c.Melody = append(c.Melody, score.Note{At: e.at, Dur: e.end - e.at, Bar: s.BarAt(e.at)})
	}
	w := newUnderlay(&c)
	w.whole = true
	w.all()
	return w.out
}

func newUnderlay(s *score.Score) *underlay {
	w := &underlay{s: s, bars: s.Chart.Bars(), out: make([][]lyric, len(s.Melody)), passes: map[int]int{}, of: lineOf(s.Chart)}
	for i := range s.Bars {
		b := &s.Bars[i]
		w.passes[b.Printed] = max(w.passes[b.Printed], b.Pass)
	}
	return w
}

// all lays the words under all bars.
func (w *underlay) all() {
	for from := 0; from < len(w.s.Bars); {
		to := from + 1
		for to < len(w.s.Bars) && w.goesOn(to) {
			to++
		}
		w.line(from, to)
		from = to
	}
}

// underlay is the work of laying words under a tune.
type underlay struct {
	s      *score.Score
	bars   []*chart.Bar
	of     []int // the line of each bar of the chart
	passes map[int]int
	out    [][]lyric
	whole  bool // words are not divided
}

func lineOf(c *chart.Chart) []int {
	var of []int
	n := 0
	for _, sec := range c.Sections {
		for _, l := range sec.Lines {
			for range l.Bars {
				of = append(of, n)
			}
			n++
		}
	}
	return of
}

// goesOn reports a bar of the same line and time through as the one before.
func (w *underlay) goesOn(i int) bool {
	a, b := &w.s.Bars[i-1], &w.s.Bars[i]
	return w.of[a.Printed] == w.of[b.Printed] && a.Pass == b.Pass && b.Printed == a.Printed+1
}

// verses are the first and last verse that a bar shows, from 0; none where last is
// before first.
func (w *underlay) verses(bar int) (first, last int) {
	b := &w.s.Bars[bar]
	n := len(w.bars[b.Printed].Lyrics)
	first = min(b.Pass, n) - 1
	last = first
	if b.Pass == w.passes[b.Printed] {
		last = n - 1
	}
	return max(0, first), last
}

// line lays the words under one line of bars.
func (w *underlay) line(from, to int) {
	first, last := len(w.s.Bars), -1
	for i := from; i < to; i++ {
		f, l := w.verses(i)
		first, last = min(first, f), max(last, l)
	}
	for v := first; v <= last; v++ {
		w.verse(from, to, v, v-first+1, last > first)
	}
}

// verse lays one verse: bar by bar, or where the words of the bars do not fit but
// those of the line do, through the line.
func (w *underlay) verse(from, to, v, row int, numbered bool) {
	var words [][]string
	var notes [][]int
	off, sum := false, 0
	for i := from; i < to; i++ {
		text := ""
		if all := w.bars[w.s.Bars[i].Printed].Lyrics; v < len(all) {
			text = all[v]
		}
		n, fields := w.notesIn(i), strings.Fields(text)
		c := count(fields)
		off, sum = off || c != len(n), sum+c-len(n)
		words, notes = append(words, fields), append(notes, n)
	}
	if off && sum == 0 && !w.whole {
		words, notes = [][]string{flat(words)}, [][]int{flat(notes)}
	}
	keep(words, notes)
	number := numbered && w.begins(from)
	for i := range words {
		if number && len(words[i]) > 0 && len(notes[i]) > 0 {
			words[i] = append([]string{}, words[i]...)
			words[i][0] = fmt.Sprintf("%d. %s", v+1, words[i][0]) // one word, with a space that does not part
			number = false
		}
		w.lay(words[i], notes[i], row)
	}
}

// keep moves the words of bars in which no note begins to the bar before, or where
// there is none to the next: they would be lost.
func keep(words [][]string, notes [][]int) {
	for i := range words {
		if len(notes[i]) > 0 || len(words[i]) == 0 {
			continue
		}
		at := i
		for at >= 0 && len(notes[at]) == 0 {
			at--
		}
		if at >= 0 {
			words[at], words[i] = append(words[at], words[i]...), nil
		} else if i+1 < len(words) {
			words[i+1], words[i] = append(words[i], words[i+1]...), nil
		}
	}
}

// begins reports the first line of a section, or of it once more.
func (w *underlay) begins(bar int) bool {
	return bar == 0 || w.s.Bars[bar-1].Section != w.s.Bars[bar].Section || w.s.Bars[bar-1].Number == 0 || w.s.Bars[bar].Printed <= w.s.Bars[bar-1].Printed
}

// notesIn are the indices of the notes that begin in a bar.
func (w *underlay) notesIn(bar int) []int {
	var all []int
	for i, n := range w.s.Melody {
		if n.Bar == bar {
			all = append(all, i)
		}
	}
	return all
}

func flat[T any](lists [][]T) []T {
	var all []T
	for _, l := range lists {
		all = append(all, l...)
	}
	return all
}

func count(words []string) int {
	n := 0
	for _, w := range words {
		n += syllable.Count(w)
	}
	return n
}

// lay puts the syllables of some words under notes.
func (w *underlay) lay(words []string, notes []int, row int) {
	if len(words) == 0 || len(notes) == 0 {
		return
	}
	if w.whole {
		w.share(words, notes, row)
		return
	}
	all := syllables(words, len(notes))
	for i, at := range chosen(w.weights(notes), len(all)) {
		all[i].verse = row
		w.out[notes[at]] = append(w.out[notes[at]], all[i])
	}
}

// share puts whole words under notes, as evenly as they go.
func (w *underlay) share(words []string, notes []int, row int) {
	for i, at := range notes {
		from, to := share(i, len(words), len(notes)), share(i+1, len(words), len(notes))
		if from < to {
			w.out[at] = append(w.out[at], lyric{verse: row, text: strings.Join(words[from:to], " ")})
		}
	}
}

// share is the first of n words that stands under note i of several.
func share(i, n, notes int) int { return (i*n + notes - 1) / notes }

// weights are how much each note asks for a syllable: long ones and those on strong
// beats most.
func (w *underlay) weights(notes []int) []int {
	all := make([]int, len(notes))
	for i, at := range notes {
		n := &w.s.Melody[at]
		in := n.At - begins(w.s, &w.s.Bars[n.Bar])
		all[i] = 3*int(w.s.Meter.Strength(in)) + int(n.Dur/meter.Sixteenth)
		if i == 0 {
			all[i] += 100
		}
	}
	return all
}

// syllables divides words into at most so many. Where there are more, words keep
// theirs together, the longest first; more words than notes share the last one.
func syllables(words []string, most int) []lyric {
	parts := make([][]string, len(words))
	sum := 0
	for i, word := range words {
		parts[i] = syllable.Split(word)
		sum += len(parts[i])
	}
	for ; sum > most; sum-- {
		longest := 0
		for i := range parts {
			if len(parts[i]) > len(parts[longest]) {
				longest = i
			}
		}
		if n := len(parts[longest]); n > 1 {
			parts[longest] = append(parts[longest][:n-2:n-2], parts[longest][n-2]+parts[longest][n-1])
			continue
		}
		last := len(parts) - 1
		between := " "
		if strings.HasSuffix(parts[last-1][0], "-") {
			between = ""
		}
		parts = append(parts[:last-1], []string{parts[last-1][0] + between + parts[last][0]})
	}
	var all []lyric
	for _, p := range parts {
		for i, text := range p {
			hyphen := strings.HasSuffix(text, "-") && len(text) > 1
			all = append(all, lyric{text: strings.TrimSuffix(text, "-"), begun: i > 0, goes: i+1 < len(p) || hyphen})
			if !hyphen {
				all[len(all)-1].text = text
			}
		}
	}
	for i := 1; i < len(all); i++ {
		all[i].begun = all[i].begun || all[i-1].goes
	}
	return all
}

// chosen are the notes that get so many syllables, in order, those with the most
// weight. There are no more syllables than notes.
func chosen(weights []int, n int) []int {
	taken := make([]bool, len(weights))
	for range n {
		best := -1
		for i, w := range weights {
			if !taken[i] && (best < 0 || w > weights[best]) {
				best = i
			}
		}
		taken[best] = true
	}
	var all []int
	for i, t := range taken {
		if t {
			all = append(all, i)
		}
	}
	return all
}

// draw marks what is sung on through the notes that follow, and words that a line
// before has left open.
func (w *underlay) draw() {
	open := map[int]bool{}
	for i := range w.out {
		for j := range w.out[i] {
			l := &w.out[i][j]
			l.begun = l.begun || open[l.verse]
			open[l.verse] = l.goes
			next := i + 1
			l.drawn = !l.goes && next < len(w.out) && !hasVerse(w.out[next], l.verse) &&
				w.s.Melody[next].At == w.s.Melody[i].At+w.s.Melody[i].Dur && w.bars[w.s.Bars[w.s.Melody[next].Bar].Printed].Lyrics != nil
		}
	}
}

func hasVerse(all []lyric, verse int) bool {
	for _, l := range all {
		if l.verse == verse {
			return true
		}
	}
	return false
}
