package firstbass

// Voicing is how much of each chord is put under the tune.
type Voicing uint8

// The voicings.
const (
	BassAlone Voicing = iota
	WithFifth
	WithTriad
)

var voicingNames = [...]string{"bass", "fifth", "triad"}

func (v Voicing) String() string { return voicingNames[v] }

// Voicings names the voicings in their order.
func Voicings() []string { return voicingNames[:] }
