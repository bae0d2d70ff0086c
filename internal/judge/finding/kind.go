// Package finding is what a judge noticed and what it comes to, as plain values:
// notes, chords and numbers, never words.
package finding

import "undersong/internal/text/wording"

// Kind is what a finding is about.
type Kind uint8

// The kinds. Those that one judge tells rise in importance; Right comes first. Each
// rule is told once, here.
const (
	// Right: every wanted note of a stroke sounded, in time. Told as soon as the
	// last of them sounds. Under a tune: the bar has a bass that fits all of it, and
	// what else is asked for. Told as soon as it is complete.
	Right Kind = iota

	// Balance: over a bar, what lies under the tune was louder than the tune, the
	// accented strokes were not really louder than the others, or the chords were
	// much louder than the bass. Told when the bar is over.
	Balance
	// Short: a held note of a beat or more was let go before half of its length
	// (at level steady) and no pedal held it.
	Short
	// Blurred: the pedal held notes of the last harmony, foreign to the new one,
	// for more than half a beat into it. Lifting the pedal together with the new
	// chord or just after it is right.
	Blurred
	// Early and Late: the right notes, further from the beat than the level allows.
	Early
	Late
	// Spread: the right notes of a chord, struck one after another where they belong
	// together.
	Spread
	// Extra: a stroke or a note that nothing asked for.
	Extra

	// NoThird: the triad's third did not come between bass and tune. Told when the
	// bar is over.
	NoThird
	// HighThird: it came over the tune. Told when the bar is over without one below.
	HighThird
	// WrongThird: another note in its place. Told at once.
	WrongThird
	// NoFifth: the fifth above the bass did not come. Told when the bar is over.
	NoFifth
	// WrongFifth: another note in its place. Told at once.
	WrongFifth
	// NotHome: the tune ends on another bass than the tonic, which fits. Told when
	// its last note is over.
	NotHome

	// Missing: a stroke that never came, or a chord that lacked some of its notes.
	// Under a tune: no bass came under a bar in which the tune moves. Told when the
	// tune has gone on.
	Missing

	// WrongNote: one note of a chord or figure replaced by another.
	WrongNote
	// WrongInversion: the right notes with another one lowest than the pattern asks,
	// or with another one on top than the tune's.
	WrongInversion
	// WrongBass: another note where the left hand's bass belongs.
	WrongBass
	// WrongChord: another chord, or most of its notes wrong.
	WrongChord

	// NotLowest: a fitting root is there, with another note below it.
	NotLowest
	// NotRoot: the bass is none of those that are chosen from.
	NotRoot
	// Misfit: the root of a primary chord that the tune goes against, where another fits.
	// Told at once; where it fits at first, when the tune has gone on over it.
	Misfit

	// Lost: where the player leads, the place in the chart is not known any more; or
	// what is played is not the tune any more. Told once; nothing is judged until it
	// is found again.
	Lost

	// LostBeat: who accompanies a singer had a beat or more too many, with nothing
	// sounding, or too few. Told when the player has gone on.
	LostBeat
	// WentBack: who accompanies a singer went back. Told as soon as it is heard where to.
	WentBack
	// Stopped: who accompanies a singer let it fall silent. Told when the player goes on
	// from there. A chord that is held, or struck again and again, is no stop.
	Stopped

	// PhraseRight: a phrase from its first note to its last, nothing between.
	PhraseRight
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

	KindCount // how many there are
)

// Judge is who tells of a kind.
type Judge uint8

// The judges: of a pattern's strokes, of basses put under a tune, of a tune that is
// looked for by ear, and of how an accompaniment flows.
const (
	Strokes Judge = iota
	Basses
	ByEar
	Flow
)

var kindNames = [KindCount]string{
	"right", "balance", "short", "blurred", "early", "late", "spread", "extra",
	"no-third", "high-third", "wrong-third", "no-fifth", "wrong-fifth", "not-home",
	"missing", "wrong-note", "wrong-inversion", "wrong-bass", "wrong-chord",
	"not-lowest", "not-a-root", "misfit", "lost", "lost-beat", "went-back", "stopped",
	"phrase-right", "phrase-found", "tune-found", "tune-right", "direction", "other-octave", "once-more",
	"contour", "next-note", "task", "start-note", "task-done",
}

func (k Kind) String() string { return kindNames[k] }

// By reports that a judge tells of the kind.
func (k Kind) By(j Judge) bool {
	if k >= PhraseRight {
		return j == ByEar
	}
	if k >= LostBeat {
		return j == Flow
	}
	if k == Right || k == Missing || k == Lost {
		return j == Strokes || j == Basses
	}
	if k >= NoThird && k <= NotHome || k >= NotLowest && k <= Misfit {
		return j == Basses
	}
	return j == Strokes
}

// weights are how much one finding of a kind weighs among what is worth practising.
var weights = [KindCount]int{
	Balance: 1, Short: 2, Blurred: 3, Early: 4, Late: 5, Spread: 5, Extra: 6, Missing: 7,
	WrongNote: 8, WrongInversion: 9, WrongBass: 10, WrongChord: 11, Lost: 12,
	LostBeat: 13, WentBack: 14, Stopped: 15,
}

// Kinds lists the kinds that a judge tells, the most important first and Right
// last.
func Kinds(j Judge) []Kind {
	var all []Kind
	for k := int(KindCount) - 1; k >= 0; k-- {
		if Kind(k).By(j) {
			all = append(all, Kind(k))
		}
	}
	return all
}

// Inner reports what a listener who sings hardly hears: a note within a chord.
func (k Kind) Inner() bool { return k == WrongNote || k == WrongInversion }

// MarshalText is the kind's name.
func (k Kind) MarshalText() ([]byte, error) { return []byte(k.String()), nil }

// UnmarshalText reads a name.
func (k *Kind) UnmarshalText(text []byte) error { return wording.Named(k, kindNames[:], text, "kind") }
