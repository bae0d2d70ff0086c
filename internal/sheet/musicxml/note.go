package musicxml

import (
	"math"
	"strings"

	"undersong/internal/music/pitch"
)

// note reads a <note>: a note, one of a chord, or a rest.
func (w *walker) note(n *node) error {
	if n.has("grace") {
		w.tell("grace notes are left out")
		return nil
	}
	x := note{at: w.at, dur: w.duration(n), voice: n.get("voice"), staff: 1, writtenWith: n.has("chord")}
	if !n.has("duration") {
		x.dur = typed(n)
	}
	if s, ok := n.whole("staff"); ok {
		x.staff = s
	}
	if x.writtenWith {
		x.at = w.last
	} else {
		w.last = w.at
		w.at += x.dur
	}
	rest := n.child("rest")
	if rest.at("measure") == "yes" {
		w.m.resting = max(w.m.resting, x.dur)
	} else {
		w.reach(x.end())
	}
	x.rest = rest != nil || w.noTune(n)
	if !x.rest {
		p, err := w.pitch(n)
		if err != nil {
			return err
		}
		x.pitch, x.tied, x.ends = p, tied(n), breathes(n)
		if !p.Num().Valid() {
			w.tell("notes above or below all keys are left out")
			x.rest = true
		}
	}
	x.lyrics = w.lyrics(n)
	if x.dur > 0 {
		w.m.notes = append(w.m.notes, x)
	}
	return nil
}

// noTune tells of notes that are no notes of a tune.
func (w *walker) noTune(n *node) bool {
	switch {
	case n.has("cue"):
		w.tell("cue notes are left out")
	case n.has("unpitched"):
		w.tell("unpitched notes are left out")
	case n.child("pitch") == nil:
		w.tell("notes without a pitch are left out")
	case n.get("notehead") == "slash":
		w.tell("slashes are left out: they are rhythm, and no notes")
	default:
		return false
	}
	return true
}

// pitch reads a <pitch> as it sounds. Quarter tones go to the nearest semitone,
// those between to the one farther from the natural.
func (w *walker) pitch(n *node) (pitch.Pitch, error) {
	k := n.child("pitch")
	letter := strings.Index("CDEFGAB", strings.ToUpper(k.get("step")))
	octave, ok := k.whole("octave")
	if letter < 0 || len(k.get("step")) != 1 || !ok || octave < 0 || octave > 9 {
		return pitch.Pitch{}, wrong(k, "a pitch needs a step from A to G and an octave from 0 to 9")
	}
	alter, _ := k.number("alter")
	if alter != math.Trunc(alter) {
		w.tell("quarter tones are taken for the nearest semitone")
	}
	if math.Abs(alter) > 4 {
		return pitch.Pitch{}, wrong(k, "a note is altered by %g semitones", alter)
	}
	p := pitch.Pitch{Note: pitch.Note{Letter: pitch.Letter(letter), Alter: int(math.Round(alter))}, Octave: octave}
	return w.p.transpose.pitch(p), nil
}

// tied reports that a tie leads on, be it told as it sounds or as it is drawn.
func tied(n *node) bool {
	for _, t := range n.all("tie") {
		if t.at("type") == "start" {
			return true
		}
	}
	for _, notations := range n.all("notations") {
		for _, t := range notations.all("tied") {
			if t.at("type") == "start" {
				return true
			}
		}
	}
	return false
}

// breathes reports a note after which the singer breathes: a phrase ends.
func breathes(n *node) bool {
	for _, notations := range n.all("notations") {
		for _, a := range notations.all("articulations") {
			if a.has("breath-mark") {
				return true
			}
		}
	}
	return false
}

// values are the lengths of <type> in quarters.
var values = map[string]float64{"maxima": 32, "long": 16, "breve": 8, "whole": 4, "half": 2, "quarter": 1, "eighth": 1. / 2,
	"16th": 1. / 4, "32nd": 1. / 8, "64th": 1. / 16, "128th": 1. / 32, "256th": 1. / 64, "512th": 1. / 128, "1024th": 1. / 256}

// typed is the length of a note that tells none but its value.
func typed(n *node) float64 {
	v := values[n.get("type")]
	for add, dots := v/2, len(n.all("dot")); dots > 0 && dots < 8; dots-- {
		v += add
		add /= 2
	}
	t := n.child("time-modification")
	actual, ok1 := t.whole("actual-notes")
	normal, ok2 := t.whole("normal-notes")
	if ok1 && ok2 && actual > 0 && normal > 0 {
		v *= float64(normal) / float64(actual)
	}
	return v
}

// syllable is a syllable of a verse.
type syllable struct {
	verse string // <lyric number>
	text  string
	from  bool // its word began before
	on    bool // its word goes on
}

// lyrics reads the <lyric>s of a note. Syllables that share it by an elision stay
// apart where a word ends between them.
func (w *walker) lyrics(n *node) (all []syllable) {
	for _, k := range n.all("lyric") {
		s, syllabic, first := syllable{verse: k.at("number")}, "single", true
		for _, part := range k.kids {
			switch part.name {
			case "syllabic":
				syllabic = part.text
			case "text":
				from, on := syllabic == "middle" || syllabic == "end", syllabic == "begin" || syllabic == "middle"
				switch {
				case first:
					s.from, s.text = from, part.text
				case s.on || from:
					s.text += part.text
				default:
					s.text += " " + part.text
				}
				first, s.on, syllabic = false, on, "single"
			case "laughing", "humming":
				w.tell("words are left out where there is laughing or humming")
			}
		}
		s.text = oneLine(s.text)
		if s.on {
			s.text = strings.TrimRight(s.text, "-")
		}
		if s.text != "" {
			all = append(all, s)
		}
	}
	return all
}
