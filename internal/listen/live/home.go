package live

import (
	"time"

	"undersong/internal/music/chord"
	"undersong/internal/music/harmony"
	"undersong/internal/music/pitch"
)

// home is the key: given, or found as the music goes on.
type home struct {
	given   *pitch.Key
	finder  harmony.KeyFinder
	classes chord.Set // heard
	found   *pitch.Key
}

// sureKey is the lead from which a key is found, and surerKey the lead that
// leaves a key found for another. Under 0.02 a key is a guess (harmony). From E
// to F a key that gave way at 0.04 would pass through sharp keys, and the chord
// of F be an E#.
const (
	sureKey  = 0.02
	surerKey = 0.06
)

// scaleHeard is how many classes make out a key: those of two chords that share
// no more than a note. A single chord is no key.
const scaleHeard = 5

// add tells of a note that was held for a while.
func (h *home) add(k pitch.Num, held time.Duration) {
	h.finder.Add(k.Class(), held.Seconds())
	h.classes = h.classes.With(k.Class())
}

// key looks for the key anew. It is nil while none is known.
func (h *home) key() *pitch.Key {
	if h.given != nil {
		return h.given
	}
	need := sureKey
	if h.found != nil {
		need = surerKey
	}
	if best, lead := h.finder.Best(); lead >= need && size(h.classes) >= scaleHeard {
		h.found = &best
	}
	return h.found
}
