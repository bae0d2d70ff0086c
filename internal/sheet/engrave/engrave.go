// Package engrave writes a score as MusicXML, as a pianist reads it: both hands on
// a grand staff, the tune with its words above or in the hand that plays it, chord
// names over all. Repeats are written out, since what accompanies them may differ.
//
// The notes are those that a demonstration plays, at the places where they are
// written: a swung pattern is written in even notes and says that it swings. What
// the MusicXML says is valid by its schemas 3.0 and 4.0; names of notes and
// measures, which Options asks for, are valid by 3.1 and 4.0.
package engrave

import (
	"undersong/internal/music/meter"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

// Options say what is written besides the notes.
type Options struct {
	// Names gives measures and notes ids: m7 for Score.Bars[7], w12-0 for the lowest
	// tone of Score.Wants[12], t3 for Score.Melody[3]; parts of a tied note have -1,
	// -2 ... behind.
	Names bool

	NoTune bool // the tune has no staff of its own
}

// MusicXML is the score as a file of one or two parts.
func MusicXML(s *score.Score, o Options) []byte {
	d := &document{s: s, o: o, parts: map[string]int{}}
	return d.write(d.laid())
}

// laid are the parts with all that is on their staves.
func (d *document) laid() []*part {
	var parts []*part
	if tuneApart(d.s) && !d.o.NoTune {
		parts = append(parts, &part{name: "Melody", staves: []*staff{d.tuneStaff()}})
	}
	if p := d.piano(); p != nil {
		parts = append(parts, p)
	}
	for i, p := range parts {
		p.top = i == 0
		for _, st := range p.staves {
			st.lay(d.s)
		}
	}
	return parts
}

// tuneApart reports a tune that no hand on the page plays throughout.
func tuneApart(s *score.Score) bool {
	if len(s.Melody) == 0 || !s.Only.Judges(pattern.Right) {
		return len(s.Melody) > 0
	}
	for i := range s.Bars {
		if p := s.Bars[i].Pattern; p == nil || !p.PlaysTune() {
			return true
		}
	}
	return false
}

// document is what the parts are written from.
type document struct {
	s *score.Score
	o Options

	parts map[string]int // how many parts of a tied note have a name already
}

// part is a part of the file.
type part struct {
	name   string
	hands  bool // it is what the hands play
	top    bool // chord names, sections and tempo stand over it
	staves []*staff
}

// staff is one staff with one voice.
type staff struct {
	home   clef
	events []event // by time, without overlap
	clefs  []clef  // of each bar
	shifts []shift
}

// piano is the part of the hands that are wanted; nil where neither plays.
func (d *document) piano() *part {
	p := &part{name: "Piano", hands: true}
	for _, h := range []pattern.Hand{pattern.Right, pattern.Left} {
		if d.s.Only.Judges(h) && d.plays(h) {
			p.staves = append(p.staves, d.handStaff(h))
		}
	}
	if len(p.staves) == 0 {
		return nil
	}
	if st := p.staves[0]; len(d.s.Melody) == 0 {
		for i, words := range spoken(d.s, st.events) {
			st.events[i].words = words
		}
	}
	return p
}

func (d *document) plays(h pattern.Hand) bool {
	for i := range d.s.Wants {
		if d.s.Wants[i].Hand == h {
			return true
		}
	}
	return false
}

// begins is where a bar begins, or would where it is an upbeat.
func begins(s *score.Score, b *score.Bar) meter.Ticks {
	if b.Number == 0 {
		return b.At + b.Len - s.Meter.Bar()
	}
	return b.At
}
