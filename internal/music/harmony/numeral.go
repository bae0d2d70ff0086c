package harmony

import (
	"fmt"
	"strings"

	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
)

// Numeral is a chord of any key, by its degree: what Roman writes, read back.
// Degrees, letters and figures are those of Roman, with its sources. The chord is
// as written: I is major and i minor, whatever the key; degrees count from the
// key's own scale, so that VI in C minor is Ab. What follows a numeral may be
// figures of an inversion, 6 or 6/4, 6/5, 4/3 or 4/2, or what follows the root of
// a chord symbol, as in V7sus4; the sixth chord is add6. The seventh of an
// inversion is the key's own. A / behind leads to another degree: V7/V.
type Numeral struct {
	text string

	none    bool
	step    int // 0 to 6
	alter   int
	mark    string // °, ø, + or nothing
	inv     int
	seventh bool       // of figures: the key's own
	typ     chord.Type // without figures of a seventh chord
	of      degree     // the degree it belongs to; the key's tonic without
	applied bool
}

// degree is a degree taken for a tonic.
type degree struct {
	step, alter int
	minor       bool
}

func (n Numeral) String() string { return n.text }

// NumeralForms say how a numeral is written.
const NumeralForms = "write numerals as in I vi ii7 V7 IV6 V6/5 bVII vii° V7/V; large ones are major, small ones minor"

// ParseNumeral reads a numeral, or N.C. for no chord.
func ParseNumeral(s string) (Numeral, error) {
	n := Numeral{text: s}
	if s == (chord.Chord{}).String() {
		n.none = true
		return n, nil
	}
	body := s
	if i := strings.LastIndexByte(s, '/'); i >= 0 && i+1 < len(s) && strings.IndexByte("b#iIvV", s[i+1]) >= 0 {
		of, rest, ok := cutDegree(s[i+1:])
		if !ok || rest != "" {
			return n, fmt.Errorf("%q is no degree that a chord belongs to", s[i+1:])
		}
		n.of, n.applied, body = of, true, s[:i]
	}
	d, rest, ok := cutDegree(body)
	if !ok {
		return n, fmt.Errorf("%q is no numeral", s)
	}
	n.step, n.alter = d.step, d.alter
	for _, mark := range []string{"°", "ø", "+"} {
		if after, ok := strings.CutPrefix(rest, mark); ok {
			n.mark, rest = mark, after
		}
	}
	if !n.setType(d.minor, rest) {
		return n, fmt.Errorf("%q: %q cannot stand behind this numeral", s, rest)
	}
	return n, nil
}

// cutDegree cuts accidentals and a numeral off s.
func cutDegree(s string) (d degree, rest string, ok bool) {
	letters := strings.TrimLeft(s, "b#")
	signs := s[:len(s)-len(letters)]
	d.alter = strings.Count(signs, "#") - strings.Count(signs, "b")
	if len(signs) > 2 || d.alter != len(signs) && d.alter != -len(signs) {
		return d, s, false
	}
	long := 0
	for i, name := range numerals {
		for _, small := range []bool{false, true} {
			if small {
				name = strings.ToLower(name)
			}
			if len(name) > long && strings.HasPrefix(letters, name) {
				long, d.step, d.minor = len(name), i, small
			}
		}
	}
	return d, letters[long:], long > 0
}

// figureInversions are the figures with their inversions; true where the chord
// has a seventh.
var figureInversions = []struct {
	figures string
	inv     int
	seventh bool
}{{"6", 1, false}, {"6/4", 2, false}, {"6/5", 1, true}, {"4/3", 2, true}, {"4/2", 3, true}}

// setType reads what stands behind the numeral and its mark.
func (n *Numeral) setType(minor bool, rest string) bool {
	plain := !strings.HasPrefix(rest, "maj")
	for _, f := range figureInversions {
		if strings.TrimPrefix(rest, "maj") == f.figures && (plain || f.seventh) {
			n.inv, n.seventh = f.inv, f.seventh && plain
			rest = map[bool]string{true: "7", false: ""}[f.seventh]
			if !plain {
				rest = "maj7"
			}
		}
	}
	if n.mark != "" {
		return n.setMarked(minor, rest)
	}
	suffix := strings.Replace(rest, "add6", "6", 1)
	if minor {
		suffix = "m" + suffix
	}
	c, err := chord.Parse("C" + suffix)
	n.typ = c.Type
	return err == nil && !c.IsNone() && !strings.ContainsAny(rest, "ABCDEFG") // no bass behind /
}

// setMarked takes a diminished, half-diminished or augmented chord.
func (n *Numeral) setMarked(minor bool, rest string) bool {
	types := map[string]chord.Type{
		"°": chord.Diminished, "°7": chord.DiminishedSeventh, "ø7": chord.HalfDiminished, "ø": chord.HalfDiminished,
		"+": chord.Augmented, "+7": chord.AugmentedSeventh, "+maj7": chord.AugmentedMajorSeventh,
	}
	t, ok := types[n.mark+rest]
	n.typ, n.seventh = t, false
	return ok && minor != (n.mark == "+")
}

// In is the chord in a key.
func (n Numeral) In(k pitch.Key) chord.Chord {
	if n.none {
		return chord.Chord{}
	}
	if n.applied {
		k = pitch.Key{Tonic: noteOf(n.of.step, n.of.alter, k), Minor: n.of.minor}
	}
	alter := n.alter
	if k.Minor && n.step == 6 && alter == 0 && (n.mark == "°" || n.mark == "ø") {
		alter = 1 // the leading note
	}
	c := chord.New(noteOf(n.step, alter, k), n.typ)
	if own := chord.New(c.Root, chord.MajorSeventh); n.seventh && n.typ == chord.Dominant && inScale(own, k) {
		c = own
	}
	if notes := c.Notes(); n.inv > 0 && n.inv < len(notes) {
		c = c.Over(notes[n.inv])
	}
	return c
}

// noteOf is the note of a degree, altered.
func noteOf(step, alter int, k pitch.Key) pitch.Note {
	n := k.Scale()[step]
	n.Alter += alter
	return n
}
