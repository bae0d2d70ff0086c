package capture

import (
	"slices"

	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
)

// keysOf lists the keys of notes, from below.
func keysOf(notes []note) []pitch.Num {
	keys := make([]pitch.Num, len(notes))
	for i, n := range notes {
		keys[i] = n.key
	}
	slices.Sort(keys)
	return keys
}

func classesOf(keys []pitch.Num) chord.Set {
	var s chord.Set
	for _, k := range keys {
		s = s.With(k.Class())
	}
	return s
}

func setOf(classes []pitch.Class) chord.Set {
	var s chord.Set
	for _, c := range classes {
		s = s.With(c)
	}
	return s
}

// wholeChord reports keys of one hand that are the chord: all of it within an
// octave, but for what is often left out of four notes.
func wholeChord(keys []pitch.Num, c chord.Chord) bool {
	n := len(keys)
	if n < 2 || keys[n-1]-keys[0] > 12 {
		return false
	}
	full := setOf(c.HandTones(4))
	has := classesOf(keys)
	if has&^full != 0 {
		return false
	}
	lacks := full &^ has
	if len(c.HandTones(4)) < 4 {
		return lacks == 0
	}
	spare := c.Type.Optional().Up(int(c.Root.Class())).With(c.Root.Class())
	return lacks&^spare == 0 && n >= 3
}

// inversionOf is which note of a whole chord lies lowest, counted as in
// pattern.Cell, or -1.
func inversionOf(keys []pitch.Num, c chord.Chord) int {
	return slices.Index(c.HandTones(4), keys[0].Class())
}

// shapesOf lists the shapes, other than close, in which keys of both hands are the
// whole chord: one voicing for both.
func shapesOf(keys []pitch.Num, c chord.Chord) []pattern.Shape {
	classes := c.HandTones(4)
	var all []pattern.Shape
	if len(keys) == len(classes) && len(keys) > 2 && classesOf(keys) == setOf(classes) {
		if slices.Equal(chord.Opened(chord.Close(classes, keys[0].Class(), keys[0])), keys) {
			all = append(all, pattern.Open)
		}
		for _, bottom := range classes {
			for low := keys[0] + 1; low < keys[0]+12; low++ {
				if v := chord.Close(classes, bottom, low); v[0] == low && slices.Equal(chord.Dropped(v), keys) {
					all = append(all, pattern.Drop)
				}
			}
		}
	}
	if isSpread(keys, c) {
		all = append(all, pattern.Spread)
	}
	return all
}

// isSpread reports the root with a fifth or seventh below, and the other notes
// close together above: two at least, the root again where one is left.
func isSpread(keys []pitch.Num, c chord.Chord) bool {
	if len(keys) != 4 || keys[0].Class() != c.Root.Class() || keys[3]-keys[2] > 12 {
		return false
	}
	above := c.Degree(5).Semitones
	tones := c.HandTones(4)
	if len(c.Type.Tones()) > 3 {
		above = c.Degree(7).Semitones
	}
	if int(keys[1]-keys[0]) != above {
		return false
	}
	rest := setOf(tones) &^ classesOf(keys[:2])
	if len(tones) == 3 {
		rest = rest.With(c.Root.Class())
	}
	return classesOf(keys[2:]) == rest
}

// sharedShape is the shape of one voicing for both hands where nothing else is
// played, or Close. It is open where the root lies lowest each time, and spread only
// where that is not just a bass under a whole chord.
func sharedShape(groups []group, chords []chord.Chord) pattern.Shape {
	votes := map[pattern.Shape]int{}
	rooted, bass := true, true
	for i, g := range groups {
		keys := keysOf(g.notes)
		rooted = rooted && keys[0].Class() == chords[i].Root.Class()
		bass = bass && wholeChord(keys[1:], chords[i])
		for _, shape := range shapesOf(keys, chords[i]) {
			votes[shape]++
		}
	}
	if !rooted {
		delete(votes, pattern.Open)
	}
	if bass {
		delete(votes, pattern.Spread)
	}
	for _, shape := range []pattern.Shape{pattern.Spread, pattern.Open, pattern.Drop} {
		if votes[shape]*5 >= len(groups)*4 {
			return shape
		}
	}
	return pattern.Close
}
