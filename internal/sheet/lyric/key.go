package lyric

import (
	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
)

// A chord's place in a key, by the semitones of its root above the tonic, with what it
// says for that key: chords of the key most, tonic and dominant above all, those of
// near keys little, others against it (common practice, no source).
var (
	inMajor = map[string]float64{"0": 3, "7": 2.2, "7x": 3, "5": 2, "9m": 1.4, "2m": 1.4, "4m": 1, "11o": 1, "0x": 1, "5x": 1,
		"2x": 0.6, "9x": 0.3, "4x": 0.2, "2": 0.2, "10": 0, "5m": 0.3, "9": -0.2, "4": -0.2, "8": -0.3, "3": -0.3, "7m": -0.2}
	inMinor = map[string]float64{"0m": 3, "7": 2.2, "7x": 3, "5m": 2, "10": 1.7, "8": 1.5, "3": 1.5, "7m": 1.2, "2o": 1, "11o": 1,
		"5": 0.4, "5x": 0.4, "10x": 1, "0": 0, "0x": 0.2, "2x": 0.3}
)

// What the last and the first chord of a song say for the key on them.
const (
	forLast  = 0.5
	forFirst = 0.5
	against  = -1.0 // a chord that is foreign
	near     = 0.35 // the lead under which the second key is told, too
)

// place names a chord's place over a tonic, as above: m minor, o diminished, x with a
// minor seventh.
func place(c chord.Chord, tonic pitch.Class) string {
	s := [...]string{"0", "1", "2", "3", "4", "5", "6", "7", "8", "9", "10", "11"}[c.Root.Class().Above(tonic)]
	set := c.Type.Set()
	has := func(n int) bool { return set.Has(pitch.ClassOf(n)) }
	switch {
	case has(3) && !has(4) && has(6) && !has(7):
		return s + "o"
	case has(3) && !has(4):
		return s + "m"
	case has(10):
		return s + "x"
	}
	return s
}

// fit is how well the chords suit a key, each as often as it is played.
func fit(chords []chord.Chord, k pitch.Key) float64 {
	table := inMajor
	if k.Minor {
		table = inMinor
	}
	sum := 0.0
	for _, c := range chords {
		v, ok := table[place(c, k.Tonic.Class())]
		if !ok {
			v = against
		}
		sum += v
	}
	sum /= float64(len(chords))
	if home(chords[len(chords)-1], k) {
		sum += forLast
	}
	if home(chords[0], k) {
		sum += forFirst
	}
	return sum
}

func home(c chord.Chord, k pitch.Key) bool {
	p := place(c, k.Tonic.Class())
	return !k.Minor && (p == "0" || p == "0x") || k.Minor && p == "0m"
}

// keys finds the key of a song's chords and the one that suits second best, with the
// first's lead.
func keys(chords []chord.Chord) (best, second pitch.Key, lead float64) {
	if len(chords) == 0 {
		return pitch.Key{}, pitch.Key{Minor: true}, near
	}
	first, next := -99.0, -99.0
	for t := pitch.Class(0); t < 12; t++ {
		for _, minor := range []bool{false, true} {
			k := spelled(pitch.KeyAt(t, minor), chords)
			switch f := fit(chords, k); {
			case f > first:
				best, second, first, next = k, best, f, first
			case f > next:
				second, next = k, f
			}
		}
	}
	return best, second, first - next
}

// spelled writes a key as the chord on its tonic is written.
func spelled(k pitch.Key, chords []chord.Chord) pitch.Key {
	for _, c := range chords {
		if c.Root.Class() == k.Tonic.Class() {
			if other := (pitch.Key{Tonic: c.Root, Minor: k.Minor}); other.Simplest().Fifths() == k.Fifths() || other.Fifths() >= -7 && other.Fifths() <= 7 {
				return other
			}
		}
	}
	return k
}
