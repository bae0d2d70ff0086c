package mxml

import (
	"slices"

	"undersong/internal/music/meter"
)

// Span is a note (or a chord of notes that begin and end together) or a rest in a
// bar.
type Span struct {
	At, Dur meter.Ticks // in the bar
	Rest    bool
}

// Piece is a span, or a part of one, as one note head or rest.
type Piece struct {
	Value
	Rest          bool
	Of            int      // the span's index
	First, Last   bool     // of its span: between them the pieces of a note are tied
	Opens, Closes bool     // a tuplet's bracket begins, ends here
	Beams         []string // <beam> 1, 2 ...: "begin", "continue", "end", "forward hook", "backward hook"
}

// Pieces writes the spans of one voice in one bar, which follow one another, with
// values, tuplets and beams.
func Pieces(spans []Span, m meter.Meter) []Piece {
	var all []Piece
	todo := make([]Piece, len(spans))
	for i, s := range spans {
		todo[i] = Piece{Value: Value{At: s.At, Dur: s.Dur}, Rest: s.Rest, Of: i}
	}
	for len(todo) > 0 {
		p := todo[0]
		if p.At%shortest == 0 && p.Dur%shortest == 0 {
			all = append(all, p.cut(m)...)
			todo = todo[1:]
			continue
		}
		if t := tupletOf(todo, m); len(t) > 0 {
			all = append(all, t...)
			todo = todo[len(t):]
			continue
		}
		if c := cutAtBeat(todo, m); len(c) > len(todo) {
			todo = c
			continue
		}
		all = append(all, p.odd())
		todo = todo[1:]
	}
	for i := range all {
		all[i].First = i == 0 || all[i-1].Of != all[i].Of
		all[i].Last = i == len(all)-1 || all[i+1].Of != all[i].Of
	}
	beam(all, m)
	return all
}

// cutAtBeat cuts the piece in two that lies over the end of the beat in which the
// first begins, if one does.
func cutAtBeat(todo []Piece, m meter.Meter) []Piece {
	end := todo[0].At - todo[0].At%m.Beat() + m.Beat()
	for i, p := range todo {
		if p.At < end && end < p.At+p.Dur {
			head, tail := p, p
			head.Dur, tail.At, tail.Dur = end-p.At, end, p.At+p.Dur-end
			return slices.Concat(todo[:i], []Piece{head, tail}, todo[i+1:])
		}
	}
	return todo
}

// cut is a piece without tuplets as those that can be written.
func (p Piece) cut(m meter.Meter) []Piece {
	values := Values(p.At, p.Dur, m)
	if p.Rest {
		values = Rests(p.At, p.Dur, m)
	}
	all := make([]Piece, len(values))
	for i, v := range values {
		all[i] = p
		all[i].Value = v
	}
	return all
}

// ratios are the tuplets that are looked for, the usual first.
var ratios = []struct{ actual, normal int }{{3, 2}, {5, 4}, {6, 4}, {7, 4}, {9, 8}}

// mostInTuplet bounds the notes of one.
const mostInTuplet = 32

// near is how far a length may be off: sevenths and ninths of a quarter are no
// whole numbers of ticks.
const near = 2

// tupletOf is the tuplet that begins the pieces, each as one value, within a beat
// or of three notes at least; nil where there is none.
func tupletOf(pieces []Piece, m meter.Meter) []Piece {
	if pieces[0].At%shortest != 0 {
		return nil
	}
	for _, r := range ratios {
		var sum meter.Ticks
		var t []Piece
		for _, p := range pieces[:min(len(pieces), mostInTuplet)] {
			l, ok := lengthNear(p.Dur*meter.Ticks(r.actual), r.normal)
			if !ok {
				break
			}
			p.Type, p.Dots, p.Actual, p.Normal = l.kind, l.dots, r.actual, r.normal
			t = append(t, p)
			if sum += p.Dur; sum%shortest == 0 {
				if len(t) < 3 && pieces[0].At/m.Beat() != (pieces[0].At+sum-1)/m.Beat() {
					return nil
				}
				t[0].Opens, t[len(t)-1].Closes = true, true
				return t
			}
		}
	}
	return nil
}

// lengthNear finds the length that dur/by is.
func lengthNear(dur meter.Ticks, by int) (length, bool) {
	for _, l := range lengths {
		if d := dur - l.dur*meter.Ticks(by); -near*by <= int(d) && int(d) <= near*by {
			return l, true
		}
	}
	return length{}, false
}

// odd is a length that no tuplet explains: the next longer value, shortened.
func (p Piece) odd() Piece {
	best := lengths[0]
	for _, l := range lengths {
		if l.dots == 0 && l.dur >= p.Dur {
			best = l
		}
	}
	a, b := int(best.dur), int(p.Dur)
	for b != 0 {
		a, b = b, a%b
	}
	p.Type, p.Actual, p.Normal = best.kind, int(best.dur)/a, int(p.Dur)/a
	p.Opens, p.Closes = true, true
	return p
}
