package words

import (
	"slices"

	"undersong/internal/judge/finding"
	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
	"undersong/internal/text/wording"
)

// degreeNames are the names of a chord's tones by the letters from the root up.
var degreeNames = [7]string{"root", "ninth", "third", "fourth", "fifth", "sixth", "seventh"}

// degree is what a note is above a root: "third".
func degree(root, n pitch.Note) string { return degreeNames[(int(n.Letter-root.Letter)+7)%7] }

// degreeOf is what a class is in a chord; empty where it is no tone of it.
func (v *Wording) degreeOf(c chord.Chord, k pitch.Class) string {
	for _, n := range c.Notes() {
		if n.Class() == k {
			return degree(c.Root, n)
		}
	}
	return ""
}

// lacks names what a chord that was struck lacked: "seventh", "root and fifth"; empty
// where one of it is no tone of the chord.
func (v *Wording) lacks(f *finding.Finding, keys *finding.Keys) string {
	var names []string
	for i := range keys.Len() {
		k := keys.At(i)
		name := v.degreeOf(v.harmony(f), k.Class())
		switch {
		case name == "":
			return ""
		case v.sounds(f, k.Class()):
			name = "octave"
		}
		if !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	return wording.Join(names, "and")
}

// sounds reports a class among the keys that were struck.
func (v *Wording) sounds(f *finding.Finding, c pitch.Class) bool {
	for i := range f.Heard.Len() {
		if f.Heard.At(i).Class() == c {
			return true
		}
	}
	return false
}

// thisIs tells what makes a bass wrong: the harmony, or which of its tones is wanted
// here where another one was struck: "the fifth is wanted here".
func (v *Wording) thisIs(f *finding.Finding) string {
	w, c := v.want(f), v.harmony(f)
	this := "this is " + c.String()
	if w.Approach || !single(w) || f.Heard.Len() != 1 {
		return this
	}
	wanted, struck := v.degreeOf(c, w.Tones[0].Key.Class()), v.degreeOf(c, f.Heard.At(0).Class())
	if wanted == "" || struck == "" && wanted == "root" {
		return this
	}
	if struck == "" {
		return "the " + wanted + " of " + c.String() + " is wanted here"
	}
	return "the " + wanted + " is wanted here"
}

// single reports a stroke of one note that nothing else will do for.
func single(w *score.Want) bool {
	return len(w.Tones) == 1 && w.Tones[0].Accept == chord.Set(0).With(w.Tones[0].Key.Class())
}

// octavesText is "an octave" or "two octaves".
func octavesText(n int) string {
	switch n = max(n, -n); n {
	case 1:
		return "an octave"
	case 2:
		return "two octaves"
	}
	return wording.Count(n, "octave")
}

// tooFar is ", an octave too high" of a note in the wrong octave, else empty.
func tooFar(f *finding.Finding) string {
	n := f.OctavesOff()
	if f.Kind != finding.WrongBass && f.Kind != finding.WrongNote || n == 0 {
		return ""
	}
	if n > 0 {
		return ", " + octavesText(n) + " too high"
	}
	return ", " + octavesText(n) + " too low"
}
