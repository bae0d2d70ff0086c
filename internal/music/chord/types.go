// Package chord names chords: a table of chord types, a reader and writer of
// chord symbols, their tones and inversions, and voicings for the hand.
package chord

import (
	"fmt"
	"strconv"
	"strings"

	"undersong/internal/music/pitch"
)

// Type is a kind of chord, such as a dominant seventh. The zero value, None, is
// no chord at all (N.C.).
type Type uint8

// The chord types, in the order of the table below.
const (
	None Type = iota
	Major
	Minor
	Diminished
	Augmented
	Power
	Sus4
	Sus2
	Sixth
	MinorSixth
	Dominant
	MajorSeventh
	MinorSeventh
	DiminishedSeventh
	HalfDiminished
	MinorMajor
	AugmentedSeventh
	AugmentedMajorSeventh
	DominantFlatFive
	DominantSus4
	Add9
	MinorAdd9
	Add4
	SixNine
	MinorSixNine
	Ninth
	MajorNinth
	MinorNinth
	NinthSus4
	DominantFlatNine
	DominantSharpNine
	DominantSharpEleven
	MajorSharpEleven
	DominantFlatThirteen
	Eleventh
	MajorEleventh
	MinorEleventh
	Thirteenth
	MajorThirteenth
	MinorThirteenth
	typeCount
)

// info is a row of the chord type table. Kinds and tones follow the MusicXML
// 4.0 kind-value data type (W3C Community Group); shorthands follow Harte,
// Sandler, Abdallah and Gomez, ISMIR 2005, and its later extensions as carried
// by JAMS. An empty field means that the standard has no such word: the type
// is then written there as another kind with added degrees.
type info struct {
	suffix  string   // what we write after the root
	aliases []string // what we also read, parentheses left out
	name    string   // in words
	degrees string   // tones as degrees of the major scale, root first
	kind    string   // MusicXML
	harte   string
	drops   string // degrees that players often leave out
}

var table = [typeCount]info{
	None:                  {"N.C.", nil, "no chord", "", "none", "N", ""},
	Major:                 {"", []string{"M", "maj", "^"}, "major", "1 3 5", "major", "maj", "5"},
	Minor:                 {"m", []string{"-", "min", "mi"}, "minor", "1 b3 5", "minor", "min", "5"},
	Diminished:            {"dim", []string{"o", "°", "mb5", "m-5"}, "diminished", "1 b3 b5", "diminished", "dim", ""},
	Augmented:             {"aug", []string{"+", "#5", "+5"}, "augmented", "1 3 #5", "augmented", "aug", ""},
	Power:                 {"5", nil, "open fifth", "1 5", "power", "5", ""},
	Sus4:                  {"sus4", []string{"sus"}, "suspended fourth", "1 4 5", "suspended-fourth", "sus4", ""},
	Sus2:                  {"sus2", nil, "suspended second", "1 2 5", "suspended-second", "sus2", ""},
	Sixth:                 {"6", []string{"M6", "maj6", "add6"}, "sixth", "1 3 5 6", "major-sixth", "maj6", ""},
	MinorSixth:            {"m6", []string{"-6", "min6", "mi6"}, "minor sixth", "1 b3 5 6", "minor-sixth", "min6", ""},
	Dominant:              {"7", []string{"dom7"}, "dominant seventh", "1 3 5 b7", "dominant", "7", "5"},
	MajorSeventh:          {"maj7", []string{"M7", "ma7", "Δ7", "Δ", "△7", "△", "j7"}, "major seventh", "1 3 5 7", "major-seventh", "maj7", "5"},
	MinorSeventh:          {"m7", []string{"-7", "min7", "mi7"}, "minor seventh", "1 b3 5 b7", "minor-seventh", "min7", "5"},
	DiminishedSeventh:     {"dim7", []string{"o7", "°7"}, "diminished seventh", "1 b3 b5 bb7", "diminished-seventh", "dim7", ""},
	HalfDiminished:        {"m7b5", []string{"ø7", "ø", "-7b5", "min7b5", "mi7b5", "m7-5"}, "half-diminished seventh", "1 b3 b5 b7", "half-diminished", "hdim7", ""},
	MinorMajor:            {"mMaj7", []string{"mmaj7", "mM7", "-maj7", "-Δ7", "-M7", "minmaj7", "mΔ7"}, "minor with major seventh", "1 b3 5 7", "major-minor", "minmaj7", "5"},
	AugmentedSeventh:      {"aug7", []string{"+7", "7#5", "7+5", "7+"}, "augmented seventh", "1 3 #5 b7", "augmented-seventh", "aug7", ""},
	AugmentedMajorSeventh: {"maj7#5", []string{"+maj7", "augmaj7", "M7#5", "Δ7#5"}, "augmented with major seventh", "1 3 #5 7", "", "", ""},
	DominantFlatFive:      {"7b5", []string{"7-5"}, "seventh flat five", "1 3 b5 b7", "", "", ""},
	DominantSus4:          {"7sus4", []string{"7sus"}, "seventh suspended fourth", "1 4 5 b7", "", "", "5"},
	Add9:                  {"add9", []string{"2", "add2"}, "added ninth", "1 3 5 9", "", "", ""},
	MinorAdd9:             {"madd9", []string{"m2", "madd2", "-add9", "minadd9"}, "minor added ninth", "1 b3 5 9", "", "", ""},
	Add4:                  {"add4", []string{"add11"}, "added fourth", "1 3 5 11", "", "", ""},
	SixNine:               {"6/9", []string{"69", "6add9"}, "sixth with added ninth", "1 3 5 6 9", "", "", "5"},
	MinorSixNine:          {"m6/9", []string{"m69", "-6/9", "m6add9"}, "minor sixth with added ninth", "1 b3 5 6 9", "", "", "5"},
	Ninth:                 {"9", []string{"7add9"}, "ninth", "1 3 5 b7 9", "dominant-ninth", "9", "5"},
	MajorNinth:            {"maj9", []string{"M9", "ma9", "Δ9", "maj7add9"}, "major ninth", "1 3 5 7 9", "major-ninth", "maj9", "5"},
	MinorNinth:            {"m9", []string{"-9", "min9", "mi9", "m7add9"}, "minor ninth", "1 b3 5 b7 9", "minor-ninth", "min9", "5"},
	NinthSus4:             {"9sus4", []string{"9sus"}, "ninth suspended fourth", "1 4 5 b7 9", "", "", "5"},
	DominantFlatNine:      {"7b9", []string{"7-9"}, "seventh flat nine", "1 3 5 b7 b9", "", "", "5"},
	DominantSharpNine:     {"7#9", []string{"7+9"}, "seventh sharp nine", "1 3 5 b7 #9", "", "", "5"},
	DominantSharpEleven:   {"7#11", []string{"7+11"}, "seventh sharp eleven", "1 3 5 b7 #11", "", "", ""},
	MajorSharpEleven:      {"maj7#11", []string{"M7#11", "Δ7#11"}, "major seventh sharp eleven", "1 3 5 7 #11", "", "", ""},
	DominantFlatThirteen:  {"7b13", []string{"7-13"}, "seventh flat thirteen", "1 3 5 b7 b13", "", "", ""},
	Eleventh:              {"11", nil, "eleventh", "1 3 5 b7 9 11", "dominant-11th", "11", "3 5"},
	MajorEleventh:         {"maj11", []string{"M11", "ma11", "Δ11"}, "major eleventh", "1 3 5 7 9 11", "major-11th", "maj11", "5"},
	MinorEleventh:         {"m11", []string{"-11", "min11", "mi11"}, "minor eleventh", "1 b3 5 b7 9 11", "minor-11th", "min11", "5 9"},
	Thirteenth:            {"13", nil, "thirteenth", "1 3 5 b7 9 11 13", "dominant-13th", "13", "5 9 11"},
	MajorThirteenth:       {"maj13", []string{"M13", "ma13", "Δ13"}, "major thirteenth", "1 3 5 7 9 11 13", "major-13th", "maj13", "5 9 11"},
	MinorThirteenth:       {"m13", []string{"-13", "min13", "mi13"}, "minor thirteenth", "1 b3 5 b7 9 11 13", "minor-13th", "min13", "5 9 11"},
}

// Types lists every chord type, None left out, in the order of the table.
func Types() []Type {
	all := make([]Type, 0, typeCount-1)
	for t := None + 1; t < typeCount; t++ {
		all = append(all, t)
	}
	return all
}

func (t Type) row() *info {
	if t >= typeCount {
		t = None
	}
	return &table[t]
}

// Suffix is what stands after the root in a symbol: "m7", "" for major.
func (t Type) Suffix() string { return t.row().suffix }

// Name says the type in words, such as "minor seventh".
func (t Type) Name() string { return t.row().name }

// MusicXML is the kind value of the MusicXML 4.0 standard, or "" where the
// standard needs added degrees.
func (t Type) MusicXML() string { return t.row().kind }

// Harte is the shorthand of Harte et al. 2005, or "".
func (t Type) Harte() string { return t.row().harte }

// Tone is one note of a chord type, relative to its root.
type Tone struct {
	Degree   int            // 1, 3, 5, 7, 9...; 2, 4, 6 in suspended and sixth chords
	Interval pitch.Interval // from the root; ninths and up span more than an octave
}

// Tones lists the type's tones from the root up.
func (t Type) Tones() []Tone {
	fields := strings.Fields(t.row().degrees)
	tones := make([]Tone, len(fields))
	for i, f := range fields {
		d, iv, err := ParseDegree(f)
		if err != nil {
			panic("chord: bad table row " + t.Name() + ": " + err.Error())
		}
		tones[i] = Tone{d, iv}
	}
	return tones
}

var majorScale = [7]int{0, 2, 4, 5, 7, 9, 11}

// ParseDegree reads a degree of the major scale with its alteration, such as
// "5", "b7", "#11", "bb7". Degrees run from 1 to 15.
func ParseDegree(s string) (degree int, iv pitch.Interval, err error) {
	number := strings.TrimLeft(s, "b#")
	marks := s[:len(s)-len(number)]
	degree, err = strconv.Atoi(number)
	if err != nil || degree < 1 || degree > 15 || len(marks) > 2 || marks == "b#" || marks == "#b" || number[0] == '0' || number[0] == '+' {
		return 0, pitch.Interval{}, fmt.Errorf("%q is not a degree, such as 1, b3, 5 or #11", s)
	}
	alter := strings.Count(marks, "#") - strings.Count(marks, "b")
	steps := degree - 1
	return degree, pitch.Interval{Steps: steps, Semitones: MajorDegree(degree) + alter}, nil
}

// Set is a set of pitch classes: bit i stands for the class i semitones above
// C, or above a root where that is said.
type Set uint16

// Has reports whether class c is in s.
func (s Set) Has(c pitch.Class) bool { return s>>uint(c)&1 == 1 }

// With is s and class c.
func (s Set) With(c pitch.Class) Set { return s | 1<<uint(c) }

// Up is the set moved up by n semitones, 0 to 11.
func (s Set) Up(n int) Set { return (s<<uint(n) | s>>uint(12-n)) & 0xFFF }

// Scale is the set of a key's notes; for minor the natural minor.
func Scale(k pitch.Key) Set {
	var s Set
	for _, n := range k.Scale() {
		s = s.With(n.Class())
	}
	return s
}

// sets is each type's pitch classes, worked out once from the table.
var sets = func() (all [typeCount]Set) {
	for t := range all {
		for _, tone := range Type(t).Tones() {
			all[t] = all[t].With(pitch.ClassOf(tone.Interval.Semitones))
		}
	}
	return all
}()

// Set is the type's pitch classes above its root.
func (t Type) Set() Set {
	if t >= typeCount {
		return 0
	}
	return sets[t]
}

// Optional is the part of Set that players often leave out: the fifth, and in
// tall chords the notes in the middle (common practice; the eleventh without
// its third and the thirteenth without its eleventh also in tonal 6.4.2).
func (t Type) Optional() Set {
	var s Set
	for _, d := range strings.Fields(t.row().drops) {
		n, _ := strconv.Atoi(d)
		for _, tone := range t.Tones() {
			if tone.Degree == n {
				s = s.With(pitch.ClassOf(tone.Interval.Semitones))
			}
		}
	}
	return s
}
