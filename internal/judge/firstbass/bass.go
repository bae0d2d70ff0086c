// Package firstbass listens to a player who puts basses of their own choice under a
// tune that they play: one root at a time, then its fifth, then its third. It
// knows which roots fit the tune, and why, and takes every one that does.
//
// It is pure: it is fed timed events and the passing of time, and returns
// findings.
package firstbass

import (
	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
)

// Degree is the place of a bass in the key.
type Degree uint8

// The degrees, in the order in which they are learnt.
const (
	Tonic Degree = iota
	Dominant
	Subdominant
)

// Bass is a root with the chord that stands on it.
type Bass struct {
	Degree             Degree
	Root, Third, Fifth pitch.Note

	Other pitch.Note // another third that does; Third where there is none
	tones chord.Set  // all that a tune may have over it
}

// degreeSteps are the places of the degrees in the scale, counted from 0.
var degreeSteps = [...]int{0, 4, 3}

// Primary is the primary chords of a key in the order in which they are learnt: tonic and
// dominant, and the subdominant where there are 3.
//
// In minor the dominant has the raised leading note (Open Music Theory v1, "Triads
// and seventh chords": V7 is sol ti re fa); the natural one is taken too, as in
// tunes of the older modes (common practice, no source). The subdominant in minor
// may have the raised sixth (Music Theory for the 21st-Century Classroom 17.3 has F
// major in C minor as IV).
func Primary(k pitch.Key, size int) []Bass {
	var all []Bass
	for d := Tonic; d <= Subdominant && len(all) < size; d++ {
		all = append(all, bassOn(k, d))
	}
	return all
}

// Roots are the names of basses.
func Roots(basses []Bass) []string {
	var all []string
	for _, b := range basses {
		all = append(all, b.Root.String())
	}
	return all
}

func bassOn(k pitch.Key, d Degree) Bass {
	scale := k.Scale()
	step := degreeSteps[d]
	b := Bass{Degree: d, Root: scale[step], Third: scale[(step+2)%7], Fifth: scale[(step+4)%7]}
	b.Other = b.Third
	raised := pitch.Note{Letter: b.Third.Letter, Alter: b.Third.Alter + 1}
	switch {
	case k.Minor && d == Dominant:
		b.Third = raised
	case k.Minor && d == Subdominant:
		b.Other = raised
	}
	for _, n := range []pitch.Note{b.Root, b.Third, b.Other, b.Fifth} {
		b.tones = b.tones.With(n.Class())
	}
	if d == Dominant {
		b.tones = b.tones.With(scale[3].Class()) // its seventh
	}
	return b
}

// Has reports whether a tune's note belongs to the chord on b.
func (b *Bass) Has(c pitch.Class) bool { return b.tones.Has(c) }

// isThird reports a third of the chord, of either kind where there are two.
func (b *Bass) isThird(c pitch.Class) bool { return c == b.Third.Class() || c == b.Other.Class() }
