package firstbass

import (
	"fmt"
	"strconv"

	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
	"undersong/internal/text/wording"
)

// Voice puts findings into words.
type Voice struct {
	Score  *score.Score
	Theory *Theory
}

// Voice is the listener's voice.
func (l *Listener) Voice() *Voice { return &Voice{l.s, l.th} }

// Bar is the printed number of a finding's bar.
func (v *Voice) Bar(f *Finding) int { return v.Score.Bars[f.Bar].Number }

// Place is "bar 3", with the beat where the finding is about one.
func (v *Voice) Place(f *Finding) string {
	bar := score.BarName(v.Bar(f))
	if f.Later {
		bar += ", beat " + strconv.FormatFloat(f.Beat, 'g', 3, 64)
	}
	return bar
}

func (v *Voice) bass(i int) *Bass { return &v.Theory.stock[i] }

// note spells a key in the piece's key, or as the chord on a bass has it.
func (v *Voice) note(k pitch.Num, bass int) string {
	if bass >= 0 {
		b := v.bass(bass)
		for _, n := range []pitch.Note{b.Root, b.Third, b.other, b.Fifth} {
			if n.Class() == k.Class() {
				return n.String()
			}
		}
	}
	return v.Score.Key.Spell(k.Class()).String()
}

// Fits lists the roots that fit where a finding is, the best first; the one chosen
// where it was right.
func (v *Voice) Fits(f *Finding) []string {
	var all []string
	for _, i := range f.Choices {
		all = append(all, v.bass(i).Root.String())
	}
	if f.Kind == Right {
		all = append(all, v.bass(f.Bass).Root.String())
	}
	return all
}

// Wanted says what would have been right: a bass, or a note of the chord.
func (v *Voice) Wanted(f *Finding) string {
	switch f.Kind {
	case Right:
		return v.bass(f.Bass).Root.String()
	case Lost:
		return "the tune"
	case NoFifth, WrongFifth, NoThird, HighThird, WrongThird:
		return v.note(f.Goal, f.Bass)
	}
	if len(f.Choices) == 0 {
		return v.stock()
	}
	return wording.Join(v.Fits(f), "or")
}

// stock names all basses to choose from.
func (v *Voice) stock() string {
	var all []string
	for _, b := range v.Theory.stock {
		all = append(all, b.Root.String())
	}
	return wording.Join(all, "or")
}

// Heard is what was struck.
func (v *Voice) Heard(f *Finding) string {
	switch f.Kind {
	case Lost:
		return "other music"
	case Missing, NoFifth, NoThird:
		return "nothing"
	case HighThird:
		return v.note(f.Goal, f.Bass) + " above the tune"
	}
	return v.note(f.Key, f.Bass)
}

// Why explains: "the tune's B is its third".
func (v *Voice) Why(f *Finding) string {
	switch f.Kind {
	case Right:
		return v.whyRight(f)
	case Misfit:
		return v.whyNot(f)
	case NotStock:
		return fmt.Sprintf("%s is the root of none of these: %s", v.note(f.Key, -1), v.stock())
	case NotLowest:
		return v.note(f.Key, -1) + " is lowest: the root belongs at the bottom"
	case NotHome:
		return "the tune comes home here, and so does the bass"
	case WrongFifth, WrongThird:
		b := v.bass(f.Bass)
		return fmt.Sprintf("%s above %s is %s", v.note(f.Key, f.Bass), b.Root, intervalName(f.Key, b))
	case HighThird:
		return "the third sounds best in the middle, under the tune"
	}
	return ""
}

// intervals name the distances above a bass that are told as wrong, as they are
// played.
var intervals = [12]string{"an octave", "a half step", "a second", "a minor third", "a major third", "a fourth", "a tritone", "a fifth", "a minor sixth", "a sixth", "a minor seventh", "a seventh"}

func intervalName(k pitch.Num, b *Bass) string { return intervals[k.Class().Above(b.Root.Class())] }

func (v *Voice) whyRight(f *Finding) string {
	if len(f.Tune) == 0 {
		return "nothing in the tune is against it"
	}
	return v.Theory.because(f.Bass, f.Tune[0])
}

func (v *Voice) whyNot(f *Finding) string {
	var names []string
	var dur meter.Ticks
	for _, i := range f.Tune {
		names = append(names, v.Score.Melody[i].Pitch.Note.String())
		dur += v.Score.Melody[i].Dur
	}
	does := "has"
	if len(names) == 1 && dur >= 2*v.Score.Meter.Beat() {
		does = "stays on"
	}
	if len(names) == 0 {
		return "the tune goes another way"
	}
	return fmt.Sprintf("the tune %s %s", does, wording.Join(names, "and"))
}

// Fix says what to do, with the smallest movement; empty for Right.
func (v *Voice) Fix(f *Finding) string {
	switch f.Kind {
	case Right:
		return ""
	case Lost:
		return "begin again at the start of a bar"
	case Missing:
		return "put " + v.Wanted(f) + " under it"
	case NotLowest:
		return "put " + v.Wanted(f) + " below it"
	case NotHome:
		return "let the last bass be " + v.Wanted(f)
	case NoFifth:
		return fmt.Sprintf("add %s, the fifth above %s", v.Wanted(f), v.bass(f.Bass).Root)
	case NoThird:
		return fmt.Sprintf("add %s between %s and the tune", v.Wanted(f), v.bass(f.Bass).Root)
	case HighThird:
		return fmt.Sprintf("an octave down with %s", v.Wanted(f))
	}
	return v.move(f)
}

// move is "down to G".
func (v *Voice) move(f *Finding) string {
	way := "up to "
	if f.Goal < f.Key {
		way = "down to "
	}
	goal := v.note(f.Goal, f.Bass)
	switch d := distance(f.Goal, f.Key); {
	case f.Goal == 0:
		return "choose " + v.stock()
	case d == 1:
		return "a half step " + way + goal
	}
	return way + goal
}

// Line is a finding in one sentence.
func (v *Voice) Line(f *Finding) string {
	s := v.Place(f) + ": "
	switch f.Kind {
	case Right:
		s += v.Wanted(f) + " fits: " + v.Why(f)
	case Lost:
		return fmt.Sprintf("the tune was lost after %s - %s", v.Place(f), v.Fix(f))
	case Misfit:
		here := "here"
		if f.Later {
			here = "any more"
		}
		s += fmt.Sprintf("%s does not fit %s: %s; %s - %s", v.Heard(f), here, v.Why(f), v.fitting(f), v.Fix(f))
	case NotStock:
		s += fmt.Sprintf("%s; %s - %s", v.Why(f), v.fitting(f), v.Fix(f))
	case Missing:
		s += "no bass - " + v.Fix(f)
	case NoFifth:
		s += "the fifth is missing - " + v.Fix(f)
	case NoThird:
		s += "the third is missing - " + v.Fix(f)
	case NotHome:
		s += fmt.Sprintf("%s fits; %s - %s", v.Heard(f), v.Why(f), v.Fix(f))
	case HighThird:
		s += fmt.Sprintf("%s; %s - %s", v.Heard(f), v.Why(f), v.Fix(f))
	default:
		s += v.Why(f) + " - " + v.Fix(f)
	}
	return s
}

// fitting is "G fits" or "C and G fit".
func (v *Voice) fitting(f *Finding) string {
	switch len(f.Choices) {
	case 0:
		return "any of them will do here"
	case 1:
		return wording.Join(v.Fits(f), "and") + " fits"
	}
	return wording.Join(v.Fits(f), "and") + " fit"
}
