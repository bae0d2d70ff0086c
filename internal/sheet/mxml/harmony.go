package mxml

import (
	"strings"

	"undersong/internal/music/chord"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
)

// extended are the types that the standard has no <kind> for: another kind with
// degrees. An added degree is one of a dominant chord, so that an added 7 is the
// minor seventh (<degree-alter>).
var extended = map[chord.Type]struct {
	kind    string
	degrees string // "add 9", "alter b5", with a comma between
}{
	chord.AugmentedMajorSeventh: {"major-seventh", "alter #5"},
	chord.DominantFlatFive:      {"dominant", "alter b5"},
	chord.DominantSus4:          {"suspended-fourth", "add 7"},
	chord.Add9:                  {"major", "add 9"},
	chord.MinorAdd9:             {"minor", "add 9"},
	chord.Add4:                  {"major", "add 11"},
	chord.SixNine:               {"major-sixth", "add 9"},
	chord.MinorSixNine:          {"minor-sixth", "add 9"},
	chord.NinthSus4:             {"suspended-fourth", "add 7,add 9"},
	chord.DominantFlatNine:      {"dominant", "add b9"},
	chord.DominantSharpNine:     {"dominant", "add #9"},
	chord.DominantSharpEleven:   {"dominant", "add #11"},
	chord.MajorSharpEleven:      {"major-seventh", "add #11"},
	chord.DominantFlatThirteen:  {"dominant", "add b13"},
}

// Harmony is a chord symbol, placed so many ticks after the note or rest that it is
// written before.
func Harmony(c chord.Chord, after meter.Ticks) Element {
	if c.IsNone() {
		return Group("harmony", Group("root", Leaf("root-step", "C").With("text", "")),
			Leaf("kind", "none").With("text", c.String())).after(after)
	}
	h := Group("harmony", step("root", c.Root))
	kind, degrees := c.Type.MusicXML(), ""
	if kind == "" {
		kind, degrees = extended[c.Type].kind, extended[c.Type].degrees
	}
	h.Add(Leaf("kind", kind).With("text", c.Type.Suffix()))
	if c.Bass != c.Root {
		h.Add(step("bass", c.Bass))
	}
	for _, d := range strings.Split(degrees, ",") {
		if d != "" {
			h.Add(degree(d))
		}
	}
	return h.after(after)
}

// after ends a harmony with its place, where it is not that of the next note.
func (e Element) after(t meter.Ticks) Element {
	if t != 0 {
		e.Add(Number("offset", t))
	}
	return e
}

// step is a <root> or <bass>.
func step(name string, n pitch.Note) Element {
	e := Group(name, Leaf(name+"-step", letter(n)))
	if n.Alter != 0 {
		e.Add(Number(name+"-alter", n.Alter))
	}
	return e
}

func letter(n pitch.Note) string { return pitch.Note{Letter: n.Letter}.String() }

// degree is "add b9" as an element. The <kind> has all the text there is to
// print.
func degree(text string) Element {
	kind, value, _ := strings.Cut(text, " ")
	number := strings.TrimLeft(value, "b#")
	alter := strings.Count(value, "#") - strings.Count(value, "b")
	return Group("degree", Leaf("degree-value", number), Number("degree-alter", alter), Leaf("degree-type", kind)).With("print-object", "no")
}
