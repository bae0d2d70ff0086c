package harmony

import (
	"strings"

	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
)

// Roman names a chord by its degree in a key, as theory books do (Open Music
// Theory; Hutchinson, Music Theory for the 21st-Century Classroom): capitals
// for a major third, ° ø and + for diminished, half-diminished and augmented,
// inversions as figured bass (6, 6/4; 7, 6/5, 4/3, 4/2), applied chords as
// V7/V or vii°/ii, N6 for the Neapolitan. Degrees count from the key's own
// scale, the natural one in minor; other roots carry b or #, but the leading
// note of a minor key is plain vii. A chord with a bass that is not its own,
// and an inverted chord that figures cannot show, ends in the bass's name:
// "I over F#". No chord is "N.C.".
//
// Where two readings are right, a chord of the key's own scale is named as
// that: Bb7 in C minor is VII7, not V7/III.
func Roman(c chord.Chord, k pitch.Key) string {
	if c.IsNone() {
		return c.String()
	}
	q := qualityOf(c.Type)
	if isNeapolitan(c, k) {
		return "N" + figures(c, q, k)
	}
	if target, of, ok := applied(c, k); ok {
		numeral := "V"
		if q.diminished() {
			numeral = "vii"
		}
		return numeral + q.mark + figures(c, q, target) + "/" + of + over(c, q)
	}
	return numeralOf(c, q, k) + q.mark + figures(c, q, k) + over(c, q)
}

// quality is how a type shows in a numeral.
type quality struct {
	lower bool
	third bool   // has a third; else the case comes from the key
	mark  string // °, ø or +
	// sevenths and triads take figures; other types are written out
	seventh, triad bool
	suffix         string // of root position
	inverted       string // before the figures of an inversion
}

func (q quality) diminished() bool { return q.mark == "°" || q.mark == "ø" }

func qualityOf(t chord.Type) quality {
	minor := chord.Set(0).With(3)
	set := t.Set()
	q := quality{lower: set&minor != 0 && !set.Has(4), third: set.Has(3) || set.Has(4)}
	switch t {
	case chord.Major, chord.Minor:
		q.triad = true
	case chord.Diminished:
		q.triad, q.mark = true, "°"
	case chord.Augmented:
		q.triad, q.mark = true, "+"
	case chord.Dominant, chord.MinorSeventh:
		q.seventh, q.suffix = true, "7"
	case chord.MajorSeventh:
		q.seventh, q.suffix = true, "maj7"
	case chord.DiminishedSeventh:
		q.seventh, q.mark, q.suffix = true, "°", "7"
	case chord.HalfDiminished:
		q.seventh, q.mark, q.suffix = true, "ø", "7"
	case chord.MinorMajor:
		q.seventh, q.suffix, q.inverted = true, "(maj7)", "(maj7)"
	case chord.AugmentedSeventh:
		q.seventh, q.mark, q.suffix = true, "+", "7"
	case chord.AugmentedMajorSeventh:
		q.seventh, q.mark, q.suffix = true, "+", "maj7"
	case chord.Sixth, chord.MinorSixth:
		q.suffix = "add6" // a bare 6 is the first inversion
	default:
		q.suffix = strings.TrimPrefix(t.Suffix(), "m")
		if !q.lower {
			q.suffix = t.Suffix()
		}
	}
	return q
}

var triadFigures = [3]string{"", "6", "6/4"}
var seventhFigures = [4]string{"", "6/5", "4/3", "4/2"}

// figures writes what follows the numeral and its mark.
func figures(c chord.Chord, q quality, k pitch.Key) string {
	inv := c.Inversion()
	switch {
	case inv > 0 && q.triad:
		return triadFigures[inv]
	case inv > 0 && q.seventh && c.Type == chord.MajorSeventh && !inScale(c, k):
		return "maj" + seventhFigures[inv]
	case inv > 0 && q.seventh:
		return q.inverted + seventhFigures[inv]
	}
	return q.suffix
}

// over names a bass that figures cannot show.
func over(c chord.Chord, q quality) string {
	inv := c.Inversion()
	if inv == 0 || inv > 0 && (q.triad || q.seventh) {
		return ""
	}
	return " over " + c.Bass.String()
}

var numerals = [7]string{"I", "II", "III", "IV", "V", "VI", "VII"}

// degreeOf is the scale step of a note, 0 to 6, and how far it is altered.
func degreeOf(n pitch.Note, k pitch.Key) (step, alter int) {
	step = pitch.IntervalUp(k.Tonic, n).Steps
	return step, n.Alter - k.Scale()[step].Alter
}

func numeralOf(c chord.Chord, q quality, k pitch.Key) string {
	step, alter := degreeOf(c.Root, k)
	if k.Minor && step == 6 && alter == 1 && q.diminished() {
		alter = 0 // the leading note
	}
	text := numerals[step]
	if q.lower || !q.third && alter == 0 && ownMinor(step, k) {
		text = strings.ToLower(text)
	}
	if alter < 0 {
		return strings.Repeat("b", -alter) + text
	}
	return strings.Repeat("#", alter) + text
}

// ownMinor reports a degree whose triad in the key has a minor third; the fifth
// degree of a minor key counts as major, with its leading note.
func ownMinor(step int, k pitch.Key) bool {
	if k.Minor {
		return step == 0 || step == 1 || step == 3
	}
	return step == 1 || step == 2 || step == 5 || step == 6
}

// ownDiminished reports the degree whose triad is diminished; nothing is
// dominant to it (Hutchinson, 17.3 "Secondary Dominants").
func ownDiminished(step int, k pitch.Key) bool {
	return step == 6 && !k.Minor || step == 1 && k.Minor
}

func isNeapolitan(c chord.Chord, k pitch.Key) bool {
	step, alter := degreeOf(c.Root, k)
	return c.Type == chord.Major && step == 1 && alter == -1 && c.Inversion() >= 0
}

// applied finds the degree that a dominant or leading-note chord belongs to,
// other than the key's own tonic: the key on that degree and its numeral.
func applied(c chord.Chord, k pitch.Key) (target pitch.Key, of string, ok bool) {
	q := qualityOf(c.Type)
	var up pitch.Interval
	switch {
	case q.diminished():
		up = pitch.Interval{Steps: 1, Semitones: 1}
	case isDominant(c.Type):
		up = pitch.Interval{Steps: 3, Semitones: 5}
	default:
		return pitch.Key{}, "", false
	}
	tonic := c.Root.Up(up)
	step, alter := degreeOf(tonic, k)
	if step == 0 || alter != 0 || ownDiminished(step, k) || ownChord(c, k) {
		return pitch.Key{}, "", false
	}
	of = numerals[step]
	minor := ownMinor(step, k)
	if minor {
		of = strings.ToLower(of)
	}
	return pitch.Key{Tonic: tonic, Minor: minor}, of, true
}

// isDominant reports a major triad, alone or with a minor seventh and more.
func isDominant(t chord.Type) bool {
	set := t.Set()
	return t == chord.Major || set.Has(4) && set.Has(10)
}

// ownChord reports a chord that the key has itself: of its scale, or in minor
// of the scale with a raised seventh, or its major IV with the raised sixth.
func ownChord(c chord.Chord, k pitch.Key) bool {
	if inScale(c, k) {
		return true
	}
	if !k.Minor {
		return false
	}
	step, alter := degreeOf(c.Root, k)
	return step == 3 && alter == 0 && c.Type == chord.Major || inSet(c, harmonicSet(k))
}

func inScale(c chord.Chord, k pitch.Key) bool { return inSet(c, chord.Scale(k)) }

func inSet(c chord.Chord, scale chord.Set) bool {
	return c.Type.Set().Up(int(c.Root.Class()))&^scale == 0
}

// harmonicSet is the minor scale with its seventh raised.
func harmonicSet(k pitch.Key) chord.Set {
	t := k.Tonic.Class()
	return chord.Scale(k)&^(1<<uint(t.Up(10))) | 1<<uint(t.Up(11))
}
