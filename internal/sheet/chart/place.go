package chart

import (
	"fmt"
	"strings"

	"undersong/internal/music/meter"
)

// unit is how long each token of a bar lasts; 0 after an error. There may be
// one token a beat, one a half beat (an eighth in compound meters), or chords
// alone that share the beats evenly.
func (p *parser) unit(m measure, length meter.Ticks) meter.Ticks {
	dots := false
	for _, t := range m.tokens {
		dots = dots || t.dot()
	}
	if u := p.c.Meter.Share(len(m.tokens), dots, length); u > 0 {
		return u
	}
	p.uneven(m, length, dots)
	return 0
}

func (p *parser) uneven(m measure, length meter.Ticks, dots bool) {
	where := "a bar of " + p.c.Meter.String()
	if length != p.c.Meter.Bar() {
		where = "the upbeat"
	}
	beats := float64(length) / float64(p.c.Meter.Beat())
	n := len(m.tokens)
	switch {
	case float64(n) > beats:
		p.fail(m.col, fmt.Sprintf("too many beats: %d are written, %s has %s", n, where, number(beats)), p.placeHint(m, length))
	case dots:
		p.fail(m.col, fmt.Sprintf("too few beats: %s written, %s has %s", plural(n), where, number(beats)), p.placeHint(m, length))
	default:
		p.fail(m.col, fmt.Sprintf("%d chords do not share the %s beats of %s evenly", n, number(beats), where), p.placeHint(m, length))
	}
}

func plural(n int) string {
	if n == 1 {
		return "1 beat is"
	}
	return fmt.Sprintf("%d beats are", n)
}

func number(v float64) string { return strings.TrimSuffix(fmt.Sprintf("%.1f", v), ".0") }

// placeHint shows the bar's own chords placed with dots.
func (p *parser) placeHint(m measure, length meter.Ticks) string {
	var chords []string
	for _, t := range m.tokens {
		if !t.dot() {
			chords = append(chords, t.text)
		}
	}
	beats := int(length / p.c.Meter.Beat())
	if len(chords) == 0 || len(chords) > beats || beats > 12 {
		return "write one chord or dot for each beat"
	}
	cells := make([]string, beats)
	for i := range cells {
		cells[i] = "."
	}
	for i, c := range chords { // the longer stretches first
		cells[(i*beats+len(chords)-1)/len(chords)] = c
	}
	return "write one chord or dot for each beat, as in " + strings.Join(cells, " ")
}
