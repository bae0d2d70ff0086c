package musicxml

import (
	"strconv"
	"strings"

	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
)

// harmony is a chord symbol in its measure.
type harmony struct {
	at    float64
	text  string
	chord chord.Chord
	known bool
}

// harmony reads a <harmony>. Of several chords in one the first counts.
func (w *walker) harmony(n *node) error {
	h := harmony{at: max(0, w.at+w.offset(n))}
	switch {
	case len(n.all("kind")) > 1:
		w.tell("a chord symbol has several chords, and the first counts")
	case n.has("frame"):
		w.tell("chord diagrams are left out")
	}
	kind, root := n.child("kind"), n.child("root")
	switch {
	case kind == nil:
		w.tell("chord symbols without a root or a kind are left out")
		return nil
	case kind.text == "none":
		h.text, h.known = chord.Chord{}.String(), true
	case root != nil:
		note, err := step(root, "root")
		if err != nil {
			return err
		}
		if err := w.rooted(&h, n, w.p.transpose.note(note)); err != nil {
			return err
		}
	case n.has("function"):
		w.tell("chord symbols that tell a function alone are no chords here")
		h.text = n.get("function") + suffix(n)
	case n.has("numeral"):
		w.tell("chord symbols that tell a function alone are no chords here")
		h.text = numeral(n.child("numeral")) + suffix(n)
	default:
		w.tell("chord symbols without a root or a kind are left out")
		return nil
	}
	if h.text = oneLine(h.text); h.text == "" {
		h.text = "?"
	}
	w.m.chords = append(w.m.chords, h)
	return nil
}

// step reads a <root> or <bass>.
func step(n *node, name string) (pitch.Note, error) {
	letter := strings.Index("CDEFGAB", strings.ToUpper(n.get(name+"-step")))
	alter, _ := n.whole(name + "-alter")
	if letter < 0 || len(n.get(name+"-step")) != 1 || abs(alter) > 2 {
		return pitch.Note{}, wrong(n, "the %s of a chord symbol needs a step from A to G, altered by 2 semitones at most", name)
	}
	return pitch.Note{Letter: pitch.Letter(letter), Alter: alter}, nil
}

// rooted reads the rest of a chord on its root.
func (w *walker) rooted(h *harmony, n *node, root pitch.Note) error {
	t, known := typeOf(n)
	bass := root
	if b := n.child("bass"); b != nil {
		note, err := step(b, "bass")
		if err != nil {
			return err
		}
		bass = w.p.transpose.note(note)
	}
	over := ""
	if bass != root {
		over = "/" + bass.String()
	}
	h.text = root.String() + suffix(n) + over
	if !known && n.get("kind") == "other" && n.child("kind").at("text") != "" && !n.has("degree") { // what is printed is all there is
		if c, err := chord.Parse(h.text); err == nil && !c.IsNone() {
			h.text, h.chord, h.known = c.String(), c, true
		}
		return nil
	}
	if !known {
		return nil
	}
	if i, ok := n.whole("inversion"); ok && bass == root && i > 0 && i < len(t.Tones()) {
		bass = root.Up(t.Tones()[i].Interval)
	}
	h.chord, h.known = chord.New(root, t).Over(bass), true
	h.text = h.chord.String()
	return nil
}

// suffix is what stands after the root in print.
func suffix(n *node) string {
	kind := n.child("kind")
	text := kind.at("text")
	if text == "" && (kind.text != "other" || !n.has("degree")) {
		text = plainSuffix(kind.text)
	}
	var added []string
	for _, d := range n.all("degree") {
		if d.at("print-object") != "no" {
			added = append(added, degreeText(d))
		}
	}
	if len(added) > 0 {
		text += "(" + strings.Join(added, ",") + ")"
	}
	return text
}

// plainSuffix is a kind's suffix, or its name for want of one.
func plainSuffix(kind string) string {
	for _, t := range chord.Types() {
		if t.MusicXML() == kind {
			return t.Suffix()
		}
	}
	return "(" + kind + ")"
}

// degreeText is a degree as musicians write it: "b9", "no3".
func degreeText(d *node) string {
	alter, _ := d.whole("degree-alter")
	text := d.get("degree-value")
	switch {
	case d.get("degree-type") == "subtract":
		return "no" + text
	case alter > 0 && alter < 3:
		return strings.Repeat("#", alter) + text
	case alter < 0 && alter > -3:
		return strings.Repeat("b", -alter) + text
	case d.get("degree-type") == "add":
		return "add" + text
	}
	return text
}

// numerals are the degrees of <numeral-root>.
var numerals = []string{"I", "II", "III", "IV", "V", "VI", "VII"}

func numeral(n *node) string {
	if v, ok := n.whole("numeral-root"); ok && v >= 1 && v <= len(numerals) {
		return numerals[v-1]
	}
	return "?"
}

// dominant is the semitones of degrees as they are added: those of a dominant
// chord (<degree-alter>).
var dominant = map[int]int{1: 0, 2: 2, 3: 4, 4: 5, 5: 7, 6: 9, 7: 10, 8: 12, 9: 14, 10: 16, 11: 17, 12: 19, 13: 21}

// typeOf is the chord type that has just the tones of a kind with its degrees.
func typeOf(n *node) (chord.Type, bool) {
	tones, ok := kindTones(n.get("kind"))
	if !ok {
		return chord.None, false
	}
	for _, d := range n.all("degree") {
		value, err := strconv.Atoi(d.get("degree-value"))
		plain, known := dominant[value]
		alter, _ := d.whole("degree-alter")
		if err != nil || !known {
			return chord.None, false
		}
		switch d.get("degree-type") {
		case "subtract":
			delete(tones, value)
		case "alter":
			if had, there := tones[value]; there {
				plain = had
			}
			tones[value] = plain + alter
		default:
			tones[value] = plain + alter
		}
	}
	var set chord.Set
	for _, semitones := range tones {
		set = set.With(pitch.ClassOf(semitones))
	}
	for _, t := range chord.Types() {
		if t.Set() == set {
			return t, true
		}
	}
	return chord.None, false
}

// kindTones are the tones of a kind by degree, in semitones above the root. The
// kinds that are names of functions have none here, and a pedal has no chord.
func kindTones(kind string) (map[int]int, bool) {
	tones := map[int]int{1: 0}
	if kind == "other" { // all its tones are added
		return tones, true
	}
	for _, t := range chord.Types() {
		if t.MusicXML() == kind && kind != "" {
			for _, tone := range t.Tones() {
				tones[tone.Degree] = tone.Interval.Semitones
			}
			return tones, true
		}
	}
	return nil, false
}
