package melody

import (
	"fmt"
	"strings"

	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
)

// Writer writes the bars of a tune in order, so that a Reader reads the same
// notes.
type Writer struct {
	set         Setting
	accidentals accidentals
	tied        *pitch.Pitch
}

// NewWriter is a writer at the beginning of a tune.
func NewWriter(s Setting) *Writer { return &Writer{set: s, accidentals: newAccidentals(s.Key)} }

// Bar writes a bar of a length without its barlines. Beams end with the beats.
func (w *Writer) Bar(notes []Note, length meter.Ticks) string {
	if len(notes) == 0 {
		w.tied = nil
		return "Z"
	}
	return w.write(w.spans(notes, length, nil), nil, "!breath!")
}

// Mark is a text that stands before what begins at its place in the bar, such as a
// chord symbol (4.18).
type Mark struct {
	At   meter.Ticks
	Text string
}

// Marked writes a bar as Bar does, with marks in order of their places. Rests are cut
// where they stand, notes must begin there; a whole bar of rest is written as such.
// Phrases end with another mark: players make a pause of a breath, even within a tie.
func (w *Writer) Marked(notes []Note, length meter.Ticks, marks []Mark) string {
	if len(notes) == 0 {
		w.tied = nil
	}
	return w.write(w.spans(notes, length, marks), marks, "!shortphrase!")
}

// write writes notes and rests that follow one another, an end before the last note of
// a phrase.
func (w *Writer) write(spans []span, marks []Mark, end string) string {
	w.accidentals.newBar()
	var b strings.Builder
	group := 0
	p, q := meter.Ticks(1), meter.Ticks(1)
	for i, e := range spans {
		if i > 0 && w.apart(spans[i-1], e) {
			b.WriteByte(' ')
		}
		if group == 0 {
			p, q, group = tupletOf(spans[i:])
			b.WriteString(tupletSign(p, q, group))
		}
		group = max(group-1, 0)
		for ; len(marks) > 0 && marks[0].At <= e.At; marks = marks[1:] {
			b.WriteString(marks[0].Text)
		}
		b.WriteString(w.event(e, end) + lengthText(e.Dur*p, q*w.set.unit()))
		if e.Tied {
			b.WriteByte('-')
		}
		if group == 0 {
			p, q = 1, 1
		}
	}
	return b.String()
}

// span is a note or a rest.
type span struct {
	Note
	rest bool
}

// spans lists notes and what lies between as rests, cut where marks stand.
func (w *Writer) spans(notes []Note, length meter.Ticks, marks []Mark) []span {
	var all []span
	var at meter.Ticks
	rest := func(to meter.Ticks) {
		for _, m := range marks {
			if m.At > at && m.At < to {
				all = w.restTo(all, at, m.At)
				at = m.At
			}
		}
		all = w.restTo(all, at, to)
	}
	for _, n := range notes {
		rest(n.At)
		all = append(all, span{Note: n})
		at = n.At + n.Dur
	}
	rest(length)
	return all
}

// restTo adds a rest; one that begins within a tuplet ends with the beat.
func (w *Writer) restTo(all []span, from, to meter.Ticks) []span {
	if from >= to {
		return all
	}
	if beat := w.set.Meter.Beat(); (to-from)%plainest != 0 {
		if next := from - from%beat + beat; next < to {
			return w.restTo(append(all, span{Note{At: from, Dur: next - from}, true}), next, to)
		}
	}
	return append(all, span{Note{At: from, Dur: to - from}, true})
}

// apart reports that a space stands between two signs: where a beat begins, and
// beside long notes.
func (w *Writer) apart(before, now span) bool {
	beat := w.set.Meter.Beat()
	return now.At%beat == 0 || before.Dur >= beat || before.rest != now.rest
}

// event writes a note or rest without its length.
func (w *Writer) event(e span, end string) string {
	if e.rest {
		w.tied = nil
		return "z"
	}
	text := w.sign(e.Pitch) + letter(e.Pitch)
	if e.Ends {
		text = end + text
	}
	w.tied = nil
	if e.Tied {
		w.tied = &e.Pitch
	}
	return text
}

// sign is the accidental that a note needs here.
func (w *Writer) sign(p pitch.Pitch) string {
	in := w.accidentals.bar[p.Letter]
	if w.tied != nil && w.tied.Letter == p.Letter && w.tied.Octave == p.Octave {
		in = w.tied.Alter
	}
	if in == p.Alter {
		return ""
	}
	w.accidentals.bar[p.Letter] = p.Alter
	return [...]string{"__", "_", "=", "^", "^^"}[p.Alter+mostAlter]
}

// letter is the note with its octave: C for C4, c for C5.
func letter(p pitch.Pitch) string {
	text := "CDEFGAB"[p.Letter : p.Letter+1]
	if p.Octave < 5 {
		return text + strings.Repeat(",", 4-p.Octave)
	}
	return strings.ToLower(text) + strings.Repeat("'", p.Octave-5)
}

// plainest divides every length that needs no tuplet.
const plainest = meter.Quarter / 64

// tupletOf is the tuplet that begins the spans: p in the time of q for n of
// them; 1, 1, 0 where none is needed or helps.
func tupletOf(spans []span) (p, q meter.Ticks, n int) {
	if spans[0].Dur%plainest == 0 {
		return 1, 1, 0
	}
	for _, t := range [][2]meter.Ticks{{3, 2}, {5, 4}} {
		var sum meter.Ticks
		for i, e := range spans[:min(len(spans), mostInTuplet)] {
			scaled := e.Dur * t[0]
			if scaled%(t[1]*plainest) != 0 {
				break
			}
			if sum += e.Dur; sum%plainest == 0 {
				return t[0], t[1], i + 1
			}
		}
	}
	return 1, 1, 0
}

func tupletSign(p, q meter.Ticks, n int) string {
	switch {
	case n == 0:
		return ""
	case p == 3 && n == 3:
		return "(3"
	}
	return fmt.Sprintf("(%d:%d:%d", p, q, n)
}

// lengthText writes a length as a share of the unit: nothing for the unit, / for
// its half.
func lengthText(dur, unit meter.Ticks) string {
	a, b := dur, unit
	for b != 0 {
		a, b = b, a%b
	}
	num, den := "", ""
	if dur/a != 1 {
		num = fmt.Sprint(int(dur / a))
	}
	switch d := unit / a; {
	case d == 2 && num == "":
		den = "/"
	case d > 1:
		den = fmt.Sprintf("/%d", int(d))
	}
	return num + den
}

// Rest writes a rest of a length.
func Rest(length meter.Ticks, s Setting) string { return "z" + lengthText(length, s.unit()) }
