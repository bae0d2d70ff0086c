package words

import (
	"fmt"
	"strings"

	"undersong/internal/judge/finding"
	"undersong/internal/music/chord"
	"undersong/internal/sheet/score"
	"undersong/internal/text/wording"
)

// Fix says what to do, in as few words as will do. It is empty for Right.
func (v *Wording) Fix(f *finding.Finding) string {
	beat := BeatName(f.Beat, v.Score.Meter)
	switch f.Kind {
	case finding.Right:
		return ""
	case finding.Lost:
		return "begin again at the start of a bar"
	case finding.LostBeat:
		return "keep the beat going"
	case finding.WentBack:
		return "never go back: leave out what went wrong"
	case finding.Stopped:
		return "play on: hold the chord, or strike it again"
	case finding.Early:
		return "wait for beat " + beat
	case finding.Late:
		return "sooner, on beat " + beat
	case finding.Spread:
		return "strike the notes together"
	case finding.Short:
		return "hold " + v.notes(f, &f.Heard) + " longer"
	case finding.Blurred:
		return "new pedal with " + v.harmony(f).String()
	case finding.Balance:
		if f.Accent {
			return "lean on beat " + beat
		}
		if f.Sung {
			return "lighter chords, let the tune sing"
		}
		return "lighter chords, firmer bass"
	case finding.Extra:
		return "leave out " + v.noteNames(f, v.surplus(f))
	case finding.Missing:
		return v.missingFix(f)
	}
	return v.moves(f)
}

// surplus is what was heard beyond the goal, or all of it where that is nothing.
func (v *Wording) surplus(f *finding.Finding) *finding.Keys {
	var out finding.Keys
	w := v.want(f)
	for i := 0; i < f.Heard.Len(); i++ {
		k := f.Heard.At(i)
		if w == nil || !w.Allowed.Has(k.Class()) {
			out.Add(k)
		}
	}
	if out.Len() == 0 {
		return &f.Heard
	}
	return &out
}

func (v *Wording) missingFix(f *finding.Finding) string {
	if f.Heard.Len() > 0 {
		if _, _, to := f.Heard.Split(&f.Goal); to.Len() > 0 {
			return "add " + v.notes(f, &to)
		}
	}
	w := v.want(f)
	if w.Role == score.Melody {
		return "strike " + v.tuneName(w)
	}
	return "strike " + strings.TrimPrefix(v.WantName(w), "bass ")
}

// moves says the smallest movement from what was struck to the goal: "go down
// to G", "keep C, up to F and A".
func (v *Wording) moves(f *finding.Finding) string {
	kept, from, to := f.Heard.Split(&f.Goal)
	if f.Kind == finding.WrongInversion {
		return v.inversionFix(f)
	}
	if n := f.OctavesOff(); n > 0 {
		return "go down " + octavesText(n)
	} else if n < 0 {
		return "go up " + octavesText(n)
	}
	if f.Kind == finding.WrongNote && from.Len() > to.Len() {
		if from = withoutDoubles(&from, &f.Goal); from.Len() == 1 && to.Len() == 1 {
			near := to.At(0).Class().Near(from.At(0))
			to = finding.Keys{}
			to.Add(near)
		}
	}
	if to.Len() == 0 {
		if from.Len() == 0 {
			return "play " + v.notes(f, &f.Goal)
		}
		return "leave out " + v.noteNames(f, &from)
	}
	s := ""
	if kept.Len() > 0 {
		s = "keep " + v.notes(f, &kept) + ", "
	} else if from.Len() == 1 && to.Len() == 1 {
		s = "go "
	}
	if from.Len() != to.Len() || v.crossing(&from, &to) || kept.Len() == 0 && to.Len() > 1 {
		if kept.Len() == 0 {
			return "play " + v.notes(f, &f.Goal)
		}
		if from.Len() > 0 {
			s += "let go of " + v.listed(f, &from) + ", "
		}
		return s + "add " + v.notes(f, &to)
	}
	if kept.Len() > 0 && from.Len() == 1 && v.note(f, from.At(0)) != v.note(f, to.At(0)) {
		s += v.note(f, from.At(0)) + " "
	}
	return s + v.directions(f, &from, &to)
}

// listed is notes in a sentence: "F and A".
func (v *Wording) listed(f *finding.Finding, keys *finding.Keys) string {
	return wording.Join(strings.Fields(v.notes(f, keys)), "and")
}

// withoutDoubles leaves out keys that double a note of the goal: they may stay.
func withoutDoubles(keys, goal *finding.Keys) finding.Keys {
	var classes chord.Set
	for i := 0; i < goal.Len(); i++ {
		classes = classes.With(goal.At(i).Class())
	}
	var out finding.Keys
	for i := 0; i < keys.Len(); i++ {
		if !classes.Has(keys.At(i).Class()) {
			out.Add(keys.At(i))
		}
	}
	return out
}

// inversionFix starts from the chord before, which the hand should not leave.
func (v *Wording) inversionFix(f *finding.Finding) string {
	if v.want(f).Role == score.Melody {
		return "play " + v.notes(f, &f.Goal) + ", " + v.note(f, f.Goal.At(f.Goal.Len()-1)) + " on top"
	}
	return "play " + v.notes(f, &f.Goal) + ", " + v.note(f, f.Goal.At(0)) + " lowest"
}

// crossing reports movements of more than an octave, which are no advice.
func (v *Wording) crossing(from, to *finding.Keys) bool {
	for i := 0; i < from.Len(); i++ {
		if d := from.At(i) - to.At(i); d > 12 || d < -12 {
			return true
		}
	}
	return false
}

func (v *Wording) directions(f *finding.Finding, from, to *finding.Keys) string {
	up, down := 0, 0
	for i := 0; i < from.Len(); i++ {
		if to.At(i) > from.At(i) {
			up++
		} else {
			down++
		}
	}
	switch {
	case down == 0:
		return "up to " + v.listed(f, to)
	case up == 0:
		return "down to " + v.listed(f, to)
	}
	var parts []string
	for i := 0; i < from.Len(); i++ {
		way := "down"
		if to.At(i) > from.At(i) {
			way = "up"
		}
		parts = append(parts, fmt.Sprintf("%s %s to %s", v.note(f, from.At(i)), way, v.note(f, to.At(i))))
	}
	return strings.Join(parts, ", ")
}
