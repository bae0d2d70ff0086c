package firstbass

// Rung is how much is put under the tune.
type Rung uint8

// The rungs.
const (
	BassAlone Rung = iota
	WithFifth
	WithTriad
)

var rungNames = [...]string{"bass", "fifth", "triad"}

func (r Rung) String() string { return rungNames[r] }

// Rungs names the rungs in their order.
func Rungs() []string { return rungNames[:] }
