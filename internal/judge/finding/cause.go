package finding

import (
	"time"

	"undersong/internal/text/wording"
)

// CauseKind is what one reason for many findings is.
type CauseKind uint8

// The causes, and which details of a Cause go with each.
const (
	NoCause CauseKind = iota
	// OtherKey: all is played in another key: Semitones, and Octaves where it lies far
	// from there.
	OtherKey
	// OctaveOff: a hand, or both, lies some octaves off: Hand, Octaves.
	OctaveOff
	// HalfTempo and DoubleTempo: steady, at a slower tempo than the click's, or at a
	// faster one: Ratio.
	HalfTempo
	DoubleTempo
	// EarlyStart and LateStart: everything comes some beats early or late: Beats.
	EarlyStart
	LateStart
	// Delay: every stroke comes early or late by the same time: Offset.
	Delay
	// Silent: nothing comes from a hand, or nothing at all: Hand.
	Silent
	// StuckPedal: the damper is not lifted any more: Offset, how long it had been down.
	StuckPedal
	// Restarted: the player stopped in Bar and went on from ToBar: Pause, how long
	// nothing came.
	Restarted
	// Skipped: the bars from Bar to ToBar were left out.
	Skipped
	// OtherPattern: another accompaniment is played: Name.
	OtherPattern
	// OtherChart: this is another tune: nothing of the harmony fits, in no key.
	OtherChart
	// SwappedHands: the hands have each other's part.
	SwappedHands
	causeCount
)

var causeNames = []string{
	"", "other-key", "octave", "half-tempo", "double-tempo", "early-start", "late-start", "delay", "silent", "stuck-pedal",
	"restarted", "skipped", "other-pattern", "other-chart", "swapped-hands",
}

func (k CauseKind) String() string { return causeNames[k] }

// MarshalText is the cause's name.
func (k CauseKind) MarshalText() ([]byte, error) { return []byte(k.String()), nil }

// UnmarshalText reads a name.
func (k *CauseKind) UnmarshalText(text []byte) error {
	return wording.Named(k, causeNames, text, "cause")
}

// Leaps reports a cause that is a moment and no stretch: the player leaped, from Bar or
// over Bar, to ToBar or over it.
func (k CauseKind) Leaps() bool { return k == Restarted || k == Skipped }

// CauseKinds lists the causes.
func CauseKinds() []CauseKind {
	var all []CauseKind
	for k := NoCause + 1; k < causeCount; k++ {
		all = append(all, k)
	}
	return all
}

// Cause is one reason for many findings. It is a plain value: what its kind does not
// need is zero. Differences are played less assigned: early is negative.
type Cause struct {
	Kind  CauseKind     `json:"cause"`
	Bar   int           `json:"bar"`    // number as printed: where it begins
	ToBar int           `json:"to_bar"` // and the last in which it is known to hold; of a leap, as its kind says
	Pass  int           `json:"pass"`   // of Bar, through the score, from 0
	At    time.Duration `json:"at"`     // when it was known; in JSON, nanoseconds

	Semitones int           `json:"semitones,omitzero"` // -5 to 6
	Octaves   int           `json:"octaves,omitzero"`
	Hand      Part          `json:"hand"`            // LeftHand, RightHand or BothHands
	Ratio     float64       `json:"ratio,omitzero"`  // tempo played to tempo assigned: 0.5 is half as fast
	Beats     float64       `json:"beats,omitzero"`  // felt beats
	Offset    time.Duration `json:"offset,omitzero"` // in JSON, nanoseconds
	Pause     time.Duration `json:"pause,omitzero"`  // 0 or more; in JSON, nanoseconds
	Name      string        `json:"name,omitzero"`   // of the accompaniment that is played
}
