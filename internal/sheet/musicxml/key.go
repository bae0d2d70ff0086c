package musicxml

import (
	"math"
	"strconv"
	"strings"

	"undersong/internal/music/melody"
	"undersong/internal/music/pitch"
)

// parseNumber reads a number; NaN where there is none.
func parseNumber(s string) float64 {
	v, err := strconv.ParseFloat(strings.TrimSpace(s), 64)
	if err != nil || math.IsInf(v, 0) {
		return math.NaN()
	}
	return v
}

// transposition is how far what sounds lies from what is written.
type transposition struct {
	by      pitch.Interval // smaller than an octave
	octaves int
}

// stepsOf are the letters that so many semitones, without octaves, usually span.
var stepsOf = [12]int{0, 1, 1, 2, 2, 3, 3, 4, 5, 5, 6, 6}

// transposes reads <transpose>. Where the letters do not fit the semitones, the
// semitones count.
func (w *walker) transposes(n *node) {
	chromatic, ok := n.whole("chromatic")
	if !ok || chromatic < -127 || chromatic > 127 {
		w.tell("a transposition is not readable, and left out")
		return
	}
	octaves, _ := n.whole("octave-change")
	if n.child("double").at("above") == "yes" {
		octaves++
	}
	usual := stepsOf[abs(chromatic)%12] + 7*(abs(chromatic)/12)
	if chromatic < 0 {
		usual = -usual
	}
	steps, ok := n.whole("diatonic")
	if !ok || abs(steps-usual) > 1 {
		steps = usual
	}
	w.p.transpose = transposition{pitch.Interval{Steps: steps, Semitones: chromatic}, max(-10, min(10, octaves))}
}

func abs(n int) int { return max(n, -n) }

// pitch is a written pitch as it sounds.
func (t transposition) pitch(p pitch.Pitch) pitch.Pitch {
	return melody.Note{Pitch: p}.Transpose(t.by, t.octaves).Pitch
}

// note is a written note as it sounds.
func (t transposition) note(n pitch.Note) pitch.Note {
	return t.pitch(pitch.Pitch{Note: n, Octave: 4}).Note
}

// key is a written key as it sounds.
func (t transposition) key(k pitch.Key) pitch.Key {
	k.Tonic = k.Tonic.Up(t.by)
	if f := k.Fifths(); f < -7 || f > 7 {
		k = k.Simplest()
	}
	return k
}

// modes are those of <mode>: how far their tonic lies from that of the major key
// of the same signature, on the line of fifths, and whether their third is minor.
var modes = map[string]struct {
	fifths int
	minor  bool
}{
	"": {}, "major": {}, "ionian": {}, "none": {}, "minor": {3, true}, "aeolian": {3, true},
	"dorian": {2, true}, "phrygian": {4, true}, "lydian": {-1, false}, "mixolydian": {1, false}, "locrian": {5, true},
}

// key reads a key signature. Of the church modes the tonic is kept, and the key is
// major or minor as their third is.
func (w *walker) key(n *node) {
	fifths, ok := n.whole("fifths")
	if !ok || abs(fifths) > 11 {
		w.tell("a key signature that is not of a major or minor key is left out; its notes are as written")
		return
	}
	name := strings.ToLower(n.get("mode"))
	mode, ok := modes[name]
	if !ok {
		w.tell("the mode " + brief(name) + " is not known here, and taken for major")
	}
	k := pitch.Key{Tonic: pitch.NoteAtFifths(fifths + mode.fifths), Minor: mode.minor}
	if f := k.Fifths(); f < -7 || f > 7 {
		k = k.Simplest()
	}
	switch name {
	case "dorian", "phrygian", "lydian", "mixolydian", "locrian":
		w.tell("the mode " + name + " is taken for " + keyWords(k))
	}
	k = w.p.transpose.key(k)
	w.m.key = &k
}

func keyWords(k pitch.Key) string {
	if k.Minor {
		return k.Tonic.String() + " minor"
	}
	return k.Tonic.String() + " major"
}
