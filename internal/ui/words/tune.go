package words

import (
	"fmt"
	"slices"
	"strings"

	"undersong/internal/judge/byear"
	"undersong/internal/judge/finding"
	"undersong/internal/text/wording"
)

// TuneWording puts findings about a tune that is looked for by ear into words. It
// names no note but where a hint or a task asks for it.
type TuneWording struct {
	Tune *byear.Tune
	Task byear.Task
}

// Say is a finding in words. A long hint has line feeds.
func (v *TuneWording) Say(f *finding.Finding) string {
	n := f.Tune.Phrase + 1
	switch f.Kind {
	case finding.PhraseRight, finding.PhraseFound:
		return v.phrase(f)
	case finding.TuneFound:
		return "That is the whole tune. Now from beginning to end."
	case finding.TuneRight:
		return "The whole tune, right from beginning to end."
	case finding.Direction:
		return directionWords(f.Tune.Way)
	case finding.OtherOctave:
		return "the right note, in another octave"
	case finding.OnceMore:
		if f.Tune.Gap {
			return fmt.Sprintf("a note was left out; phrase %d from its beginning once more", n)
		}
		return fmt.Sprintf("from the beginning of phrase %d once more", n)
	case finding.Contour:
		return v.contour(f.Tune.Phrase)
	case finding.NextNote:
		return v.next(f)
	case finding.TaskBegins:
		return "Now the same tune " + v.TaskWords(f.Tune.From)
	case finding.StartNote:
		return fmt.Sprintf("begin on %s", f.Tune.From.Note)
	}
	return "That was the whole tune, as asked."
}

func (v *TuneWording) phrase(f *finding.Finding) string {
	said := fmt.Sprintf("phrase %d ", f.Tune.Phrase+1)
	if f.Tune.Asks.Missed() {
		return said + "has its notes; " + v.missed(f)
	}
	if f.Tune.Asks != (finding.Verdicts{}) {
		return said + "is as asked"
	}
	if f.Kind == finding.PhraseFound {
		return said + "is found; now straight through"
	}
	if f.Tune.Row > 1 {
		return fmt.Sprintf("%sis right, %d times in a row", said, f.Tune.Row)
	}
	return said + "is right"
}

// missed says what to change, the first thing that was not as asked.
func (v *TuneWording) missed(f *finding.Finding) string {
	if f.Tune.Asks[finding.AskStart] == finding.Missed && f.Tune.Phrase == 0 {
		return fmt.Sprintf("now begin on %s", f.Tune.From.Note)
	}
	if f.Tune.Asks[finding.AskStart] == finding.Missed {
		return fmt.Sprintf("but the tune has moved: it began on %s", f.Tune.From.Note)
	}
	if f.Tune.Asks[finding.AskRange] == finding.Missed {
		return fmt.Sprintf("now in the %s", rangeWords(v.Task.Range))
	}
	if f.Tune.Asks[finding.AskSoftLoud] == finding.Missed && f.Tune.Phrase%2 == 1 {
		return "now clearly louder than the phrase before"
	}
	if f.Tune.Asks[finding.AskSoftLoud] == finding.Missed {
		return "now clearly softer than the phrase before"
	}
	return "now in the other hand, an octave or so from the phrase before"
}

func rangeWords(r byear.Range) string {
	switch r {
	case byear.Low:
		return "low range, below middle C"
	case byear.High:
		return "high range, from the C above middle C"
	}
	return "middle range, above middle C"
}

// TaskWords are what is asked, after "the same tune".
func (v *TuneWording) TaskWords(from finding.First) string {
	var parts []string
	if from.Asked {
		parts = append(parts, fmt.Sprintf("from %s", from.Note))
	}
	if v.Task.Range != byear.AnyRange {
		parts = append(parts, "in the "+rangeWords(v.Task.Range))
	}
	if v.Task.SoftLoud {
		parts = append(parts, "with phrases soft and loud in turn, the first soft")
	}
	if v.Task.Hands {
		parts = append(parts, "with phrases from hand to hand, the left hand's an octave or so lower")
	}
	return strings.Join(parts, ", ")
}

func directionWords(w finding.Way) string {
	way, further := "lower", "further down"
	if w.Up {
		way, further = "higher", "further up"
	}
	if w.More {
		way = further
	}
	return [...]string{"a little ", "", "a lot "}[w.Size] + way
}

var moveWords = [...]string{"same", "up", "leap up", "down", "leap down"}

// contourLine is how many moves stand on one line: more are not read at a glance.
const contourLine = 4

// contour is the moves of a phrase, the same ones in a row as "down twice", on lines of
// their own where there are many.
func (v *TuneWording) contour(phrase int) string {
	var all []string
	for moves := v.Tune.Contour(phrase); len(moves) > 0; {
		row := 1
		for row < len(moves) && moves[row] == moves[0] {
			row++
		}
		all = append(all, moveWords[moves[0]])
		if row > 1 {
			all[len(all)-1] += " " + wording.Times(row)
		}
		moves = moves[row:]
	}
	head := fmt.Sprintf("phrase %d goes:", phrase+1)
	switch {
	case len(all) == 0:
		return head + " one note"
	case len(all) <= contourLine:
		return head + " " + strings.Join(all, ", ")
	}
	for line := range slices.Chunk(all, contourLine) {
		head += "\n  " + strings.Join(line, ", ") + ","
	}
	return strings.TrimSuffix(head, ",")
}

func (v *TuneWording) next(f *finding.Finding) string {
	pos := v.Tune.Start(f.Tune.Phrase) + f.Tune.Note
	switch {
	case !f.Tune.Known && f.Tune.From.Asked:
		return fmt.Sprintf("the first note: %s", f.Tune.From.Note)
	case !f.Tune.Known || pos == 0:
		return "the first note: any key you like"
	}
	return fmt.Sprintf("the next note: %s, %s", v.MoveWords(pos), v.Tune.Spell(pos, f.Tune.Shift).Note)
}

var steps = [...]string{"step", "third", "fourth", "fifth", "sixth", "seventh", "octave", "ninth", "tenth", "eleventh", "twelfth"}

// MoveWords are the way from the note before to the note at pos, which is not the
// first: "up a third", "the same again".
func (v *TuneWording) MoveWords(pos int) string {
	from, to := v.Tune.Notes[pos-1].Pitch, v.Tune.Notes[pos].Pitch
	n := 7*(to.Octave-from.Octave) + int(to.Letter-from.Letter)
	way := "up"
	if to.Num() < from.Num() {
		way = "down"
	}
	size := max(n, -n)
	if to.Num() == from.Num() {
		return "the same again"
	}
	if size == 0 {
		return way + " a half step"
	}
	if size > len(steps) {
		return way + " a long way"
	}
	if steps[size-1] == "octave" || steps[size-1] == "eleventh" {
		return way + " an " + steps[size-1]
	}
	return way + " a " + steps[size-1]
}

// MovePlace says where the move to the note at pos is, which is not the first: "in
// phrase 2 from note 3 to note 4", or "from phrase 1 to phrase 2".
func (v *TuneWording) MovePlace(pos int) string {
	p, n := v.Tune.Whereabouts(pos)
	if n == 0 {
		return fmt.Sprintf("from phrase %d to phrase %d", p, p+1)
	}
	return fmt.Sprintf("in phrase %d from note %d to note %d", p+1, n, n+1)
}
