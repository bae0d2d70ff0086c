package page

import (
	"fmt"
	"html"
	"strings"

	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/score"
)

// The measures of an outline, in tenths of a millimetre.
const (
	wide  = 1700 // a phrase of the longest length
	step  = 16   // a semitone
	above = 30   // over the highest note
	below = 90   // under the lowest, with the words
)

// Outline is the tune's ups and downs, a line for each phrase, for finding it by
// ear: how long and how high its notes are against each other, where the home note
// lies, and the words; no note is named. The error is a chart without a tune.
func Outline(c *chart.Chart, p Paper) ([]byte, error) {
	s, err := score.Tune(c, score.Options{})
	if err != nil {
		return nil, err
	}
	css := sheetCSS + `svg { display: block; width: 100%; margin: 2mm 0; break-inside: avoid; }
`
	o := &outline{s: s, low: 127, high: 0}
	for i, n := range s.Melody {
		o.low, o.high = min(o.low, n.Key()), max(o.high, n.Key())
		if i+1 == len(s.Melody) || s.Melody[i+1].Phrase != n.Phrase {
			o.ends = append(o.ends, i+1)
		}
	}
	first := 0
	for _, end := range o.ends {
		o.longest = max(o.longest, s.Melody[end-1].At+s.Melody[end-1].Dur-s.Melody[first].At)
		first = end
	}
	body := heading(c, "the tune's outline; the dashed line is the home note")
	first = 0
	for _, end := range o.ends {
		body += o.phrase(first, end)
		first = end
	}
	return document(titled(c, "outline"), p, "15mm", css, body), nil
}

// outline is a tune being drawn.
type outline struct {
	s         *score.Score
	low, high pitch.Num
	ends      []int // behind the last note of each phrase
	longest   meter.Ticks
}

func (o *outline) y(k pitch.Num) int { return above + step*int(o.high-k) }

// phrase draws notes as a line: level as long as a note sounds, then up or down.
func (o *outline) phrase(from, to int) string {
	begins := o.s.Melody[from].At
	x := func(at meter.Ticks) int { return int((at - begins) * wide / o.longest) }
	height := o.y(o.low) + below
	var b strings.Builder
	fmt.Fprintf(&b, "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"-20 0 %d %d\">\n", wide+40, height)
	home := o.s.Key.Tonic.Class().From(o.low)
	for ; home <= o.high; home += 12 {
		fmt.Fprintf(&b, "<path d=\"M0 %d H%d\" stroke=\"gray\" stroke-width=\"2\" stroke-dasharray=\"12 12\"/>\n", o.y(home), wide)
	}
	for i := range o.s.Bars {
		if at := o.s.Bars[i].At; at >= begins && at < o.s.Melody[to-1].At+o.s.Melody[to-1].Dur {
			fmt.Fprintf(&b, "<path d=\"M%d %d V%d\" stroke=\"silver\" stroke-width=\"2\"/>\n", x(at), above-20, height-below+20)
		}
	}
	line := ""
	for i := from; i < to; i++ {
		n := o.s.Melody[i]
		if i == from || o.s.Melody[i-1].At+o.s.Melody[i-1].Dur < n.At {
			line += "M"
		} else {
			line += "L"
		}
		y := o.y(n.Key())
		line += fmt.Sprintf("%d %d H%d ", x(n.At), y, x(n.At+n.Dur)-6)
		fmt.Fprintf(&b, "<circle cx=\"%d\" cy=\"%d\" r=\"9\"/>\n", x(n.At), y)
	}
	fmt.Fprintf(&b, "<path d=\"%s\" fill=\"none\" stroke=\"black\" stroke-width=\"6\" stroke-linejoin=\"round\"/>\n", strings.TrimSpace(line))
	o.lyrics(&b, from, to, x, height-25)
	b.WriteString("</svg>\n")
	return b.String()
}

// lyrics writes the words of a phrase's bars under it.
func (o *outline) lyrics(b *strings.Builder, from, to int, x func(meter.Ticks) int, y int) {
	const size = 34
	told, free := -1, 0
	for i := from; i < to; i++ {
		n := o.s.Melody[i]
		if n.Bar == told {
			continue
		}
		told = n.Bar
		words, notes := o.wordsFrom(n.Bar), notesOf(o.s, n.Bar)
		for k, w := range words {
			m := o.s.Melody[notes[k*len(notes)/len(words)]]
			if m.Phrase == n.Phrase {
				at := max(x(m.At), free) // words that are near stand one behind the other
				free = at + int(size*(ems(w)+0.3))
				fmt.Fprintf(b, "<text x=\"%d\" y=\"%d\" font-family=\"Liberation Serif, Times New Roman, serif\" font-size=\"%d\">%s</text>\n", at, y, size, html.EscapeString(w))
			}
		}
	}
}

// wordsFrom are the words of a bar, and of those after it in which no note begins.
func (o *outline) wordsFrom(bar int) []string {
	printed := o.s.Chart.Bars()
	var words []string
	for i := bar; i < len(o.s.Bars) && (i == bar || len(notesOf(o.s, i)) == 0); i++ {
		if all := printed[o.s.Bars[i].Printed].Lyrics; len(all) > 0 {
			words = append(words, strings.Fields(all[min(o.s.Bars[i].Pass, len(all))-1])...)
		}
	}
	return words
}

// notesOf are the notes that begin in a bar.
func notesOf(s *score.Score, bar int) []int {
	var all []int
	for i, n := range s.Melody {
		if n.Bar == bar {
			all = append(all, i)
		}
	}
	return all
}
