// Package song is any song sheet as it was written, whatever its format: a tune,
// its chords and words, its repeats and what could not be carried over. Readers of
// lyric sheets, of ABC, MusicXML and MIDI files make songs; ToChart makes the chart
// of one that can be practised, and Dump the values that a program reads.
package song

import (
	"fmt"

	"undersong/internal/music/chord"
	"undersong/internal/music/melody"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/chart"
)

// MostBars is how many bars a song may have as played, repeats included: far beyond
// any tune, and where a text that unfolds without end is stopped.
const MostBars = chart.MaxBars

// Song is a song sheet as written.
type Song struct {
	Title, By string // may be empty
	Key       pitch.Key
	Meter     meter.Meter // at the beginning; any time signature, not only those of charts
	Tempo     meter.Tempo // felt beats a minute; 0 where none is written
	Upbeat    meter.Ticks // the length of the first bar where it is incomplete; else 0

	Sections []Section // as written, at least one; each has at least one bar
	Order    []int     // the bars in the order of playing, as indices into Bars()

	Asks             // what a sheet that we wrote asks for; mostly nothing
	Unit meter.Ticks // how a chart writes its tune, see chart.Chart; mostly 0

	Words   []Words  // of a lyric sheet: its lines of words
	Notices []Notice // what was assumed, or could not be carried over

	Chart *chart.Chart // the sheet itself, where it is a chart; the rest is made from it
}

// Asks are the patterns that a chart asks for by name, see chart.Chart. Sheets
// written from a chart carry them along.
type Asks struct {
	Pattern, Intro, Turnaround, Ending string
	Fills                              []Fill
}

// Fill is a pattern asked for in single bars.
type Fill struct {
	Name string
	Bars []int // as numbered in the chart, rising
}

// Section is a named part, such as Verse or A. The name may be empty.
type Section struct {
	Name    string
	Pattern string // its own, as in Asks; mostly none
	Bars    []Bar
}

// Bar is one bar as written, as long as what stands in it.
type Bar struct {
	Len    meter.Ticks
	Meter  meter.Meter   // a time signature that begins here, after the first bar; else zero
	Key    *pitch.Key    // a key signature that begins here, after the first bar; else nil
	Chords []Symbol      // in order of At; a bar without any goes on with the chord before
	Notes  []melody.Note // the tune, in order, without overlap; tied notes stand apart
	Lyrics []string      // the words sung to this bar, one string a verse
	Breaks bool          // a line of the sheet ends with this bar
	Simile bool          // written as a sign that repeats the bar before

	Opens, Closes bool // a repeat begins, ends here
	Times         int  // where a repeat ends: how often it is played in all, 2 and up; else 0
	Ending        int  // 1 in a first ending, 2 in a second ...; 0 elsewhere
	Barline       chart.Barline

	Line, Col int // where the bar is written, from 1; 0 where that says nothing
}

// Symbol is a chord name over its place in the bar.
type Symbol struct {
	At    meter.Ticks
	Text  string // as written, such as "F#m7b5" or "Bes"; never empty
	Chord chord.Chord
	Known bool // Chord is what Text says; else the text is no chord known here
}

// Words is a line of words with the chord names over it.
type Words struct {
	Line   int    // in the text, from 1
	Text   string // without chords in brackets
	Chords []Over
}

// Over is a chord name that stands over words.
type Over struct {
	Symbol string
	Column int // in Text, in characters from 0; beyond its end where the chord stands after the words
}

// Notice is one thing that was assumed, or could not be carried over.
type Notice struct {
	Line    int    // of the text, from 1; 0 where there are no lines, or it is about all
	Measure string // as numbered in the file; "" where there are none
	Text    string // a whole sentence without its capital and full stop
}

func (n Notice) String() string {
	switch {
	case n.Line > 0:
		return fmt.Sprintf("line %d: %s", n.Line, n.Text)
	case n.Measure != "":
		return fmt.Sprintf("measure %s: %s", n.Measure, n.Text)
	}
	return n.Text
}

// Bars lists the bars as written. The pointers lead into the song.
func (s *Song) Bars() []*Bar {
	var all []*Bar
	for i := range s.Sections {
		for j := range s.Sections[i].Bars {
			all = append(all, &s.Sections[i].Bars[j])
		}
	}
	return all
}

// InOrder is the order of playing of bars without repeats.
func (s *Song) InOrder() []int {
	order := make([]int, len(s.Bars()))
	for i := range order {
		order[i] = i
	}
	return order
}

// HasTune reports whether any bar has a note.
func (s *Song) HasTune() bool {
	for _, b := range s.Bars() {
		if len(b.Notes) > 0 {
			return true
		}
	}
	return false
}

// HasChords reports whether any bar has a chord that is known.
func (s *Song) HasChords() bool {
	for _, b := range s.Bars() {
		for _, c := range b.Chords {
			if c.Known {
				return true
			}
		}
	}
	return false
}

// Name reads a chord's name as written into a symbol.
func Name(at meter.Ticks, text string) Symbol {
	c, err := chord.Parse(text)
	return Symbol{at, text, c, err == nil}
}
