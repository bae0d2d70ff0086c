package coach

import (
	"fmt"
	"time"
)

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
