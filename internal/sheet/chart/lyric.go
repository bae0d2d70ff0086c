package chart

import (
	"fmt"
	"strings"

	"undersong/internal/music/meter"
)

// isWords reports a line that says itself that it is words.
func isWords(text string) bool {
	return len(text) >= 2 && (text[0] == 'w' || text[0] == 'W') && text[1] == ':'
}

// words reads a w: line.
func (p *parser) words(raw string) {
	if p.under == nil {
		if p.lost {
			return
		}
		p.fail(indent(raw), "these words stand under no bars", "words go on the line directly below their bars")
		return
	}
	_, text, _ := strings.Cut(raw, ":")
	if !strings.Contains(text, "|") {
		p.addVerse(text)
		return
	}
	parts := strings.Split(text, "|")
	for i := range parts {
		parts[i] = single(parts[i])
	}
	if parts[0] == "" && p.under.Bars[0].Number != 0 {
		parts = parts[1:] // before the barline that begins bar 1 of the line
	}
	if n := len(parts) - 1; n >= 0 && parts[n] == "" {
		parts = parts[:n]
	}
	if len(parts) > len(p.under.Bars) {
		p.fail(indent(raw), fmt.Sprintf("words for %d bars stand under %d", len(parts), len(p.under.Bars)), "put as many | in the words as in the bars above")
		return
	}
	if p.roomForVerse() {
		p.under.addVerse(single(strings.Join(parts, " ")), parts)
	}
}

func (p *parser) addVerse(text string) {
	text = single(text)
	if p.roomForVerse() {
		p.under.addVerse(text, spread(text, p.under.Bars))
	}
}

const mostVerses = 20

func (p *parser) roomForVerse() bool {
	if len(p.under.Lyrics) < mostVerses {
		return true
	}
	p.fail(1, fmt.Sprintf("more than %d lines of words stand under one line of bars", mostVerses), "write the bars again for further verses")
	return false
}

func (l *Line) addVerse(text string, parts []string) {
	l.Lyrics = append(l.Lyrics, text)
	for i := range l.Bars {
		part := ""
		if i < len(parts) {
			part = parts[i]
		}
		l.Bars[i].Lyrics = append(l.Bars[i].Lyrics, part)
	}
}

// single makes every run of spaces one space.
func single(s string) string { return strings.Join(strings.Fields(s), " ") }

// spread shares the words of a line out among its bars by their length.
func spread(text string, bars []Bar) []string {
	words := strings.Fields(text)
	parts := make([]string, len(bars))
	var total meter.Ticks
	for _, b := range bars {
		total += b.Len
	}
	from, end := 0, meter.Ticks(0)
	for i, b := range bars {
		end += b.Len
		to := from
		for to < len(words) && meter.Ticks(to)*total < end*meter.Ticks(len(words)) {
			to++
		}
		parts[i] = strings.Join(words[from:to], " ")
		from = to
	}
	return parts
}
