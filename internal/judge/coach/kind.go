// Package coach compares what is played with what is wanted and finds the words
// for it.
package coach

import (
	"fmt"
	"time"
)

// Kind is what a finding is about.
type Kind uint8

// The kinds, most important last but for Right. Each rule is told once, here.
const (
	// Right: every wanted note of a stroke sounded, in time. Told as soon as the
	// last of them sounds.
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
	// Extra: a stroke or a note that nothing asked for.
	Extra
	// Missing: a stroke that never came, or a chord that lacked some of its notes.
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
	// Lost: where the player leads, the place in the chart is not known any more.
	// Told once; nothing is judged until it is found again.
	Lost

	kindCount
)

var kindNames = [kindCount]string{"right", "balance", "short", "blurred", "early", "late", "extra", "missing", "wrong-note", "wrong-inversion", "wrong-bass", "wrong-chord", "lost"}

func (k Kind) String() string { return kindNames[k] }

// Kinds lists every kind, the most important first and Right last.
func Kinds() []Kind {
	all := make([]Kind, 0, kindCount)
	for k := int(kindCount) - 1; k >= 0; k-- {
		all = append(all, Kind(k))
	}
	return all
}

// Level is how closely the coach listens.
type Level struct {
	Name string
	// Timing is how far a stroke may be from its beat. Players' onsets in
	// ensemble differ with a standard deviation of 30 to 50 ms without being
	// heard as uneven (Rasch 1979, Acustica 43, quoted second-hand), and nearly
	// everyone hears the order of two onsets beyond 60 ms: strict allows less than
	// one such deviation, steady somewhat less than two of the larger, so that a
	// right stroke is told as wrong less than once in 200 bars of human playing;
	// gentle tells only what no one would call in time.
	Timing time.Duration
	// OfBeat widens Timing where the beat is slow, as a part of it: shifts of one
	// tone in an even sequence are heard from 2.5 % of its interval on (Friberg and
	// Sundberg 1995, JASA 98(5)); steady allows four times that.
	OfBeat float64
	// Crowding caps Timing as a part of the gap to the neighbouring stroke.
	Crowding float64
	// Held is the part of its written length that a long note must sound.
	Held float64
	// Louder is by how many steps of MIDI velocity the chords may stand out over
	// the bass; Accent by how many accented strokes must be louder than the others,
	// negative where they may even be softer. Both are for a usual touch and are
	// stretched or narrowed to the player's own range (see touch).
	// Sung is by how many what lies under the tune may stand out over it.
	Louder, Accent, Sung float64
}

// The levels.
var (
	Gentle = Level{"gentle", 120 * time.Millisecond, 0.13, 0.48, 0.35, 30, -6, 24}
	Steady = Level{"steady", 85 * time.Millisecond, 0.10, 0.47, 0.50, 24, 1, 16}
	Strict = Level{"strict", 40 * time.Millisecond, 0.05, 0.35, 0.70, 15, 4, 6}
)

// ParseLevel reads gentle, steady or strict.
func ParseLevel(s string) (Level, error) {
	for _, l := range []Level{Gentle, Steady, Strict} {
		if l.Name == s {
			return l, nil
		}
	}
	return Level{}, fmt.Errorf("level %q is not one of gentle, steady, strict", s)
}
