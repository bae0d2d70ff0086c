// Package melody is a tune as written: notes with their places and lengths, and
// the phrases that they make. It reads and writes them in the notation of the
// abc music standard 2.1 (December 2011); section numbers in comments are its.
package melody

import (
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
)

// Note is one written note.
type Note struct {
	At, Dur meter.Ticks // At counts from the start of its bar; Dur is above 0
	Pitch   pitch.Pitch // as it sounds: key signature and accidentals are in it
	Tied    bool        // the next note, of the same pitch, prolongs it
	Ends    bool        // marked: a phrase ends with it
}

// Transpose is the note moved to another key by the interval between the
// tonics, as pitch.Key.To tells it, and so many octaves. Where that would need
// three sharps or flats it takes its other name.
func (n Note) Transpose(iv pitch.Interval, octaves int) Note {
	moved := n.Pitch.Num() + pitch.Num(iv.Semitones+12*octaves)
	name := n.Pitch.Note.Up(iv)
	for name.Alter > mostAlter {
		name = pitch.NoteAtFifths(name.Fifths() - 12)
	}
	for name.Alter < -mostAlter {
		name = pitch.NoteAtFifths(name.Fifths() + 12)
	}
	n.Pitch = moved.Spell(name)
	return n
}

// mostAlter is two: there are no signs for triple sharps and flats (4.2).
const mostAlter = 2

// Setting is what a tune is read and written by.
type Setting struct {
	Key   pitch.Key
	Meter meter.Meter
	Unit  meter.Ticks // a note without a number; 0 for the meter's, see DefaultUnit
}

func (s Setting) unit() meter.Ticks {
	if s.Unit > 0 {
		return s.Unit
	}
	return DefaultUnit(s.Meter)
}

// DefaultUnit is a sixteenth in meters below 0.75, such as 2/4, and else an
// eighth (3.1.7).
func DefaultUnit(m meter.Meter) meter.Ticks {
	if 4*m.Num < 3*m.Den {
		return meter.Sixteenth
	}
	return meter.Eighth
}

// signed is how the key signature alters each letter.
func signed(k pitch.Key) [7]int {
	var alter [7]int
	for _, n := range k.Scale() {
		alter[n.Letter] = n.Alter
	}
	return alter
}

// accidentals are those in force: those of the key signature, and in a bar
// those written since its beginning, which hold for all octaves (11.3).
type accidentals struct{ key, bar [7]int }

func newAccidentals(k pitch.Key) accidentals { return accidentals{signed(k), signed(k)} }

func (s *accidentals) newBar() { s.bar = s.key }
