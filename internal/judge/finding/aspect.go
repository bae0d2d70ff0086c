package finding

import (
	"math/bits"

	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
	"undersong/internal/text/wording"
)

// Aspect is what of its kind a finding is about, where what to practise depends on it.
type Aspect uint8

// The aspects. Most findings are about all that their kind says.
const (
	Whole     Aspect = iota
	Tones            // Missing: some notes of a chord that was struck
	ChordTone        // WrongBass: another tone of the harmony
	Octave           // WrongBass and WrongNote: the right note in another octave
	Accents          // Balance: of the accented strokes
	OnTop            // Balance and WrongInversion: of the tune over what lies beneath it
	aspectCount
)

var aspectNames = []string{"", "tones", "chord-tone", "octave", "accents", "on-top"}

func (a Aspect) String() string { return aspectNames[a] }

// MarshalText is the aspect's name.
func (a Aspect) MarshalText() ([]byte, error) { return []byte(a.String()), nil }

// UnmarshalText reads a name.
func (a *Aspect) UnmarshalText(text []byte) error {
	return wording.Named(a, aspectNames, text, "aspect")
}

// Degrees is a set of a chord's tones: bit n for the tone n letters above the root, 2
// for the third.
type Degrees uint8

// Only is the one degree in the set, counted from 0; -1 where there is not just one.
func (d Degrees) Only() int {
	if bits.OnesCount8(uint8(d)) != 1 {
		return -1
	}
	return bits.TrailingZeros8(uint8(d))
}

// OctavesOff is by how many octaves a lone note lies above its goal, below negative;
// 0 for another note.
func (f *Finding) OctavesOff() int {
	if f.Heard.Len() != 1 || f.Goal.Len() != 1 {
		return 0
	}
	off := int(f.Heard.At(0) - f.Goal.At(0))
	if off%12 != 0 {
		return 0
	}
	return off / 12
}

// Aspect is what a finding in a score is about, and the tones that a chord lacked.
func (f *Finding) Aspect(s *score.Score) (Aspect, Degrees) {
	if f.Want < 0 || f.Kind == Balance {
		return f.balance(), 0
	}
	w := &s.Wants[f.Want]
	if f.Kind == Missing && f.Heard.Len() > 0 {
		_, _, lacked := f.Heard.Split(&f.Goal)
		return Tones, degrees(w, &lacked)
	}
	if f.Kind == WrongInversion && w.Role == score.Melody {
		return OnTop, 0
	}
	if (f.Kind == WrongBass || f.Kind == WrongNote) && f.OctavesOff() != 0 {
		return Octave, 0
	}
	if f.Kind == WrongBass && f.Heard.Len() == 1 && w.Chord.Set().Has(f.Heard.At(0).Class()) {
		return ChordTone, 0
	}
	return Whole, 0
}

func (f *Finding) balance() Aspect {
	switch {
	case f.Accent:
		return Accents
	case f.Sung:
		return OnTop
	}
	return Whole
}

// degrees are the tones of a stroke's chord that some keys are.
func degrees(w *score.Want, keys *Keys) (d Degrees) {
	for i := range keys.Len() {
		n := w.Chord.Spell(keys.At(i).Class(), pitch.Key{})
		d |= 1 << ((n.Letter - w.Chord.Root.Letter + 7) % 7)
	}
	return d
}
