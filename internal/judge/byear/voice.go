package byear

import (
	"fmt"
	"strings"

	"undersong/internal/music/pitch"
)

// Voice puts findings into words. It names no note but where a hint or a task
// asks for it.
type Voice struct {
	Tune *Tune
	Task Task
}

// Say is a finding in words.
func (v *Voice) Say(f *Finding) string {
	n := f.Phrase + 1
	switch f.Kind {
	case PhraseRight, PhraseFound:
		return v.phrase(f)
	case TuneFound:
		return "That is the whole tune. Now from beginning to end."
	case TuneRight:
		return "The whole tune, right from beginning to end."
	case Direction:
		return directionWords(f.Way)
	case OtherOctave:
		return "the right note, in another octave"
	case OnceMore:
		if f.Gap {
			return fmt.Sprintf("a note was left out; phrase %d from its beginning once more", n)
		}
		return fmt.Sprintf("from the beginning of phrase %d once more", n)
	case Contour:
		return fmt.Sprintf("phrase %d goes: %s", n, v.contour(f.Phrase))
	case NextNote:
		return v.next(f)
	case TaskBegins:
		return "Now the same tune " + v.TaskWords(f.From)
	case StartNote:
		return fmt.Sprintf("begin on %s", f.From)
	}
	return "That was the whole tune, as asked."
}

func (v *Voice) phrase(f *Finding) string {
	said := fmt.Sprintf("phrase %d ", f.Phrase+1)
	switch {
	case f.Asks.Missed():
		return said + "has its notes; " + v.missed(f)
	case f.Asks != Verdicts{}:
		return said + "is as asked"
	case f.Kind == PhraseFound:
		return said + "is found; now straight through"
	case f.Row > 1:
		return fmt.Sprintf("%sis right, %d times in a row", said, f.Row)
	}
	return said + "is right"
}

// missed says what to change, the first thing that was not as asked.
func (v *Voice) missed(f *Finding) string {
	switch {
	case f.Asks[AskStart] == Missed && f.Phrase == 0:
		return fmt.Sprintf("now begin on %s", f.From)
	case f.Asks[AskStart] == Missed:
		return fmt.Sprintf("but the tune has moved: it began on %s", f.From)
	case f.Asks[AskRange] == Missed:
		return fmt.Sprintf("now in the %s", rangeWords(v.Task.Range))
	case f.Asks[AskSoftLoud] == Missed && f.Phrase%2 == 1:
		return "now clearly louder than the phrase before"
	case f.Asks[AskSoftLoud] == Missed:
		return "now clearly softer than the phrase before"
	}
	return "now in the other hand, an octave or so from the phrase before"
}

func rangeWords(r Range) string {
	switch r {
	case Low:
		return "low range, below middle C"
	case High:
		return "high range, from the C above middle C"
	}
	return "middle range, above middle C"
}

// TaskWords are what is asked, after "the same tune".
func (v *Voice) TaskWords(from *pitch.Note) string {
	var parts []string
	if from != nil {
		parts = append(parts, fmt.Sprintf("from %s", from))
	}
	if v.Task.Range != AnyRange {
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

func directionWords(w Way) string {
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

func (v *Voice) contour(phrase int) string {
	moves := v.Tune.Contour(phrase)
	if len(moves) == 0 {
		return "one note"
	}
	words := make([]string, len(moves))
	for i, m := range moves {
		words[i] = moveWords[m]
	}
	return strings.Join(words, ", ")
}

func (v *Voice) next(f *Finding) string {
	pos := v.Tune.starts[f.Phrase] + f.Note
	switch {
	case !f.Known && f.From != nil:
		return fmt.Sprintf("the first note: %s", f.From)
	case !f.Known || pos == 0:
		return "the first note: any key you like"
	}
	return fmt.Sprintf("the next note: %s, %s", v.Tune.MoveWords(pos), v.Tune.Spell(pos, f.Shift).Note)
}

var steps = [...]string{"step", "third", "fourth", "fifth", "sixth", "seventh", "octave", "ninth", "tenth", "eleventh", "twelfth"}

// MoveWords are the way from the note before to the note at pos, which is not the
// first: "up a third", "the same again".
func (t *Tune) MoveWords(pos int) string {
	from, to := t.Notes[pos-1].Pitch, t.Notes[pos].Pitch
	n := 7*(to.Octave-from.Octave) + int(to.Letter-from.Letter)
	way := "up"
	if to.Num() < from.Num() {
		way = "down"
	}
	switch size := abs(n); {
	case to.Num() == from.Num():
		return "the same again"
	case size == 0:
		return way + " a half step"
	case size > len(steps):
		return way + " a long way"
	case steps[size-1] == "octave" || steps[size-1] == "eleventh":
		return way + " an " + steps[size-1]
	default:
		return way + " a " + steps[size-1]
	}
}

// MovePlace says where the move to the note at pos is, which is not the first: "in
// phrase 2 from note 3 to note 4", or "from phrase 1 to phrase 2".
func (t *Tune) MovePlace(pos int) string {
	p := t.phrase[pos]
	n := pos - t.starts[p]
	if n == 0 {
		return fmt.Sprintf("from phrase %d to phrase %d", p, p+1)
	}
	return fmt.Sprintf("in phrase %d from note %d to note %d", p+1, n, n+1)
}

// Whereabouts are the phrase of a note, from 0, and its place there, from 0.
func (t *Tune) Whereabouts(pos int) (phrase, note int) {
	p := t.phrase[pos]
	return p, pos - t.starts[p]
}
