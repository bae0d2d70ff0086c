// Package chart is a tune on paper: its key, meter and tempo, its sections and
// bars with their chords and words. It reads and writes charts as plain text,
// moves them to another key and plays out their repeats.
//
// A chart is a few headings and lines of bars:
//
//	title: Red River Valley
//	key: F
//	meter: 4/4
//	tempo: 96
//	upbeat: 2
//
//	[Verse]
//	(C7) | F | F . C7 . | F | % |
//	m: C2F2 | A4 A2G2 | F4 G2F2 | D4 F4- | F4 z4 |
//	From this valley they say you are going
//
// Chords alone in a bar share its beats evenly; with dots each chord and each
// dot is a beat. Every chord's place is exact: a bar's chords follow one another
// without gaps and fill it. So do the notes and rests of the tune, the m: line.
package chart

import (
	"undersong/internal/music/chord"
	"undersong/internal/music/melody"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
)

// DefaultTempo is the tempo of a chart that names none.
const DefaultTempo meter.Tempo = 96

// Chart is a whole tune.
type Chart struct {
	Title   string // may be empty
	By      string // may be empty
	Key     pitch.Key
	Meter   meter.Meter
	Tempo   meter.Tempo
	Untimed bool        // the chart names no tempo: Tempo is DefaultTempo
	Upbeat  meter.Ticks // before bar 1; 0 for none, less than a bar
	Pattern string      // name of the pattern to play it with; may be empty

	Intro, Turnaround, Ending Ask
	Fills                     []Fill

	Unit meter.Ticks // a note of the tune written without a number; 0 for the meter's

	Sections []Section // at least one, each with at least one line
}

// Section is a named part of the tune, such as Verse. Only the first may be
// without a name.
type Section struct {
	Name    string
	Pattern Ask // its own; mostly none
	Lines   []Line
}

// Line is a line of bars, as the chart sets them out, with the words below.
type Line struct {
	Bars   []Bar    // at least one
	Lyrics []string // the line's words, one string a verse, spaces made single
}

// Bar is one bar. Its chords fill it from At 0 to Len.
type Bar struct {
	Number int           // as printed: 1 and up through the whole chart; the upbeat is 0
	Len    meter.Ticks   // a whole bar of the meter, less in the upbeat
	Chords []Placed      // in order, at least one
	Melody []melody.Note // in order, without overlap; what lies between is rest; nil where none is written
	Simile bool          // written as %: the bar before once more

	Opens   bool    // a repeat begins here
	Closes  bool    // a repeat ends here
	Times   int     // where a repeat ends: how often it is played in all, 2 and up; else 0
	Ending  int     // 1 in a first ending, 2 in a second ...; 0 elsewhere
	Barline Barline // at the bar's end

	// Lyrics has one entry for each verse of the line: the words written to this
	// bar, or a fair share of the line's words where they are not placed.
	Lyrics []string

	Line, Col int // where the bar is written, from 1; 0 in charts not read from text
}

// Barline is the line that ends a bar.
type Barline uint8

// The barlines. Repeat signs are told by Opens and Closes.
const (
	Single Barline = iota
	Double
	Final
)

// Placed is a chord with its place in the bar.
type Placed struct {
	At, Dur meter.Ticks
	Chord   chord.Chord
}

// ChordAt is the chord that sounds at a place in the bar; the last one at and
// after its end.
func (b *Bar) ChordAt(at meter.Ticks) chord.Chord {
	for _, p := range b.Chords {
		if at < p.At+p.Dur {
			return p.Chord
		}
	}
	if n := len(b.Chords); n > 0 {
		return b.Chords[n-1].Chord
	}
	return chord.Chord{}
}

// Bars lists the bars as written, the upbeat first where there is one. The
// pointers lead into the chart.
func (c *Chart) Bars() []*Bar {
	var all []*Bar
	for i := range c.Sections {
		all = append(all, c.Sections[i].bars()...)
	}
	return all
}

// HasMelody reports whether any bar has a note of the tune.
func (c *Chart) HasMelody() bool {
	for _, b := range c.Bars() {
		if len(b.Melody) > 0 {
			return true
		}
	}
	return false
}

// MarksPhrases reports whether the tune says where a phrase ends.
func (c *Chart) MarksPhrases() bool {
	for _, b := range c.Bars() {
		for _, n := range b.Melody {
			if n.Ends {
				return true
			}
		}
	}
	return false
}

func (s *Section) bars() []*Bar {
	var all []*Bar
	for i := range s.Lines {
		for j := range s.Lines[i].Bars {
			all = append(all, &s.Lines[i].Bars[j])
		}
	}
	return all
}

// clone is a deep copy.
func (c *Chart) clone() *Chart {
	d := *c
	d.Sections = append([]Section(nil), c.Sections...)
	d.Fills = append([]Fill(nil), c.Fills...)
	for i := range d.Sections {
		s := &d.Sections[i]
		s.Lines = append([]Line(nil), s.Lines...)
		for j := range s.Lines {
			s.Lines[j] = s.Lines[j].clone()
		}
	}
	return &d
}

func (l Line) clone() Line {
	l.Bars = append([]Bar(nil), l.Bars...)
	l.Lyrics = append([]string(nil), l.Lyrics...)
	for i := range l.Bars {
		b := &l.Bars[i]
		b.Chords = append([]Placed(nil), b.Chords...)
		b.Melody = append([]melody.Note(nil), b.Melody...)
		b.Lyrics = append([]string(nil), b.Lyrics...)
	}
	return l
}
