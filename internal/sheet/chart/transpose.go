package chart

import (
	"undersong/internal/music/chord"
	"undersong/internal/music/melody"
	"undersong/internal/music/pitch"
)

// In is the chart in another key; c stays as it is. Every chord keeps its place
// in the key and its spelling there: E7 in C is G#7 in E. A chord foreign to the
// key takes its other name where it reads more simply: Ab in C is D in Gb, not
// Ebb.
//
// A major chart stays major and a minor one minor: of key only the tonic counts.
// Where that would need more than seven sharps or flats the simpler name of the
// same key is taken.
func (c *Chart) In(key pitch.Key) *Chart {
	d := c.clone()
	d.Key = pitch.Key{Tonic: key.Tonic, Minor: c.Key.Minor}
	if f := d.Key.Fifths(); f < -7 || f > 7 {
		d.Key = d.Key.Simplest()
	}
	if d.Key == c.Key {
		return d
	}
	iv := c.Key.To(d.Key)
	for _, b := range d.Bars() {
		for i, p := range b.Chords {
			b.Chords[i].Chord = respell(p.Chord.Transpose(iv), d.Key)
		}
	}
	d.moveTune(iv)
	return d
}

// moveTune moves the tune to the nearest place in the new key that a piano has:
// a key a sixth up is a third down. An augmented fourth goes up, a diminished
// fifth down, so that a tune moved there and back is where it was.
func (c *Chart) moveTune(iv pitch.Interval) {
	octaves := 0
	if iv.Semitones > 6 || iv.Semitones == 6 && iv.Steps == 4 {
		octaves = -1
	}
	up := pitch.Num(iv.Semitones + 12*octaves)
	switch low, high := c.compass(); {
	case high+up > pitch.PianoHigh:
		octaves--
	case low+up < pitch.PianoLow:
		octaves++
	}
	for _, b := range c.Bars() {
		for i, n := range b.Melody {
			b.Melody[i] = onPiano(n.Transpose(iv, octaves))
		}
	}
}

// compass is the lowest and the highest key of the tune.
func (c *Chart) compass() (low, high pitch.Num) {
	low, high = pitch.PianoHigh, pitch.PianoLow
	for _, b := range c.Bars() {
		for _, n := range b.Melody {
			low, high = min(low, n.Pitch.Num()), max(high, n.Pitch.Num())
		}
	}
	return low, high
}

// onPiano brings a single note back that a tune as wide as the keyboard has lost.
func onPiano(n melody.Note) melody.Note {
	switch key := n.Pitch.Num(); {
	case key > pitch.PianoHigh:
		n.Pitch.Octave--
	case key < pitch.PianoLow:
		n.Pitch.Octave++
	}
	return n
}

// respell gives a chord its simplest spelling in a key. Roots of the key stay.
func respell(c chord.Chord, k pitch.Key) chord.Chord {
	if c.IsNone() {
		return c
	}
	if !inKey(c.Root, k) && !leading(c, k) {
		best := c
		for _, f := range []int{-12, 12} {
			if o := shift(c, f); cost(o, k) < cost(best, k) {
				best = o
			}
		}
		c = best
	}
	c.Bass = respellBass(c, k)
	return c
}

// shift moves a chord along the line of fifths; by 12 it sounds the same.
func shift(c chord.Chord, fifths int) chord.Chord {
	c.Root = pitch.NoteAtFifths(c.Root.Fifths() + fifths)
	c.Bass = pitch.NoteAtFifths(c.Bass.Fifths() + fifths)
	return c
}

// cost weighs how hard a chord on a root foreign to the key is to read: double
// accidentals most, then roots and tones such as E# or Cb that the key does not
// have, then a root far from the key. The weights are a matter of taste.
func cost(c chord.Chord, k pitch.Key) int {
	sum := 4 * odd(c.Root, k)
	for _, n := range c.Notes() {
		sum += 2 * odd(n, k)
	}
	if far(c, k) {
		sum++
	}
	return sum
}

// odd is 0 for a note that reads easily, 1 for E#, B#, Cb and Fb outside their
// keys, 2 and more with double accidentals.
func odd(n pitch.Note, k pitch.Key) int {
	alter := max(n.Alter, -n.Alter)
	switch {
	case alter > 1:
		return 2 * (alter - 1)
	case inKey(n, k):
		return 0
	}
	switch n.String() {
	case "E#", "B#", "Cb", "Fb":
		return 1
	}
	return 0
}

// leading reports a diminished chord on a raised degree, which leads up to the
// next one (Open Music Theory v1, "Applied chords"): B#dim7 in E goes to C#m and
// is no Cdim7. Double sharps are left to cost.
func leading(c chord.Chord, k pitch.Key) bool {
	place := c.Root.Fifths() - k.Tonic.Fifths()
	s := c.Type.Set()
	return s.Has(3) && s.Has(6) && place >= 6 && place <= 10 && c.Root.Alter < 2
}

// far reports a root outside the notes that a key commonly borrows: flat second
// to sharp fourth on the line of fifths (common practice, no source).
func far(c chord.Chord, k pitch.Key) bool {
	place := c.Root.Fifths() - k.Tonic.Fifths()
	return place < -5 || place > 6
}

// inKey reports a note of the scale; in minor also the raised sixth and seventh.
func inKey(n pitch.Note, k pitch.Key) bool {
	for _, s := range k.Scale() {
		if s == n {
			return true
		}
	}
	place := n.Fifths() - k.Tonic.Fifths()
	return k.Minor && (place == 3 || place == 5)
}

// respellBass names the bass as the chord does where it is a chord tone, else
// by its simpler name.
func respellBass(c chord.Chord, k pitch.Key) pitch.Note {
	for _, n := range c.Notes() {
		if n.Class() == c.Bass.Class() {
			return n
		}
	}
	best := c.Bass
	for _, f := range []int{-12, 12} {
		if n := pitch.NoteAtFifths(c.Bass.Fifths() + f); odd(n, k) < odd(best, k) {
			best = n
		}
	}
	return best
}
