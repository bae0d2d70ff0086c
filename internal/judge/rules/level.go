// Package rules says what is right and what is wrong: a rule for each kind of
// finding, over what was wanted and what was heard, with no memory but what a rule
// needs of its own.
package rules

import (
	"fmt"
	"time"
)

// Level is how closely a judge listens.
type Level struct {
	Name string
	// Timing is how far a stroke may be from its beat.
	Timing time.Duration
	// OfBeat widens Timing where the beat is slow, as a part of it.
	OfBeat float64
	// Crowding caps Timing as a part of the gap to the neighbouring stroke.
	Crowding float64
	// Held is the part of its written length that a long note must sound.
	Held float64
	// Louder is by how many steps of MIDI velocity the chords may stand out over
	// the bass; Accent by how many accented strokes must be louder than the others,
	// negative where they may even be softer. Both are for a usual touch and are
	// stretched or narrowed to the player's own range (see Touch).
	// Sung is by how many what lies under the tune may stand out over it.
	Louder, Accent, Sung float64
}

// The levels. Their numbers stand in tuned.go.
var (
	Gentle = Level{"gentle", gentleTiming, gentleOfBeat, gentleCrowding, gentleHeld, gentleLouder, gentleAccent, gentleSung}
	Steady = Level{"steady", steadyTiming, steadyOfBeat, steadyCrowding, steadyHeld, steadyLouder, steadyAccent, steadySung}
	Strict = Level{"strict", strictTiming, strictOfBeat, strictCrowding, strictHeld, strictLouder, strictAccent, strictSung}
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
