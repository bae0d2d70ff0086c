package capture

import (
	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
)

// degrees are the names that a tone may have, those of the lower octave first.
var degrees = []int{1, 3, 5, 7, 2, 4, 6, 9, 11, 13}

// octaveNames write a degree an octave up, where there is a word for it.
var octaveNames = map[int]int{1: 8, 3: 10, 5: 12, 2: 9, 4: 11, 6: 13, 7: 14}

// names are the ways to write a key over a chord in a hand that lies from low up,
// the plainest first: as a degree of the chord, and as written on the major scale.
func names(key pitch.Num, c chord.Chord, low pitch.Num) []pattern.Tone {
	above := int(key - c.Root.Class().From(low))
	class := key.Class().Above(c.Root.Class())
	octave := (above - class) / 12
	var all []pattern.Tone
	if c.Type.Set().Has(pitch.Class(class)) {
		for _, d := range degrees {
			if semis := c.Degree(d).Semitones; int(pitch.ClassOf(semis)) == class {
				all = append(all, inOctave(pattern.Tone{Degree: d}, octave-(semis-class)/12))
				break
			}
		}
	}
	return append(all, inOctave(written(class), octave))
}

// written is a tone counted on the major scale: 0 to 11 semitones over the root.
func written(class int) pattern.Tone {
	for d := 1; d <= 7; d++ {
		if chord.MajorDegree(d) == class {
			return pattern.Tone{Degree: d, Written: true}
		}
	}
	for _, d := range []int{2, 3, 6, 7} { // as chords have them: b7, b6, b3, b2
		if chord.MajorDegree(d) == class+1 {
			return pattern.Tone{Degree: d, Alter: -1, Written: true}
		}
	}
	return pattern.Tone{Degree: 4, Alter: 1, Written: true}
}

func inOctave(t pattern.Tone, octave int) pattern.Tone {
	if name, ok := octaveNames[t.Degree]; ok && octave == 1 {
		t.Degree, octave = name, 0
	} else if t.Degree == 1 && octave == 2 {
		t.Degree, octave = 15, 0
	}
	t.Octave = within(octave)
	return t
}

// within keeps an octave mark to what a pattern file takes.
func within(octave int) int { return min(max(octave, -3), 3) }

// ofKey is a key as the tonic or the fifth of the key of the piece, where it is.
func ofKey(key pitch.Num, k pitch.Key, low pitch.Num) (pattern.Tone, bool) {
	tonic := k.Tonic.Class().From(low)
	for _, d := range []int{1, 5} {
		if off := int(key-tonic) - chord.MajorDegree(d); off%12 == 0 {
			return pattern.Tone{Degree: d, OfKey: true, Octave: within(off / 12)}, true
		}
	}
	return pattern.Tone{}, false
}

// simple is a tone's degree within an octave.
func simple(t pattern.Tone) int {
	if t.Degree > 7 {
		return t.Degree - 7*((t.Degree-1)/7)
	}
	return t.Degree
}
