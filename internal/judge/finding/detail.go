package finding

import "undersong/internal/text/wording"

// Size is how far away a note is.
type Size uint8

// The sizes: up to a whole step, up to a fourth, and beyond (common practice, no
// source).
const (
	Little Size = iota
	Some
	Lot
)

var sizeNames = [...]string{"little", "some", "lot"}

func (s Size) String() string { return sizeNames[s] }

// SizeOf is the size of a number of semitones, up or down.
func SizeOf(semitones int) Size {
	switch max(semitones, -semitones) {
	case 0, 1, 2:
		return Little
	case 3, 4, 5:
		return Some
	}
	return Lot
}

// MarshalText is the size's name.
func (s Size) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// UnmarshalText reads a name.
func (s *Size) UnmarshalText(text []byte) error { return wording.Named(s, sizeNames[:], text, "size") }

// Way is a direction on the keyboard.
type Way struct {
	Up   bool `json:"up"`
	Size Size `json:"size"`
	More bool `json:"more"` // the hand already went this way, not far enough
}

// Verdict is what came of one thing that a task asks.
type Verdict uint8

// The verdicts.
const (
	NotAsked Verdict = iota
	Kept
	Missed
)

var verdictNames = [...]string{"", "kept", "missed"}

func (v Verdict) String() string { return verdictNames[v] }

// MarshalText is the verdict's name.
func (v Verdict) MarshalText() ([]byte, error) { return []byte(v.String()), nil }

// UnmarshalText reads a name.
func (v *Verdict) UnmarshalText(text []byte) error {
	return wording.Named(v, verdictNames[:], text, "verdict")
}

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
