package firstbass

import (
	"time"

	"undersong/internal/music/pitch"
)

// Rung is how much is put under the tune.
type Rung uint8

// The rungs.
const (
	BassAlone Rung = iota
	WithFifth
	WithTriad
)

var rungNames = [...]string{"bass", "fifth", "triad"}

func (r Rung) String() string { return rungNames[r] }

// Rungs names the rungs in their order.
func Rungs() []string { return rungNames[:] }

// Kind is what was noticed.
type Kind uint8

// The kinds, the least important first.
const (
	// Right: the bar has a bass that fits all of it, and what else is asked for.
	// Told as soon as it is complete.
	Right Kind = iota
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
	// Missing: no bass came under a bar in which the tune moves. Told when the tune
	// has gone on.
	Missing
	// NotLowest: a fitting root is there, with another note below it.
	NotLowest
	// NotStock: the bass is none of those that are chosen from.
	NotStock
	// Misfit: a bass of the stock that the tune goes against, where another fits.
	// Told at once; where it fits at first, when the tune has gone on over it.
	Misfit
	// Lost: what is played is not the tune any more. Nothing is judged until it is
	// recognized again.
	Lost
)

var kindNames = [...]string{"right", "no-third", "high-third", "wrong-third", "no-fifth", "wrong-fifth", "not-home", "missing", "not-lowest", "not-in-stock", "misfit", "lost"}

func (k Kind) String() string { return kindNames[k] }

// Kinds lists the kinds, the most important first, Right last.
func Kinds() []Kind {
	var all []Kind
	for k := Lost; k > Right; k-- {
		all = append(all, k)
	}
	return append(all, Right)
}

// Finding is one thing that was noticed. It is plain data; Voice turns it into
// words.
type Finding struct {
	Kind Kind
	Bar  int     // index into the score's bars
	Beat float64 // in the bar, from 1
	Turn int     // how often the player went back before, from 0
	At   time.Duration

	Key     pitch.Num // struck; 0 for none
	Goal    pitch.Num // where the hand should go; 0 for none
	Bass    int       // of the stock: the one struck, or the one that a fifth or third stands on; -1 for none
	Tune    []int     // notes of the tune that speak for the bass or against it
	Choices []int     // of the stock: what fits there, the best first
	Later   bool      // Misfit: it fitted before

	Again  int  // how often the same came in this bar before, since it was last right
	Mended bool // Right: something was wrong here before
}
