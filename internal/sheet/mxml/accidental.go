package mxml

import (
	"undersong/internal/music/pitch"
)

// Accidentals says which notes of one staff need an <accidental>.
type Accidentals struct {
	key [7]int               // what the signature does to each letter
	bar map[pitch.Pitch]int  // by letter and octave, Alter left out
	any map[pitch.Letter]int // by letter, whatever the octave
}

// NewAccidentals begins at a key signature.
func NewAccidentals(k pitch.Key) *Accidentals {
	a := &Accidentals{}
	for _, n := range k.Scale() {
		a.key[n.Letter] = n.Alter
	}
	a.Bar()
	return a
}

// Bar begins a bar.
func (a *Accidentals) Bar() {
	a.bar, a.any = map[pitch.Pitch]int{}, map[pitch.Letter]int{}
}

// Sign is the accidental that a note needs here: "sharp", "flat", "natural",
// "double-sharp", "flat-flat" or "". One that is tied to the note before needs
// none. Signs hold for their octave; one for another octave of the same bar is
// written again, so that nobody doubts (common practice, no source).
func (a *Accidentals) Sign(p pitch.Pitch, tied bool) string {
	if tied {
		return ""
	}
	place := p
	place.Alter = 0
	in, ok := a.bar[place]
	if !ok {
		in = a.key[p.Letter]
	}
	other, ok := a.any[p.Letter]
	if in == p.Alter && (!ok || other == p.Alter) {
		return ""
	}
	a.bar[place], a.any[p.Letter] = p.Alter, p.Alter
	return signs[p.Alter]
}

var signs = map[int]string{-3: "triple-flat", -2: "flat-flat", -1: "flat", 0: "natural", 1: "sharp", 2: "double-sharp", 3: "triple-sharp"}
