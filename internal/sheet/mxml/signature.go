package mxml

import (
	"strconv"

	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
)

// Key is a key signature.
func Key(k pitch.Key) Element {
	mode := "major"
	if k.Minor {
		mode = "minor"
	}
	return Group("key", Number("fifths", k.Fifths()), Leaf("mode", mode))
}

// Time is a time signature.
func Time(m meter.Meter) Element {
	return Group("time", Number("beats", m.Num), Number("beat-type", m.Den))
}

// Clef is a clef on a line: "G" on 2, "F" on 4. A staff from 1 is told, 0 is not.
func Clef(sign string, line, staff int) Element {
	e := Group("clef", Leaf("sign", sign), Number("line", line))
	if staff > 0 {
		e = e.With("number", strconv.Itoa(staff))
	}
	return e
}

// Tempo is a metronome mark above the staff, of felt beats a minute in m.
func Tempo(t meter.Tempo, m meter.Meter) Element {
	kind := "quarter"
	switch m.Beat() {
	case meter.Half:
		kind = "half"
	case meter.Eighth:
		kind = "eighth"
	}
	mark := Group("metronome", Leaf("beat-unit", kind))
	if m.Compound() {
		mark.Add(Leaf("beat-unit-dot", ""))
	}
	mark.Add(Leaf("per-minute", number(float64(t))))
	sound := float64(t) * float64(m.Beat()) / float64(meter.Quarter)
	return Group("direction", Group("direction-type", mark), Leaf("sound", "").With("tempo", number(sound))).With("placement", "above")
}

func number(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// Rehearsal is the name of a section above the staff.
func Rehearsal(name string) Element {
	return Group("direction", Group("direction-type", Leaf("rehearsal", name))).With("placement", "above")
}

// Words is text "above" or "below" the staff.
func Words(text, placement string) Element {
	return Group("direction", Group("direction-type", Leaf("words", text))).With("placement", placement)
}

// Barline is a barline and what clings to it, on one side of a bar. The zero value
// is the plain line that is not written.
type Barline struct {
	Style  string // <bar-style>: "light-light", "light-heavy", "heavy-light"; "" for a plain one
	Ending int    // the ending that begins or ends here, from 1; 0 for none
	Open   bool   // the ending's bracket stays open: no hook where it ends
	Repeat bool   // a repeat begins or ends here
	Times  int    // where a repeat ends: how often it is played, 3 and up; else 0
}

// On is the <barline> on the "left" or "right".
func (b Barline) On(side string) Element {
	e := Element{Name: "barline"}.With("location", side)
	if b.Style != "" {
		e.Add(Leaf("bar-style", b.Style))
	}
	if b.Ending > 0 {
		e.Add(Leaf("ending", "").With("number", strconv.Itoa(b.Ending)).With("type", b.ending(side)))
	}
	if b.Repeat {
		e.Add(b.repeat(side))
	}
	return e
}

func (b Barline) ending(side string) string {
	switch {
	case side == "left":
		return "start"
	case b.Open:
		return "discontinue"
	}
	return "stop"
}

func (b Barline) repeat(side string) Element {
	if side == "left" {
		return Leaf("repeat", "").With("direction", "forward")
	}
	e := Leaf("repeat", "").With("direction", "backward")
	if b.Times > 2 {
		e = e.With("times", strconv.Itoa(b.Times))
	}
	return e
}
