package meter

// Strength is how strong a place in a bar is, metrically.
type Strength uint8

// The strengths, rising.
const (
	OffBeat  Strength = iota // between beats
	OnBeat                   // a beat
	MidBar                   // the beat that halves a bar of an even number of them
	Downbeat                 // the first
)

// Strength is that of a place in a bar.
func (m Meter) Strength(inBar Ticks) Strength { return StrengthOf(inBar, m.Beat(), m.Bar()) }

// StrengthOf is the strength of a place in a bar of a length with beats of a
// length, all counted alike. A bar is a whole number of beats.
func StrengthOf[T ~int](inBar, beat, bar T) Strength {
	switch {
	case inBar == 0:
		return Downbeat
	case inBar%beat != 0:
		return OffBeat
	case 2*inBar == bar:
		return MidBar
	}
	return OnBeat
}
