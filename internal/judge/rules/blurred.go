package rules

import (
	"time"

	"undersong/internal/listen/keyboard"
	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
)

// Change is a change of harmony as it was made, or will be.
type Change struct {
	Harmony int // index into the score's harmonies
	Pass    int
	At      time.Duration
	Beat    time.Duration // how long a beat is there
}

// Due is when the pedal must have let go of the harmony before.
func (c *Change) Due() time.Duration {
	return c.At + min(mostGrace, max(leastGrace, c.Beat/2))
}

// Blurred is what the pedal has held since before a change of harmony and the new
// chord does not have. lastOn is when a key was last struck: a chord that no one
// plays blurs nothing.
func Blurred(new chord.Chord, keys *keyboard.Keys, change, lastOn time.Duration) pitch.Nums {
	var held pitch.Nums
	before := change - Lingers
	if new.IsNone() || lastOn < before {
		return held
	}
	set, down := new.Set(), keys.Pedalled()
	for k := down.Lowest(); k >= 0; k = down.Next(k) {
		if !set.Has(k.Class()) && keys.StruckAt(k) < before {
			held.Add(k)
		}
	}
	return held
}
