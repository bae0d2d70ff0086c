package chord

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"undersong/internal/music/pitch"
)

// Chord is a chord on a spelled root, with the bass it stands on. The zero
// value is no chord (N.C.). Chords may be compared with ==: Bass is always set,
// to the root where nothing else is written.
type Chord struct {
	Root pitch.Note
	Type Type
	Bass pitch.Note
}

// New is the chord of a type on root, in root position.
func New(root pitch.Note, t Type) Chord {
	if t == None {
		return Chord{}
	}
	return Chord{root, t, root}
}

// Over is c standing on another bass.
func (c Chord) Over(bass pitch.Note) Chord {
	if c.Type == None {
		return c
	}
	c.Bass = bass
	return c
}

// IsNone reports N.C.
func (c Chord) IsNone() bool { return c.Type == None }

// String writes the symbol, as in F#m7/E. No chord is "N.C.".
func (c Chord) String() string {
	if c.IsNone() {
		return None.Suffix()
	}
	if c.Bass != c.Root {
		return c.Root.String() + c.Type.Suffix() + "/" + c.Bass.String()
	}
	return c.Root.String() + c.Type.Suffix()
}

// MarshalText is what String writes.
func (c Chord) MarshalText() ([]byte, error) { return []byte(c.String()), nil }

// UnmarshalText reads what Parse does.
func (c *Chord) UnmarshalText(text []byte) (err error) {
	*c, err = Parse(string(text))
	return err
}

// Words says the chord aloud: "F major, first inversion".
func (c Chord) Words() string {
	if c.IsNone() {
		return "no chord"
	}
	s := c.Root.String() + " " + c.Type.Name()
	switch inv := c.Inversion(); {
	case inv > 0:
		s += ", " + InversionName(inv)
	case inv < 0:
		s += " over " + c.Bass.String()
	}
	return s
}

// InversionName is "root position", "first inversion" and so on.
func InversionName(n int) string {
	names := [...]string{"root position", "first inversion", "second inversion", "third inversion"}
	if n >= 0 && n < len(names) {
		return names[n]
	}
	return fmt.Sprintf("inversion %d", n)
}

// SymbolError says where a chord symbol goes wrong.
type SymbolError struct {
	Symbol string
	Offset int // bytes from the start of Symbol
	Reason string
}

func (e *SymbolError) Error() string {
	return fmt.Sprintf("chord %q: %s", e.Symbol, e.Reason)
}

// Parse reads a chord symbol such as C, F#m7, Bb7/D, Gsus4, C6/9, Em7(b5) or
// N.C. Errors are *SymbolError.
func Parse(s string) (Chord, error) {
	if isNoChord(s) {
		return Chord{}, nil
	}
	fail := func(at int, format string, args ...any) (Chord, error) {
		return Chord{}, &SymbolError{Symbol: s, Offset: at, Reason: fmt.Sprintf(format, args...)}
	}
	if !utf8.ValidString(s) {
		return fail(0, "the text is not valid UTF-8")
	}
	root, rest, err := pitch.CutNote(s)
	if err != nil {
		return fail(0, "%v", err)
	}
	body, bassText, slash := cutBass(rest)
	bass := root
	if slash {
		if bass, err = pitch.ParseNote(bassText); err != nil {
			return fail(len(s)-len(bassText), "the bass after / must be a note: %v", err)
		}
	}
	t, ok := lookUp(body)
	if !ok {
		return fail(len(s)-len(rest), "%q is no chord type known here; after the root %s write nothing (major), m, 7, maj7, m7, dim, aug, sus4, 6, 9 and the like, then /bass", body, root)
	}
	return Chord{root, t, bass}, nil
}

func isNoChord(s string) bool {
	switch s {
	case "N.C.", "NC", "N.C", "n.c.", "N":
		return true
	}
	return false
}

// cutBass splits a slash bass from the end of a symbol; the slash in 6/9 is
// none.
func cutBass(s string) (body, bass string, slash bool) {
	i := strings.LastIndexByte(s, '/')
	if i < 0 || s[i+1:] == "9" {
		return s, "", false
	}
	return s[:i], s[i+1:], true
}

var plain = strings.NewReplacer("(", "", ")", "", "♯", "#", "♭", "b")

// lookUp finds the type written by a symbol's suffix, with parentheses ignored.
func lookUp(suffix string) (Type, bool) {
	text := plain.Replace(suffix)
	for t := None + 1; t < typeCount; t++ {
		if table[t].suffix == text {
			return t, true
		}
		for _, a := range table[t].aliases {
			if a == text {
				return t, true
			}
		}
	}
	return None, false
}

// Inversion is the place of the bass among the chord's tones: 0 root position,
// 1 the third in the bass, and so on; -1 where the bass is foreign to the
// chord, 0 for no chord.
func (c Chord) Inversion() int {
	if c.IsNone() || c.Bass.Class() == c.Root.Class() {
		return 0
	}
	above := c.Bass.Class().Above(c.Root.Class())
	for i, tone := range c.Type.Tones() {
		if int(pitch.ClassOf(tone.Interval.Semitones)) == above {
			return i
		}
	}
	return -1
}

// Set is the sounding pitch classes, a foreign bass included.
func (c Chord) Set() Set {
	if c.IsNone() {
		return 0
	}
	return c.Type.Set().Up(int(c.Root.Class())).With(c.Bass.Class())
}

// Transpose moves c by a spelled interval.
func (c Chord) Transpose(iv pitch.Interval) Chord {
	if c.IsNone() {
		return c
	}
	return Chord{c.Root.Up(iv), c.Type, c.Bass.Up(iv)}
}

// Notes are the chord's spelled tones, from the root up.
func (c Chord) Notes() []pitch.Note {
	tones := c.Type.Tones()
	notes := make([]pitch.Note, len(tones))
	for i, tone := range tones {
		notes[i] = c.Root.Up(tone.Interval)
	}
	return notes
}

// Spell names a class as the chord does, or by the key where it is foreign.
func (c Chord) Spell(cl pitch.Class, k pitch.Key) pitch.Note {
	for _, n := range c.Notes() {
		if n.Class() == cl {
			return n
		}
	}
	if !c.IsNone() && c.Bass.Class() == cl {
		return c.Bass
	}
	return k.Spell(cl)
}

// Degree is the interval from the root to the chord's own tone on a degree: 3
// is a minor third in Am, 5 a diminished fifth in Bdim. A suspended tone stands
// for the third. The octave (8), tenth (10) and twelfth (12) lie above their
// lower namesakes. Degrees that the chord lacks come from the major scale on
// its root, with the seventh falling back to the octave.
func (c Chord) Degree(d int) pitch.Interval {
	octave := pitch.Interval{}
	low := d
	for low > 7 && !c.has(low) {
		low -= 7
		octave.Steps += 7
		octave.Semitones += 12
	}
	iv := c.lowDegree(low)
	return pitch.Interval{Steps: iv.Steps + octave.Steps, Semitones: iv.Semitones + octave.Semitones}
}

// Home is the key whose tonic the chord is, minor for a minor third.
func (c Chord) Home() pitch.Key {
	return pitch.Key{Tonic: c.Root, Minor: c.Degree(3).Semitones == 3}.Simplest()
}

func (c Chord) has(d int) bool {
	for _, tone := range c.Type.Tones() {
		if tone.Degree == d {
			return true
		}
	}
	return false
}

func (c Chord) lowDegree(d int) pitch.Interval {
	tones := c.Type.Tones()
	for _, tone := range tones {
		if tone.Degree == d {
			return tone.Interval
		}
	}
	switch d {
	case 3: // what is suspended stands in its place
		for _, tone := range tones {
			if tone.Degree == 4 || tone.Degree == 2 {
				return tone.Interval
			}
		}
	case 7:
		return pitch.Interval{Steps: 7, Semitones: 12}
	}
	return pitch.Interval{Steps: d - 1, Semitones: MajorDegree(d)}
}

// MajorDegree is the semitones from a root up to a degree (1 to 15) of the
// major scale on it.
func MajorDegree(d int) int { return majorScale[(d-1)%7] + 12*((d-1)/7) }
