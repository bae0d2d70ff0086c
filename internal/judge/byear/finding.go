package byear

import (
	"time"

	"undersong/internal/music/pitch"
)

// Kind says what was noticed, or what is asked.
type Kind uint8

// The kinds.
const (
	// PhraseRight: a phrase from its first note to its last, nothing between.
	PhraseRight Kind = iota
	// PhraseFound: every note of a phrase in order, with tries between, notes played
	// twice, or octave slips.
	PhraseFound
	// TuneFound: every phrase has been found or right. Told once.
	TuneFound
	// TuneRight: all phrases right, one after the other, from first to last.
	TuneRight
	// Direction: where the wanted note lies from the one just played. Told after
	// two wrong tries, or after one and a pause.
	Direction
	// OtherOctave: the right note in another octave than the notes around it.
	OtherOctave
	// OnceMore: the phrase from its beginning, since a note in it was left out or
	// has been looked for too long.
	OnceMore
	// Contour: the ups and downs of a phrase, as a hint.
	Contour
	// NextNote: the next note, as a hint.
	NextNote
	// TaskBegins: what is asked now.
	TaskBegins
	// StartNote: a task's tune was begun on another note than the one asked for.
	StartNote
	// TaskDone: the last phrase of a task was as asked.
	TaskDone
	kinds
)

var kindNames = [kinds]string{
	"phrase-right", "phrase-found", "tune-found", "tune-right", "direction", "other-octave", "once-more",
	"contour", "next-note", "task", "start-note", "task-done",
}

func (k Kind) String() string { return kindNames[k] }

// Size is how far away a note is.
type Size uint8

// The sizes: up to a whole step, up to a fourth, and beyond (common practice, no
// source).
const (
	Little Size = iota
	Some
	Lot
)

func (s Size) String() string { return [...]string{"little", "some", "lot"}[s] }

func sizeOf(semitones int) Size {
	switch abs(semitones) {
	case 0, 1, 2:
		return Little
	case 3, 4, 5:
		return Some
	}
	return Lot
}

// Way is a direction on the keyboard.
type Way struct {
	Up   bool
	Size Size
	More bool // the hand already went this way, not far enough
}

// Verdict is what came of one thing that a task asks.
type Verdict uint8

// The verdicts.
const (
	NotAsked Verdict = iota
	Kept
	Missed
)

// Ask is one thing that a task asks.
type Ask uint8

// The asks.
const (
	AskStart Ask = iota // the first note
	AskRange
	AskSoftLoud
	AskHands
	asks
)

func (a Ask) String() string { return [...]string{"from", "range", "soft-loud", "hands"}[a] }

// Verdicts are what came of all that a task asks, by Ask.
type Verdicts [asks]Verdict

// Missed reports that something was not as asked.
func (v Verdicts) Missed() bool {
	for _, one := range v {
		if one == Missed {
			return true
		}
	}
	return false
}

// Finding is one thing noticed or asked.
type Finding struct {
	At     time.Duration // when it was known
	Kind   Kind
	Phrase int           // from 0
	Note   int           // in its phrase, from 0: the wanted one, for Direction, OtherOctave, OnceMore and NextNote
	Ended  time.Duration // when the phrase's last note was struck, for PhraseRight and PhraseFound
	Row    int           // for PhraseRight: how many times in a row, from 1
	Way    Way           // for Direction
	Gap    bool          // for OnceMore: a note was left out
	Shift  int           // keys above the written ones, where the tune lies; for NextNote and the phrases
	Known  bool          // for NextNote: where the tune lies is known
	Asks   Verdicts      // for phrases during a task
	From   *pitch.Note   // for TaskBegins and StartNote: the first note asked for; nil: any
}
