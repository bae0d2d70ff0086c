package page

import (
	"fmt"
	"html"
	"strings"
	"unicode"

	"undersong/internal/music/meter"
	"undersong/internal/sheet/chart"
	"undersong/internal/text/syllable"
)

const sheetCSS = `body { font: 12pt/1.35 "Liberation Serif", "Times New Roman", Times, serif; max-width: 180mm; margin: 8mm auto; color: black; }
h1 { font-size: 20pt; text-align: center; margin: 0 0 1mm; }
h2 { font-size: 12pt; margin: 5mm 0 1mm; break-after: avoid; }
.by { text-align: center; margin: 0 0 4mm; }
@media print { body { margin: 0; max-width: none; } }
`

// heading is title, author and what is told below them.
func heading(c *chart.Chart, below string) string {
	text := ""
	if c.Title != "" {
		text += "<h1>" + html.EscapeString(c.Title) + "</h1>\n"
	}
	var all []string
	for _, t := range []string{c.By, below} {
		if t != "" {
			all = append(all, html.EscapeString(t))
		}
	}
	return text + "<p class=\"by\">" + strings.Join(all, " · ") + "</p>\n"
}

// about is key, meter and tempo.
func about(c *chart.Chart) string {
	key := "key of " + signs(c.Key.Tonic.String())
	if c.Key.Minor {
		key += " minor"
	}
	text := key + ", " + c.Meter.String()
	if !c.Untimed {
		text += fmt.Sprintf(", %g beats a minute", float64(c.Tempo))
	}
	return text
}

// signs writes sharps and flats as musicians do.
func signs(symbol string) string {
	return strings.NewReplacer("#", "♯", "b", "♭").Replace(symbol)
}

// piece is a syllable, or nothing, with the chord name over it.
type piece struct{ chord, text string }

// Words is a sheet of the words with chord names over the syllables that they are
// struck with, verse by verse.
func Words(c *chart.Chart, p Paper) []byte {
	css := sheetCSS + `.line { margin: 0 0 1.5mm; break-inside: avoid; }
.line span { display: inline-block; white-space: pre; vertical-align: bottom; }
.line b { display: block; font: bold 10pt/1.1 "Liberation Sans", Arial, sans-serif; min-height: 1.1em; padding-right: 0.35em; }
`
	var lines []line
	for i := range c.Sections {
		lines = append(lines, linesOf(c, &c.Sections[i])...)
	}
	leadIn(lines)
	body := heading(c, about(c))
	for _, l := range lines {
		body += l.html()
	}
	return document(titled(c, "words"), p, "15mm", css, body)
}

func titled(c *chart.Chart, what string) string {
	if c.Title == "" {
		return what
	}
	return c.Title + " (" + what + ")"
}

// line is a line of words, or of chords between barlines.
type line struct {
	head   string  // over it; mostly none
	chords string  // where it has no words
	pieces []piece // where it has
	up     int     // how many pieces at its end lead into the next line
}

// linesOf are the verses of a section.
func linesOf(c *chart.Chart, s *chart.Section) (lines []line) {
	verses := 1
	for _, l := range s.Lines {
		verses = max(verses, len(l.Lyrics))
	}
	for v := range verses {
		head := s.Name
		if verses > 1 {
			head = strings.TrimSpace(fmt.Sprintf("%s %d", head, v+1))
		}
		for i := range s.Lines {
			if l := &s.Lines[i]; v == 0 || v < len(l.Lyrics) {
				read := lineOf(c, l, v)
				read.head, head = head, ""
				lines = append(lines, read)
			}
		}
	}
	return lines
}

// lineOf is a line of a chart.
func lineOf(c *chart.Chart, l *chart.Line, verse int) (out line) {
	if verse >= len(l.Lyrics) {
		for i := range l.Bars {
			out.chords += " " + signs(c.ChordsText(&l.Bars[i])) + " |"
		}
		return out
	}
	last, tied := "", false
	for i := range l.Bars {
		b := &l.Bars[i]
		all := pieces(b, verse, &last)
		out.pieces = append(out.pieces, all...)
		out.up = upbeats(b, tied, len(all), c.Upbeat)
		tied = len(b.Melody) > 0 && b.Melody[len(b.Melody)-1].Tied
	}
	return out
}

// upbeats is how many of a bar's syllables are sung to an upbeat at its end, which is
// as long as that of the chart and comes after a note longer than its own. A bar may
// begin with a note that is tied to the bar before, and has no syllable.
func upbeats(b *chart.Bar, tied bool, syllables int, upbeat meter.Ticks) int {
	before, longest, held := 0, meter.Ticks(0), meter.Ticks(0)
	for _, n := range b.Melody {
		if n.At < b.Len-upbeat {
			before, held = before+1, n.Dur
		} else {
			longest = max(longest, n.Dur)
		}
	}
	n, sung := syllables-before, len(b.Melody)-before
	if tied {
		n++
	}
	if held <= longest || n <= 0 || n > sung {
		return 0
	}
	return n
}

// leadIn moves the words of an upbeat, where they are whole, to the line into which
// they lead.
func leadIn(lines []line) {
	for i := range lines[:max(len(lines)-1, 0)] {
		l, next := &lines[i], &lines[i+1]
		at := len(l.pieces) - l.up
		whole := at == 0 || strings.HasSuffix(l.pieces[at-1].text, " ")
		if whole && len(next.pieces) > 0 {
			next.pieces = append(l.pieces[at:len(l.pieces):len(l.pieces)], next.pieces...)
			l.pieces = l.pieces[:at]
		}
	}
}

func (l *line) html() string {
	text := ""
	if l.head != "" {
		text = "<h2>" + html.EscapeString(l.head) + "</h2>\n"
	}
	if len(l.pieces) == 0 && l.chords != "" {
		return text + "<div class=\"line\"><b>|" + html.EscapeString(l.chords) + "</b></div>\n"
	}
	text += "<div class=\"line\">"
	for _, p := range overhanging(l.pieces) {
		text += fmt.Sprintf("<span><b>%s</b>%s</span>", html.EscapeString(signs(p.chord)), html.EscapeString(p.text))
	}
	return text + "</div>\n"
}

// overhanging joins pieces so that a chord name reaches over what follows its
// syllable: to the end of the word, and as far as the name is long. Where the next
// chord comes first, within a word, a hyphen fills the gap.
func overhanging(all []piece) (joined []piece) {
	for i := 0; i < len(all); {
		p := all[i]
		for i++; p.chord != "" && i < len(all) && all[i].chord == ""; i++ {
			if strings.HasSuffix(p.text, " ") && wider(p.text, p.chord) {
				break
			}
			p.text += all[i].text
		}
		if p.chord != "" && i < len(all) && !strings.HasSuffix(p.text, " ") && !strings.HasSuffix(p.text, "-") && !wider(p.text, p.chord) {
			p.text += "-"
		}
		joined = append(joined, p)
	}
	return joined
}

// wider reports words that take more room than the chord name over them, and the
// gap behind it.
func wider(words, chord string) bool {
	const wordsSize, chordSize, gap = 12, 10 * 1.15, 0.35 * 10 // a bold sans is wider
	return wordsSize*ems(words) >= chordSize*ems(chord)+gap
}

// ems is about how wide a text is in a serif face, in its size.
func ems(text string) (wide float64) {
	for _, r := range text {
		switch {
		case strings.ContainsRune("ijlt.,;:'’!|f ", r):
			wide += 0.28
		case strings.ContainsRune("mwMW", r):
			wide += 0.8
		case unicode.IsUpper(r):
			wide += 0.68
		default:
			wide += 0.48
		}
	}
	return wide
}

// pieces are a bar's words, cut where a chord comes. last is the chord that sounds
// already.
func pieces(b *chart.Bar, verse int, last *string) []piece {
	words := ""
	if verse < len(b.Lyrics) {
		words = b.Lyrics[verse]
	}
	all := cut(words)
	for _, placed := range b.Chords {
		name := placed.Chord.String()
		if name == *last || b.Number == 0 && placed.Chord.IsNone() {
			continue
		}
		*last = name
		at := syllableAt(b, len(all), placed.At)
		for len(all) <= at {
			all = append(all, piece{text: " "})
		}
		if all[at].chord != "" {
			name = all[at].chord + " " + name
		}
		all[at].chord = name
	}
	return all
}

// cut divides words into syllables, with the spaces behind words.
func cut(words string) []piece {
	var all []piece
	for _, w := range strings.Fields(words) {
		for _, s := range syllable.Split(w) {
			all = append(all, piece{text: s})
		}
		if last := &all[len(all)-1]; !strings.HasSuffix(w, "-") {
			last.text += " "
		}
	}
	return all
}

// syllableAt is the syllable of a bar that is sung at a place: by the notes of the
// tune, else by its share of the bar.
func syllableAt(b *chart.Bar, syllables int, at meter.Ticks) int {
	parts, n := b.Len, meter.Ticks(0)
	if len(b.Melody) > 0 {
		parts = meter.Ticks(len(b.Melody))
		for _, m := range b.Melody {
			if m.At < at {
				n++
			}
		}
	} else {
		n = at
	}
	return int((n*meter.Ticks(syllables) + parts - 1) / parts)
}
