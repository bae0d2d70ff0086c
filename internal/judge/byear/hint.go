package byear

import (
	"time"

	"undersong/internal/judge/finding"
)

// hints are what was told of the answer.
type hints struct {
	contour []bool // of each phrase, by Alike
	note    []bool // told unasked, by canonical
}

func newHints(t *Tune) hints {
	return hints{make([]bool, t.Phrases()), make([]bool, len(t.keys))}
}

// Hint answers somebody who asks: with the contour of the phrase that is looked
// for, and, asked again, with the next note. The slice is good until the next
// call.
func (e *Ear) Hint(at time.Duration) []finding.Finding {
	e.out = e.out[:0]
	e.pauses(at)
	pos := e.wanted()
	phrase := e.Tune.phrase[pos]
	if told := &e.hints.contour[e.Tune.alike[phrase]]; !*told {
		*told = true
		e.add(finding.Contour, at, finding.TuneDetail{Phrase: phrase})
		return e.out
	}
	e.nextNote(at, pos)
	return e.out
}

// wanted is the note that is looked for: the next one, or, after the last, the
// first of what was not found yet.
func (e *Ear) wanted() int {
	if best := e.heard.best(); best == nil {
		return 0
	} else if best.pos+1 < len(e.Tune.keys) {
		return best.pos + 1
	}
	for p, class := range e.Tune.alike {
		if !e.tally.phrases[class].found {
			return e.Tune.starts[p]
		}
	}
	return 0
}

func (e *Ear) nextNote(at time.Duration, pos int) {
	p, n := e.Tune.Whereabouts(pos)
	d := finding.TuneDetail{Phrase: p, Note: n, From: e.round.from}
	if best := e.heard.best(); best != nil {
		d.Shift, d.Known = best.shift, true
	}
	e.add(finding.NextNote, at, d)
}

// helpPhrase tells the contour of a phrase that comes, once, where that is wanted
// unasked.
func (e *Ear) helpPhrase(at time.Duration, phrase int) {
	class := e.Tune.alike[phrase]
	if e.o.Help == NoHelp || e.hints.contour[class] {
		return
	}
	e.hints.contour[class] = true
	e.add(finding.Contour, at, finding.TuneDetail{Phrase: phrase})
}

// helpNote tells the next note, once, where that is wanted unasked and the place
// is known.
func (e *Ear) helpNote(at time.Duration) {
	if e.o.Help != HelpNote {
		return
	}
	if best := e.heard.best(); best != nil && (!e.place.Known || !best.step.found()) {
		return
	}
	pos := e.wanted()
	if told := &e.hints.note[e.Tune.canonical(pos)]; !*told {
		*told = true
		e.nextNote(at, pos)
	}
}

// Move is one step of a contour.
type Move uint8

// The moves: steps go up to a whole tone, leaps further.
const (
	Same Move = iota
	StepUp
	LeapUp
	StepDown
	LeapDown
)

func (m Move) String() string { return [...]string{"same", "up", "leap-up", "down", "leap-down"}[m] }

// Contour is the moves from each note of a phrase to the next.
func (t *Tune) Contour(phrase int) []Move {
	keys := t.of(phrase)
	moves := make([]Move, 0, len(keys))
	for i := 1; i < len(keys); i++ {
		moves = append(moves, moveOf(keys[i]-keys[i-1]))
	}
	return moves
}

func moveOf(semitones int) Move {
	switch {
	case semitones == 0:
		return Same
	case semitones > 2:
		return LeapUp
	case semitones > 0:
		return StepUp
	case semitones < -2:
		return LeapDown
	}
	return StepDown
}
