// Package pattern is the language in which an accompaniment is written: what
// each hand strikes on a grid of beats, in chord degrees, with the freedoms
// that the player has. A pattern knows no key and no tune.
package pattern

import (
	"fmt"
	"strings"

	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
)

// Hand is one of the two.
type Hand uint8

// The hands.
const (
	Left Hand = iota
	Right
)

func (h Hand) String() string {
	if h == Left {
		return "left"
	}
	return "right"
}

// Other is the other hand.
func (h Hand) Other() Hand { return 1 - h }

// Grid is what one cell lasts.
type Grid uint8

// The grids, by the word that a pattern file uses.
const (
	Bars Grid = iota
	Beats
	Halves
	Quarters
	Eighths
	Triplets
	Sixteenths
)

var gridWords = [...]string{"bars", "beats", "halves", "quarters", "eighths", "triplets", "sixteenths"}

func (g Grid) String() string { return gridWords[g] }

// Ticks is the length of a cell in a bar of m.
func (g Grid) Ticks(m meter.Meter) meter.Ticks {
	switch g {
	case Bars:
		return m.Bar()
	case Beats:
		return m.Beat()
	case Halves:
		return meter.Half
	case Quarters:
		return meter.Quarter
	case Triplets:
		return meter.Triplet
	case Sixteenths:
		return meter.Sixteenth
	}
	return meter.Eighth
}

// Swing is how long the first of a pair of grid notes lasts against the second,
// as Long to Short. The zero value, like 1:1, is straight.
type Swing struct{ Long, Short int }

// Straight reports even pairs.
func (s Swing) Straight() bool { return s.Long == s.Short }

func (s Swing) String() string {
	if s.Straight() {
		return "straight"
	}
	return fmt.Sprintf("swung %d:%d", s.Long, s.Short)
}

// Pattern is an accompaniment for one or both hands.
type Pattern struct {
	Name   string
	Sounds string // how it sounds, one line
	Used   string // where it is used, one line
	Source string // where it comes from; "common practice, no source"

	History string // where it grew up, one line
	Level   int    // 1 first weeks to 5 advanced

	Part    Part
	Harmony [2][]Chords // of an intro, a turnaround or an ending: for major and minor keys, bar by bar; nil: the chart's
	Slowing float64     // of an ending: how much longer its last beat is; 0 for none

	Meter    meter.Meter // the zero value where it fits any meter
	Grid     Grid
	Swing    Swing
	Free     bool         // note lengths are the player's own
	Register [2]pitch.Num // per hand: the lowest key for the chord's root, or for the bottom of a whole chord
	Rows     [2][]Cell    // per hand; nil where that hand is free for the melody
	Length   int          // bars
}

// AnyMeter reports a pattern that fits every meter.
func (p *Pattern) AnyMeter() bool { return p.Meter == meter.Meter{} }

// Fits reports whether the pattern can be played in m.
func (p *Pattern) Fits(m meter.Meter) bool { return p.AnyMeter() || p.Meter == m }

// Hands says who plays: "both hands", "left hand", "right hand".
func (p *Pattern) Hands() string {
	switch {
	case p.Rows[Right] == nil:
		return "left hand"
	case p.Rows[Left] == nil:
		return "right hand"
	}
	return "both hands"
}

// shares reports a whole chord in a shape other than close that both rows write
// at their i-th cell: one voicing for both hands.
func (p *Pattern) shares(h Hand, i int) bool {
	other := p.Rows[h.Other()]
	if i >= len(other) {
		return false
	}
	c, o := p.Rows[h][i], other[i]
	return c.Kind == Whole && o.Kind == Whole && c.Shape != Close &&
		c.Shape == o.Shape && c.Inversion == o.Inversion && c.Octave == o.Octave && c.Without == o.Without && c.Ninth == o.Ninth
}

// Shared reports whether a hand's cell, as for Cell, is one voicing with the
// other hand's.
func (p *Pattern) Shared(h Hand, m meter.Meter, bar, place int) bool {
	if p.AnyMeter() {
		return p.shares(h, 0)
	}
	return p.shares(h, (bar%p.Length)*p.CellsPerBar(m)+place)
}

// CellsPerBar is the number of cells a bar of m has. A pattern for any meter
// has one cell, which fills every unit of the grid.
func (p *Pattern) CellsPerBar(m meter.Meter) int {
	return int(m.Bar() / p.Grid.Ticks(m))
}

// Cell is the cell that a hand has in a bar (counted from 0 without end) at a
// place on the grid.
func (p *Pattern) Cell(h Hand, m meter.Meter, bar, place int) Cell {
	row := p.Rows[h]
	if p.AnyMeter() {
		return row[0]
	}
	n := p.CellsPerBar(m)
	return row[(bar%p.Length)*n+place]
}

// Kind is what a cell asks for.
type Kind uint8

// Kinds of cell.
const (
	Rest     Kind = iota // nothing
	Hold                 // what was struck before sounds on
	GoOn                 // at the start of a fill: the accompaniment goes on
	Tones                // certain tones of the chord
	Whole                // the chord as a block
	Approach             // a half or whole step from the next bass
	Tune                 // the tune's notes that begin in the cell, and in the holds behind it
)

// How a whole chord may lie, beside 0 to 3 for a named inversion.
const (
	AnyInversion     = -1
	NearestInversion = -2 // the one nearest to the chord before
)

// Cell is one place on the grid of one hand.
type Cell struct {
	Kind   Kind
	Accent bool
	Roll   bool // struck one after the other on purpose

	Tones     []Tone // for Tones, as written
	Inversion int    // for Whole: 0 to 3, AnyInversion or NearestInversion
	Shape     Shape  // for Whole
	Without   int    // for Whole: a degree left out, or 0
	Ninth     bool   // for Whole: a chord with a seventh takes its ninth, too
	Step      Step   // for Approach
	Under     Under  // for Tune: what lies beneath it
	Blue      bool   // for Tune: the key's third, fifth and seventh may be flattened; with Roll the flat note slides into the other
	Early     bool   // for Tune: a note that falls on the cell comes one cell sooner
	Octave    int    // for Whole and Tune: octaves up; for Approach: 1 from above, -1 from below, 0 either
}

// Shape is how far apart the notes of a whole chord lie.
type Shape byte

// The shapes. One that both rows write at one place is one voicing for both
// hands: the left takes its lower half.
const (
	Close  Shape = 0   // within an octave
	Open   Shape = 'o' // the second note from below an octave up
	Drop   Shape = 'd' // the second note from above an octave down
	Spread Shape = 's' // for both hands: bass and fifth or seventh in the left, the rest in the right
)

// Step is how an approach note comes to the next bass.
type Step byte

// The steps.
const (
	AnyStep   Step = 0   // a half or whole step
	ScaleStep Step = 'd' // diatonic: from the key's next note
	HalfStep  Step = 'c' // chromatic: from a half step away
)

// Strikes reports a cell that sounds anew.
func (c Cell) Strikes() bool { return c.Kind >= Tones }

// Pedal reports a cell of the key's notes alone, which sounds on when the chord
// above it changes.
func (c Cell) Pedal() bool {
	for _, t := range c.Tones {
		if !t.OfKey {
			return false
		}
	}
	return c.Kind == Tones
}

// Tone is one tone that a cell names.
type Tone struct {
	Degree    int  // 1 to 15; 0 for any chord tone
	OfKey     bool // counted from the key's tonic instead: degree 1 or 5
	Alter     int  // semitones against the major scale on the root; see Written
	Written   bool
	Octave    int  // octaves up, negative down
	AnyOctave bool // any octave will do
	Optional  bool // may be left out
}

func (t Tone) String() string {
	s := "*"
	if t.Degree > 0 {
		s = strings.Repeat("b", max(0, -t.Alter)) + strings.Repeat("#", max(0, t.Alter))
		if t.Written && t.Alter == 0 {
			s = "="
		}
		if t.OfKey {
			s = "T"
		}
		s += fmt.Sprint(t.Degree)
	}
	s += octaveMarks(t.Octave)
	if t.AnyOctave {
		s += "?"
	}
	if t.Optional {
		return "(" + s + ")"
	}
	return s
}

func octaveMarks(n int) string {
	return strings.Repeat(",", max(0, -n)) + strings.Repeat("'", max(0, n))
}

func letter(b byte) string {
	if b == 0 {
		return ""
	}
	return string(rune(b))
}

// String writes the cell as a pattern file has it.
func (c Cell) String() string {
	s := ""
	if c.Accent {
		s += ">"
	}
	if c.Roll {
		s += "~"
	}
	switch c.Kind {
	case Rest:
		return "."
	case Hold:
		return "-"
	case GoOn:
		return "%"
	case Approach:
		return s + "ap" + letter(byte(c.Step)) + octaveMarks(c.Octave)
	case Tune:
		return s + c.tuneText()
	case Whole:
		s += "ch"
		switch {
		case c.Inversion == NearestInversion:
			s += "n"
		case c.Inversion >= 0:
			s += fmt.Sprint(c.Inversion)
		}
		s += letter(byte(c.Shape)) + octaveMarks(c.Octave)
		if c.Without > 0 {
			s += fmt.Sprintf("-%d", c.Without)
		}
		if c.Ninth {
			s += "+9"
		}
		return s
	}
	for i, t := range c.Tones {
		if i > 0 {
			s += "+"
		}
		s += t.String()
	}
	return s
}
