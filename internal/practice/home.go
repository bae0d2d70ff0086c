package practice

import (
	"time"

	"undersong/internal/harmony"
	"undersong/internal/pitch"
)

// home is the key: given, or found as the music goes on.
type home struct {
	given  *pitch.Key
	finder harmony.KeyFinder
	found  pitch.Key
	known  bool
}

// sureKey is the lead from which a key is found, and surerKey the lead that
// leaves a key found for another. Under 0.02 a key is a guess (harmony); a key
// that gave way as easily would go and come with each chord.
const (
	sureKey  = 0.02
	surerKey = 0.06
)

// add tells of a note that was held for a while.
func (h *home) add(k pitch.Num, held time.Duration) {
	h.finder.Add(k.Class(), held.Seconds())
	need := sureKey
	if h.known {
		need = surerKey
	}
	if best, lead := h.finder.Best(); lead >= need {
		h.found, h.known = best, true
	}
}

// key is nil while none is known.
func (h *home) key() *pitch.Key {
	switch {
	case h.given != nil:
		return h.given
	case h.known:
		k := h.found
		return &k
	}
	return nil
}
