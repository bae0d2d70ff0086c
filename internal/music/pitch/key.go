package pitch

import (
	"fmt"
	"strings"
)

// Key is a major or minor key. The zero value is C major.
type Key struct {
	Tonic Note
	Minor bool
}

// ParseKey reads "F", "Bb", "Am", "F#m", "C minor", "E flat major", "g minor" and the like.
func ParseKey(s string) (Key, error) {
	text := strings.TrimSpace(s)
	text = strings.NewReplacer(" flat", "b", "-flat", "b", " sharp", "#", "-sharp", "#").Replace(text)
	if saysMode(text) { // then its letter may be small
		text = strings.ToUpper(text[:1]) + text[1:]
	}
	n, rest, err := CutNote(text)
	if err != nil {
		return Key{}, fmt.Errorf("key %q: %w%s", s, err, keyHint(text))
	}
	k := Key{Tonic: n}
	switch mode := strings.TrimSpace(rest); mode {
	case "", "M", "maj", "major", "Major":
	case "m", "min", "minor", "Minor":
		k.Minor = true
	default:
		return Key{}, fmt.Errorf("key %q: expected a note, then nothing or \"major\" for a major key, m or \"minor\" for a minor key, as in F, Bb, Am", s)
	}
	if f := k.Fifths(); f < -7 || f > 7 {
		return Key{}, fmt.Errorf("key %q has more than seven sharps or flats; write it as %s", s, k.Simplest())
	}
	return k, nil
}

// saysMode reports a key whose mode is a word of its own.
func saysMode(text string) bool {
	mode := strings.ToLower(text)
	return strings.HasSuffix(mode, " minor") || strings.HasSuffix(mode, " major")
}

// keyHint is what a key was meant to be that does not begin with A to G; it may be
// empty.
func keyHint(text string) string {
	if text == "" {
		return ""
	}
	upper := strings.ToUpper(text[:1])
	if upper == "H" {
		return "; the note H is called B here, and the B of some countries Bb"
	}
	if upper < "A" || upper > "G" || upper == text[:1] {
		return ""
	}
	k, err := ParseKey(upper + text[1:])
	switch {
	case err != nil:
		return ""
	case k.Minor:
		return fmt.Sprintf("; write it large: %s", k)
	}
	return fmt.Sprintf("; write it large: %s for major, %sm for minor", k, k)
}

// String writes the tonic, with m for minor: F, Am, F#m.
func (k Key) String() string {
	if k.Minor {
		return k.Tonic.String() + "m"
	}
	return k.Tonic.String()
}

// MarshalText is what String writes.
func (k Key) MarshalText() ([]byte, error) { return []byte(k.String()), nil }

// UnmarshalText reads what ParseKey does.
func (k *Key) UnmarshalText(text []byte) (err error) {
	*k, err = ParseKey(string(text))
	return err
}

// Fifths is the key signature: sharps counted up, flats down (-7 to 7), as in
// the MIDI key signature meta event.
func (k Key) Fifths() int {
	if k.Minor {
		return k.Tonic.Fifths() - 3
	}
	return k.Tonic.Fifths()
}

// Simplest is the same key on the keyboard with the fewest sharps or flats;
// six sharps are kept as they are, and so are six flats.
func (k Key) Simplest() Key {
	f := k.Fifths()
	for f > 6 {
		f -= 12
	}
	for f < -6 {
		f += 12
	}
	return k.withFifths(f)
}

// FifthUp is the key on the fifth, in the same mode, which shares all notes but one:
// G after C, E minor after A minor.
func (k Key) FifthUp() Key { return k.withFifths(k.Fifths() + 1).Simplest() }

func (k Key) withFifths(f int) Key {
	if k.Minor {
		f += 3
	}
	return Key{Tonic: NoteAtFifths(f), Minor: k.Minor}
}

// KeyAt is the major or minor key on a pitch class, with at most six sharps or
// flats; G flat major rather than F sharp, E flat minor rather than D sharp.
func KeyAt(c Class, minor bool) Key {
	for f := -6; f <= 5; f++ {
		if k := (Key{Minor: minor}).withFifths(f); k.Tonic.Class() == c {
			return k
		}
	}
	panic("pitch: class out of range")
}

// Scale is the key's seven notes from the tonic up; for minor the natural minor.
func (k Key) Scale() [7]Note {
	steps := [7]int{0, 2, 4, 5, 7, 9, 11}
	if k.Minor {
		steps = [7]int{0, 2, 3, 5, 7, 8, 10}
	}
	var s [7]Note
	for i := range s {
		s[i] = k.Tonic.Up(Interval{i, steps[i]})
	}
	return s
}

// Spell names a pitch class in the key: scale notes as written, the others as
// the flat second, third, sixth and seventh or the sharp fourth degree of a
// major key, and as the raised sixth and seventh of a minor one. These are the
// places on the line of fifths nearest the key (common practice, no source).
func (k Key) Spell(c Class) Note {
	t := k.Tonic.Fifths()
	for f := t - 5; f <= t+6; f++ {
		if n := NoteAtFifths(f); n.Class() == c {
			return n
		}
	}
	panic("pitch: class out of range")
}

// SpellRaised names a class as a raised degree where it is not in the scale: C
// sharp rather than D flat in C major. Roots of diminished chords are leading
// notes and want it (Open Music Theory v1, "Applied chords").
func (k Key) SpellRaised(c Class) Note {
	for _, n := range k.Scale() {
		if n.Class() == c {
			return n
		}
	}
	t := k.Tonic.Fifths()
	for f := t + 2; f <= t+13; f++ {
		if n := NoteAtFifths(f); n.Class() == c {
			return n
		}
	}
	panic("pitch: class out of range")
}

// To is the interval by which music in k moves to stand in other, upwards and
// smaller than an octave; spelled, so that F to B flat differs from F to A sharp.
func (k Key) To(other Key) Interval { return IntervalUp(k.Tonic, other.Tonic) }
