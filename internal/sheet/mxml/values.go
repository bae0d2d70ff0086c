package mxml

import (
	"math"

	"undersong/internal/music/meter"
)

// Value is a length that one note head or one rest can have.
type Value struct {
	At, Dur        meter.Ticks // in the bar
	Type           string      // <type>: "quarter", "eighth" ...
	Dots           int
	Actual, Normal int // in a tuplet: so many in the time of so many; else 0
}

// types are the note values of <type>, the longest first.
var types = []string{"breve", "whole", "half", "quarter", "eighth", "16th", "32nd", "64th", "128th", "256th"}

// shortest is a 256th: every length that needs no tuplet is a whole number of
// them.
const shortest = meter.Whole / 256

// length is a length that can be written, with at most one dot.
type length struct {
	dur  meter.Ticks
	kind string
	dots int
}

// lengths are those that can be written, the longest first.
var lengths = func() (all []length) {
	for i, t := range types {
		base := 2 * meter.Whole >> i
		if base*3/2%shortest == 0 {
			all = append(all, length{base * 3 / 2, t, 1})
		}
		all = append(all, length{base, t, 0})
	}
	return all
}()

// Values cuts a note from at to at+dur into note values that show the beats of a
// bar in m: none hides the middle of 4/4 but a half or dotted half on beat 2, none
// longer than a beat begins off the beat in compound meters. Its pieces are to be
// tied. Lengths are whole 256ths; Pieces takes tuplets.
func Values(at, dur meter.Ticks, m meter.Meter) []Value { return cut(at, dur, m, note) }

// Rests cuts a rest likewise; rests follow the beats more closely. A rest for the
// whole bar is written otherwise, see Note.
func Rests(at, dur meter.Ticks, m meter.Meter) []Value { return cut(at, dur, m, rest) }

// part is what may become one value of a note or rest that ends at last.
type part struct {
	at, end, last meter.Ticks
	dots          int
}

func cut(at, dur meter.Ticks, m meter.Meter, allowed func(part, meter.Meter) bool) []Value {
	var all []Value
	for end := at + dur; at < end; {
		var next Value
		for _, l := range lengths {
			if l.dur <= end-at && (l.dur == shortest || allowed(part{at, at + l.dur, end, l.dots}, m)) {
				next = Value{At: at, Dur: l.dur, Type: l.kind, Dots: l.dots}
				break
			}
		}
		if next.Dur == 0 { // less than a 256th is left
			return all
		}
		all = append(all, next)
		at += next.Dur
	}
	return all
}

// note reports that one note may last so long (common practice, no source).
func note(p part, m meter.Meter) bool {
	start, within := strength(p.at, m), strongest(p.at, p.end, m)
	beat := m.Beat()
	onBeats := p.at%beat == 0 && p.end%beat == 0
	switch {
	case p.at == 0 && p.end == m.Bar():
		return true
	case m.Compound() && p.end-p.at > beat && !onBeats, within == middle && irregular(m):
		return false
	case start >= within:
		return true
	case !m.Compound() && onBeats && (p.dots == 0 || p.end == m.Bar()):
		return true // a half on beat 2
	case within < onBeat && p.end%beat == 0:
		return true // a sixteenth, a dotted eighth
	}
	centred := p.dots == 0 && p.end == p.last && strength((p.at+p.end)/2, m) == within
	return centred && within < middle // an eighth, a quarter, an eighth
}

// rest reports that one rest may last so long (common practice, no source).
func rest(p part, m meter.Meter) bool {
	beat, dur := m.Beat(), p.end-p.at
	switch {
	case m.Compound() && !note(p, m), !m.Compound() && p.dots > 0 && dur >= beat, irregular(m) && dur > beat, m.Num == 3 && dur > beat:
		return false
	}
	return strength(p.at, m) >= strongest(p.at, p.end, m)
}

// The strengths of places in a bar, rising; below onBeat are -1, -2 ...
const (
	onBeat = iota
	middle // the middle of four beats; where three and two beats meet
	barline
)

func irregular(m meter.Meter) bool { return m.Num > 4 && m.Num%2 == 1 && !m.Compound() }

// strength is that of a place in a bar.
func strength(at meter.Ticks, m meter.Meter) int {
	beat := m.Beat()
	beats := m.Bar() / beat
	switch {
	case at == 0 || at == m.Bar():
		return barline
	case irregular(m) && at == (beats+1)/2*beat, beats == 4 && 2*at == m.Bar():
		return middle
	case at%beat == 0:
		return onBeat
	}
	s := onBeat - 1
	for part := firstPart(m); part > shortest && at%part != 0; part /= 2 {
		s--
	}
	return s
}

// firstPart is what a beat falls into first: thirds in compound meters.
func firstPart(m meter.Meter) meter.Ticks {
	if m.Compound() {
		return m.Beat() / 3
	}
	return m.Beat() / 2
}

// strongest is the greatest strength between two places, themselves left out.
func strongest(at, end meter.Ticks, m meter.Meter) int {
	beat := m.Beat()
	best := math.MinInt
	for place := at - at%beat + beat; place < end; place += beat {
		best = max(best, strength(place, m))
	}
	if best > math.MinInt {
		return best
	}
	for part := firstPart(m); part >= shortest; part /= 2 {
		if place := at - at%part + part; place < end {
			return strength(place, m)
		}
	}
	return best
}
