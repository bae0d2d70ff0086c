// Package melody is a tune as written: notes with their places and lengths, and
// the phrases that they make.
package melody

import (
	"undersong/internal/meter"
	"undersong/internal/pitch"
)

// Note is one written note.
type Note struct {
	At, Dur meter.Ticks // At counts from the start of its bar; Dur is above 0
	Pitch   pitch.Pitch // as it sounds: key signature and accidentals are in it
	Tied    bool        // the next note, of the same pitch, prolongs it
	Ends    bool        // marked: a phrase ends with it
}

// Transpose is the note moved to another key by the interval between the
// tonics, as pitch.Key.To tells it, and so many octaves.
func (n Note) Transpose(iv pitch.Interval, octaves int) Note {
	moved := n.Pitch.Num() + pitch.Num(iv.Semitones+12*octaves)
	n.Pitch = moved.Spell(n.Pitch.Note.Up(iv))
	return n
}
