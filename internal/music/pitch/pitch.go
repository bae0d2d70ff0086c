// Package pitch knows notes, intervals and keys, and how they are spelled.
//
// Sound and spelling are kept apart: a played key is a Num, a written note is a
// Note (letter and alteration). A Num becomes a Note only through a Key or a
// chord that says how it is to be spelled.
package pitch

import (
	"fmt"
	"strings"
)

// Num is a MIDI note number, 0 to 127. Middle C (C4) is 60; the 88 keys of a
// piano are 21 (A0) to 108 (C8).
type Num int

// Lowest and highest key of an 88-key piano.
const (
	PianoLow  Num = 21
	PianoHigh Num = 108
	MiddleC   Num = 60
)

// Valid reports whether n is a MIDI note number.
func (n Num) Valid() bool { return n >= 0 && n <= 127 }

// Within is n, or the nearest key octaves from it that is not under low or over high,
// which lie an octave apart or more.
func (n Num) Within(low, high Num) Num {
	for n < low {
		n += 12
	}
	for n > high {
		n -= 12
	}
	return n
}

// Class is the pitch class of n.
func (n Num) Class() Class { return ClassOf(int(n)) }

// Class is a pitch class in semitones above C, 0 to 11.
type Class int

// ClassOf folds any number of semitones above C, also negative, into a Class.
func ClassOf(semitones int) Class { return Class(((semitones % 12) + 12) % 12) }

// Up is the class the given number of semitones higher (negative: lower).
func (c Class) Up(semitones int) Class { return ClassOf(int(c) + semitones) }

// Above is the distance from other up to c, 0 to 11 semitones.
func (c Class) Above(other Class) int { return int(ClassOf(int(c - other))) }

// From is the lowest key of the class at or above low.
func (c Class) From(low Num) Num { return low + Num(c.Above(low.Class())) }

// Near is the key of the class at most six semitones from another key; a tritone
// lies above it.
func (c Class) Near(from Num) Num {
	up := c.Above(from.Class())
	if up > 6 {
		up -= 12
	}
	return from + Num(up)
}

// Letter is a note letter counted from C: C is 0, B is 6.
type Letter int

const letters = "CDEFGAB"

var naturals = [7]int{0, 2, 4, 5, 7, 9, 11}

// fifthsOf is the place of each natural on the line of fifths, C at 0.
var fifthsOf = [7]int{0, 2, 4, -1, 1, 3, 5}

// Note is a spelled note without an octave, such as F sharp. Alter counts
// semitones up (sharps) or down (flats); the zero value is C.
type Note struct {
	Letter Letter
	Alter  int
}

// Class is the pitch class that n sounds in.
func (n Note) Class() Class { return ClassOf(naturals[n.Letter] + n.Alter) }

// Fifths is the place of n on the line of fifths: C 0, G 1, F -1, F sharp 6.
func (n Note) Fifths() int { return fifthsOf[n.Letter] + 7*n.Alter }

// NoteAtFifths is the note at a place on the line of fifths, C at 0.
func NoteAtFifths(f int) Note {
	const order = "FCGDAEB"
	i := (((f + 1) % 7) + 7) % 7
	alter := (f + 1 - i) / 7
	return Note{Letter: Letter(strings.IndexByte(letters, order[i])), Alter: alter}
}

// String writes n in ASCII: F#, Bb, Cbb, F##.
func (n Note) String() string {
	s := letters[n.Letter : n.Letter+1]
	if n.Alter < 0 {
		return s + strings.Repeat("b", -n.Alter)
	}
	return s + strings.Repeat("#", n.Alter)
}

// MarshalText is what String writes.
func (n Note) MarshalText() ([]byte, error) { return []byte(n.String()), nil }

// UnmarshalText reads what ParseNote does.
func (n *Note) UnmarshalText(text []byte) (err error) {
	*n, err = ParseNote(string(text))
	return err
}

// maxAlter bounds what ParseNote reads; music goes no further than doubles, and
// a chord on a doubly altered root needs one more.
const maxAlter = 3

// ParseNote reads a whole string such as "F#", "Bb" or "C".
func ParseNote(s string) (Note, error) {
	n, rest, err := CutNote(s)
	if err != nil {
		return Note{}, err
	}
	if rest != "" {
		return Note{}, fmt.Errorf("unexpected %q after the note %s", rest, n)
	}
	return n, nil
}

// CutNote reads a note from the front of s and returns what follows it. Sharps
// may be written # or ♯, flats b or ♭.
func CutNote(s string) (n Note, rest string, err error) {
	if s == "" {
		return Note{}, s, fmt.Errorf("expected a note name, A to G")
	}
	l := strings.IndexByte(letters, s[0])
	if l < 0 {
		return Note{}, s, fmt.Errorf("expected a note name, A to G, not %q", firstRune(s))
	}
	n.Letter, rest = Letter(l), s[1:]
	for rest != "" {
		step, size := accidental(rest)
		if size == 0 || step*n.Alter < 0 {
			break
		}
		n.Alter += step
		rest = rest[size:]
		if n.Alter > maxAlter || n.Alter < -maxAlter {
			return Note{}, s, fmt.Errorf("too many sharps or flats in %q", s)
		}
	}
	return n, rest, nil
}

func firstRune(s string) string {
	for _, r := range s {
		return string(r)
	}
	return ""
}

func accidental(s string) (step, size int) {
	for _, a := range []struct {
		text string
		step int
	}{{"#", 1}, {"♯", 1}, {"b", -1}, {"♭", -1}} {
		if strings.HasPrefix(s, a.text) {
			return a.step, len(a.text)
		}
	}
	return 0, 0
}

// Pitch is a spelled note in an octave. C4 is middle C; octaves turn at C, so
// B sharp 3 sounds as C4.
type Pitch struct {
	Note
	Octave int
}

// Num is the key that sounds p; it may lie outside 0 to 127.
func (p Pitch) Num() Num {
	return Num(12*(p.Octave+1) + naturals[p.Letter] + p.Alter)
}

func (p Pitch) String() string { return fmt.Sprintf("%s%d", p.Note, p.Octave) }

// MarshalText is what String writes.
func (p Pitch) MarshalText() ([]byte, error) { return []byte(p.String()), nil }

// UnmarshalText reads what ParsePitch does.
func (p *Pitch) UnmarshalText(text []byte) (err error) {
	*p, err = ParsePitch(string(text))
	return err
}

// ParsePitch reads a pitch such as "F#3" or "Bb-1".
func ParsePitch(s string) (Pitch, error) {
	n, rest, err := CutNote(s)
	if err != nil {
		return Pitch{}, err
	}
	var octave int
	if _, err := fmt.Sscanf(rest, "%d", &octave); err != nil || fmt.Sprint(octave) != rest {
		return Pitch{}, fmt.Errorf("expected an octave number after %s, as in %s4, not %q", n, n, rest)
	}
	return Pitch{n, octave}, nil
}

// Spell gives the key num the spelling n; n must sound in num's class.
func (num Num) Spell(n Note) Pitch {
	return Pitch{n, floorDiv(int(num)-naturals[n.Letter]-n.Alter, 12) - 1}
}

func floorDiv(a, b int) int {
	q := a / b
	if a%b < 0 {
		q--
	}
	return q
}

// Interval is a spelled distance: a major third is 2 steps and 4 semitones, a
// diminished fourth 3 steps and 4 semitones. Both may be negative.
type Interval struct {
	Steps     int
	Semitones int
}

// Up is the note an interval above n, spelled by its steps.
func (n Note) Up(i Interval) Note {
	l := Letter((((int(n.Letter) + i.Steps) % 7) + 7) % 7)
	octaves := floorDiv(int(n.Letter)+i.Steps, 7)
	natural := naturals[l] - naturals[n.Letter] + 12*octaves
	return Note{Letter: l, Alter: n.Alter + i.Semitones - natural}
}

// IntervalUp is the ascending interval, smaller than an octave, from a to b.
// Semitones may be -1 or 12 and more for odd spellings (C flat above C).
func IntervalUp(a, b Note) Interval {
	steps := ((int(b.Letter-a.Letter) % 7) + 7) % 7
	plain := Note{Letter: a.Letter}.Up(Interval{Steps: steps})
	natural := naturals[plain.Letter] - naturals[a.Letter]
	if natural < 0 {
		natural += 12
	}
	return Interval{steps, natural + b.Alter - a.Alter}
}
