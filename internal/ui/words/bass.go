package words

import (
	"fmt"
	"strconv"

	"undersong/internal/judge/finding"
	"undersong/internal/judge/firstbass"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
	"undersong/internal/text/wording"
)

// BassWording puts findings about basses under a tune into words.
type BassWording struct {
	Score  *score.Score
	Theory *firstbass.Theory
}

// NewBassWording is the voice for a tune and so many basses, 2 or 3.
func NewBassWording(s *score.Score, basses int) *BassWording {
	return &BassWording{s, firstbass.NewTheory(s, basses)}
}

// Bar is the printed number of a finding's bar.
func (v *BassWording) Bar(f *finding.Finding) int { return v.Score.Bars[f.Bar].Number }

// Place is "bar 3", with the beat where the finding is about one.
func (v *BassWording) Place(f *finding.Finding) string {
	bar := score.BarName(v.Bar(f))
	if f.Bass.Later {
		bar += ", beat " + strconv.FormatFloat(f.Beat, 'g', 3, 64)
	}
	return bar
}

func (v *BassWording) bass(i int) *firstbass.Bass { return &v.Theory.Primary()[i] }

// note spells a key in the piece's key, or as the chord on a bass has it.
func (v *BassWording) note(k pitch.Num, bass int) string {
	if bass >= 0 {
		b := v.bass(bass)
		for _, n := range []pitch.Note{b.Root, b.Third, b.Other, b.Fifth} {
			if n.Class() == k.Class() {
				return n.String()
			}
		}
	}
	return v.Score.Key.Spell(k.Class()).String()
}

// Fits lists the roots that fit where a finding is, the best first; the one chosen
// where it was right.
func (v *BassWording) Fits(f *finding.Finding) []string {
	var all []string
	for _, i := range f.Bass.Choices.Slice() {
		all = append(all, v.bass(i).Root.String())
	}
	if f.Kind == finding.Right {
		all = append(all, v.bass(f.Bass.Chord).Root.String())
	}
	return all
}

// Wanted says what would have been right: a bass, or a note of the chord.
func (v *BassWording) Wanted(f *finding.Finding) string {
	switch f.Kind {
	case finding.Right:
		return v.bass(f.Bass.Chord).Root.String()
	case finding.Lost:
		return "the tune"
	case finding.NoFifth, finding.WrongFifth, finding.NoThird, finding.HighThird, finding.WrongThird:
		return v.note(f.Goal.At(0), f.Bass.Chord)
	}
	if len(f.Bass.Choices.Slice()) == 0 {
		return v.primary()
	}
	return wording.Join(v.Fits(f), "or")
}

// primary names all basses to choose from.
func (v *BassWording) primary() string {
	return wording.Join(firstbass.Roots(v.Theory.Primary()), "or")
}

// Heard is what was struck.
func (v *BassWording) Heard(f *finding.Finding) string {
	switch f.Kind {
	case finding.Lost:
		return "other music"
	case finding.Missing, finding.NoFifth, finding.NoThird:
		return "nothing"
	case finding.HighThird:
		return v.note(f.Goal.At(0), f.Bass.Chord) + " above the tune"
	}
	return v.note(f.Heard.At(0), f.Bass.Chord)
}

// Why explains: "the tune's B is its third".
func (v *BassWording) Why(f *finding.Finding) string {
	switch f.Kind {
	case finding.Right:
		return v.whyRight(f)
	case finding.Misfit:
		return v.whyNot(f)
	case finding.NotRoot:
		return fmt.Sprintf("%s is the root of none of these: %s", v.note(f.Heard.At(0), -1), v.primary())
	case finding.NotLowest:
		return v.note(f.Heard.At(0), -1) + " is lowest: the root belongs at the bottom"
	case finding.NotHome:
		return "the tune comes home here, and so does the bass"
	case finding.WrongFifth, finding.WrongThird:
		b := v.bass(f.Bass.Chord)
		return fmt.Sprintf("%s above %s is %s", v.note(f.Heard.At(0), f.Bass.Chord), b.Root, intervalName(f.Heard.At(0), b))
	case finding.HighThird:
		return "the third sounds best in the middle, under the tune"
	}
	return ""
}

// intervals name the distances above a bass that are told as wrong, as they are
// played.
var intervals = [12]string{"an octave", "a half step", "a second", "a minor third", "a major third", "a fourth", "a tritone", "a fifth", "a minor sixth", "a sixth", "a minor seventh", "a seventh"}

func intervalName(k pitch.Num, b *firstbass.Bass) string {
	return intervals[k.Class().Above(b.Root.Class())]
}

func (v *BassWording) whyRight(f *finding.Finding) string {
	if len(f.Bass.Speaks.Slice()) == 0 {
		return "nothing in the tune is against it"
	}
	return v.because(f.Bass.Chord, f.Bass.Speaks.Slice()[0])
}

func (v *BassWording) whyNot(f *finding.Finding) string {
	var names []string
	var dur meter.Ticks
	for _, i := range f.Bass.Speaks.Slice() {
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
func (v *BassWording) Fix(f *finding.Finding) string {
	switch f.Kind {
	case finding.Right:
		return ""
	case finding.Lost:
		return "begin again at the start of a bar"
	case finding.Missing:
		return "put " + v.Wanted(f) + " under it"
	case finding.NotLowest:
		return "put " + v.Wanted(f) + " below it"
	case finding.NotHome:
		return "let the last bass be " + v.Wanted(f)
	case finding.NoFifth:
		return fmt.Sprintf("add %s, the fifth above %s", v.Wanted(f), v.bass(f.Bass.Chord).Root)
	case finding.NoThird:
		return fmt.Sprintf("add %s between %s and the tune", v.Wanted(f), v.bass(f.Bass.Chord).Root)
	case finding.HighThird:
		return fmt.Sprintf("an octave down with %s", v.Wanted(f))
	}
	return v.move(f)
}

// move is "down to G".
func (v *BassWording) move(f *finding.Finding) string {
	way := "up to "
	if f.Goal.At(0) < f.Heard.At(0) {
		way = "down to "
	}
	goal := v.note(f.Goal.At(0), f.Bass.Chord)
	d := f.Goal.At(0) - f.Heard.At(0)
	if f.Goal.Len() == 0 {
		return "choose " + v.primary()
	}
	if d == 1 || d == -1 {
		return "a half step " + way + goal
	}
	return way + goal
}

// Line is a finding in one sentence.
func (v *BassWording) Line(f *finding.Finding) string {
	s := v.Place(f) + ": "
	switch f.Kind {
	case finding.Right:
		s += v.Wanted(f) + " fits: " + v.Why(f)
	case finding.Lost:
		return fmt.Sprintf("the tune was lost after %s - %s", v.Place(f), v.Fix(f))
	case finding.Misfit:
		here := "here"
		if f.Bass.Later {
			here = "any more"
		}
		s += fmt.Sprintf("%s does not fit %s: %s; %s - %s", v.Heard(f), here, v.Why(f), v.fitting(f), v.Fix(f))
	case finding.NotRoot:
		s += fmt.Sprintf("%s; %s - %s", v.Why(f), v.fitting(f), v.Fix(f))
	case finding.Missing:
		s += "no bass - " + v.Fix(f)
	case finding.NoFifth:
		s += "the fifth is missing - " + v.Fix(f)
	case finding.NoThird:
		s += "the third is missing - " + v.Fix(f)
	case finding.NotHome:
		s += fmt.Sprintf("%s fits; %s - %s", v.Heard(f), v.Why(f), v.Fix(f))
	case finding.HighThird:
		s += fmt.Sprintf("%s; %s - %s", v.Heard(f), v.Why(f), v.Fix(f))
	default:
		s += v.Why(f) + " - " + v.Fix(f)
	}
	return s
}

// fitting is "G fits" or "C and G fit".
func (v *BassWording) fitting(f *finding.Finding) string {
	switch len(f.Bass.Choices.Slice()) {
	case 0:
		return "any of them will do here"
	case 1:
		return wording.Join(v.Fits(f), "and") + " fits"
	}
	return wording.Join(v.Fits(f), "and") + " fit"
}

// because says what a note of the tune is over bass i.
func (v *BassWording) because(i, note int) string {
	n := v.Score.Melody[note].Pitch.Note
	if tone := toneName(v.bass(i), n); tone != "root" {
		return fmt.Sprintf("the tune's %s is its %s", n, tone)
	}
	return fmt.Sprintf("the tune has %s too", n)
}

// WhyFits says why bass i fits a stretch.
func (v *BassWording) WhyFits(i int, s *firstbass.Stretch) string {
	for _, note := range v.Theory.SpeaksFor(i, s.From, s.To) {
		return v.because(i, note)
	}
	if v.Theory.Written(i, s.From) {
		return "the chart has it"
	}
	return "nothing in the tune is against it"
}

// toneName says what a note is in the chord on b: "third". It is empty for others.
func toneName(b *firstbass.Bass, n pitch.Note) string {
	if !b.Has(n.Class()) {
		return ""
	}
	return degree(b.Root, n)
}
