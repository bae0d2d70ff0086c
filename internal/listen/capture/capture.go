// Package capture writes down an accompaniment that was played over known chords
// as a pattern: the grid of beats is found, repetitions are laid over each other
// and vote, notes become degrees and roles, and freedoms are guessed.
//
// The grid comes from the intervals between onsets, whose parts are tried as pulses
// (after Dixon 2001, Journal of New Music Research 30), a pulse that goes with the
// player (Large and Kolen 1994, Connection Science 6), and a choice between
// interpretations by how well they fit and how plain they are, with low notes on
// strong beats preferred (Temperley and Sleator 1999, Computer Music Journal 23;
// Cemgil and Kappen 2003, JAIR 18, for weighing fit against a prior).
package capture

import (
	"undersong/internal/midi/event"
	"undersong/internal/music/chord"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
)

// MostBars is the longest pattern that is found.
const MostBars = 4

// Hands says who plays.
type Hands uint8

// Who plays; FindHands finds it from register and texture.
const (
	FindHands Hands = iota
	LeftAlone
	RightAlone
	BothHands
)

// Options say what is known about the playing.
type Options struct {
	Name   string        // of the pattern
	Chords []chord.Chord // one a bar, beginning again after the last; at least one
	Key    *pitch.Key    // nil: the key of the first chord

	Meter  meter.Meter // the zero value: found among those that patterns have
	Tempo  meter.Tempo // about; 0: found
	OnBeat float64     // the beat of bar 1 that the first note falls on; 0 counts as 1
	Hands  Hands

	Inversions bool // whole chords ask for the inversion that was played
}

// Captured is a pattern and what is worth telling about it.
type Captured struct {
	Pattern *pattern.Pattern
	Tempo   meter.Tempo   // as played, on average
	Bars    int           // played, the last one perhaps in part
	Times   int           // how often the pattern was played, counted up
	Slips   int           // places at which one time was not like most, and was outvoted
	Unsure  int           // strokes that came only every other time, and were kept
	Chords  []chord.Chord // that it was played over, one a bar
	ByEar   bool          // the meter was found
	Rivals  []meter.Meter // others that fit about as well, the likeliest first
}

// Capture writes down what was played. Its errors are plain words for the player.
func Capture(events []event.Event, o Options) (*Captured, error) {
	if err := o.check(); err != nil {
		return nil, err
	}
	t := &take{o: o, notes: notesOf(events)}
	t.groups = groupsOf(t.notes)
	if err := t.enough(); err != nil {
		return nil, err
	}
	r, err := t.read()
	if err != nil {
		return nil, err
	}
	return t.write(r)
}

func (o *Options) check() error {
	if len(o.Chords) == 0 {
		return errNoChord
	}
	for _, c := range o.Chords {
		if c.IsNone() {
			return errNoChord
		}
		if c.Bass != c.Root {
			return &SlashError{c}
		}
	}
	if o.Key == nil {
		k := o.Chords[0].Home()
		o.Key = &k
	}
	return nil
}

// take is a capture at work.
type take struct {
	o      Options
	notes  []note
	groups []group
}

// chordIn is the chord of a bar, counted from 0.
func (t *take) chordIn(bar int) chord.Chord { return t.o.Chords[bar%len(t.o.Chords)] }

// oneChord reports that the same chord lies under everything.
func (t *take) oneChord() bool {
	for _, c := range t.o.Chords {
		if c != t.o.Chords[0] {
			return false
		}
	}
	return true
}

func (t *take) enough() error {
	switch {
	case len(t.notes) == 0:
		return ErrNothing
	case len(t.groups) > mostGroups || len(t.notes) > mostNotes:
		return errLong
	}
	return nil
}

// These bound the work: some minutes of the busiest playing.
const (
	mostGroups = 2000
	mostNotes  = 3 * mostGroups
)
