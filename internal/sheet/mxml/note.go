package mxml

import (
	"strconv"

	"undersong/internal/music/pitch"
)

// Note is a note head or a rest with all that hangs on it.
type Note struct {
	Piece                     // its Rest tells a rest; its First and Last leave out ties within the span
	WholeBar      bool        // a rest for the whole bar; the Type does not matter
	Pitch         pitch.Pitch // of a note
	Chord         bool        // sounds with the note before
	FromTie       bool        // a tie leads to it
	ToTie         bool        // a tie leads on
	Accidental    string      // as Accidentals.Sign tells
	Voice, Staff  int         // from 1; 0 leaves them out
	Stem          string      // "up", "down"; "" leaves it to the reader
	Articulations []Element   // such as <breath-mark>
	Arpeggio      bool        // of each note of a chord that is struck one by one
	Lyrics        []Element   // as Lyric makes them
	Attr          []string    // of the <note>, names and values in turn
}

// Element is the <note>.
func (n Note) Element() Element {
	e := Element{Name: "note", Attr: n.Attr}
	if n.Chord {
		e.Add(Leaf("chord", ""))
	}
	e.Add(n.sound(), Number("duration", n.Dur))
	for _, t := range n.ties() {
		e.Add(Leaf("tie", "").With("type", t))
	}
	if n.Voice > 0 {
		e.Add(Number("voice", n.Voice))
	}
	if !n.WholeBar {
		n.value(&e)
	}
	if n.Staff > 0 {
		e.Add(Number("staff", n.Staff))
	}
	if !n.Chord {
		for i, b := range n.Beams {
			e.Add(Leaf("beam", b).With("number", strconv.Itoa(i+1)))
		}
	}
	if notes := n.notations(); len(notes) > 0 {
		e.Add(Group("notations", notes...))
	}
	e.Add(n.Lyrics...)
	return e
}

func (n Note) sound() Element {
	switch {
	case n.WholeBar:
		return Leaf("rest", "").With("measure", "yes")
	case n.Rest:
		return Leaf("rest", "")
	}
	return Pitch(n.Pitch)
}

// Pitch is the <pitch>.
func Pitch(p pitch.Pitch) Element {
	e := Group("pitch", Leaf("step", letter(p.Note)))
	if p.Alter != 0 {
		e.Add(Number("alter", p.Alter))
	}
	e.Add(Number("octave", p.Octave))
	return e
}

// value adds what the eye sees of the note.
func (n Note) value(e *Element) {
	e.Add(Leaf("type", n.Type))
	for range n.Dots {
		e.Add(Leaf("dot", ""))
	}
	if n.Accidental != "" {
		e.Add(Leaf("accidental", n.Accidental))
	}
	if n.Actual > 0 {
		e.Add(Group("time-modification", Number("actual-notes", n.Actual), Number("normal-notes", n.Normal)))
	}
	if n.Stem != "" {
		e.Add(Leaf("stem", n.Stem))
	}
}

// ties are the types of <tie> and <tied>, in their order.
func (n Note) ties() (all []string) {
	if n.Rest {
		return nil
	}
	if n.FromTie {
		all = append(all, "stop")
	}
	if n.ToTie {
		all = append(all, "start")
	}
	return all
}

func (n Note) notations() (all []Element) {
	for _, t := range n.ties() {
		all = append(all, Leaf("tied", "").With("type", t))
	}
	if n.Opens && !n.Chord {
		all = append(all, Leaf("tuplet", "").With("type", "start"))
	}
	if n.Closes && !n.Chord {
		all = append(all, Leaf("tuplet", "").With("type", "stop"))
	}
	if len(n.Articulations) > 0 {
		all = append(all, Group("articulations", n.Articulations...))
	}
	if n.Arpeggio {
		all = append(all, Leaf("arpeggiate", ""))
	}
	return all
}

// Lyric is a syllable of a verse, counted from 1, under its note. syllabic is
// "single", "begin", "middle" or "end".
func Lyric(verse int, syllabic, text string) Element {
	return Group("lyric", Leaf("syllabic", syllabic), Leaf("text", text)).With("number", strconv.Itoa(verse))
}
