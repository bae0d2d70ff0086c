package sitting

import "time"

// TapResult is what taps say of the delay.
type TapResult struct {
	Of     int           `json:"of"`     // clicks that were listened to
	Taps   int           `json:"taps"`   // that count
	Mean   time.Duration `json:"mean"`   // from the click, early negative
	Spread time.Duration `json:"spread"` // standard deviation
}

// fewestTaps tell something.
const fewestTaps = 6

const (
	// unevenTaps is the spread above which the mean says little: with ten taps it
	// would be unsure by a third of that.
	unevenTaps = 40 * time.Millisecond
	// noDelay is what nobody hears or feels (a third of the tolerance at the
	// strictest level).
	noDelay = 12 * time.Millisecond
)

// Steady reports a result that a delay can be told from.
func (r TapResult) Steady() bool {
	return !r.Few() && !r.Uneven() && !r.TooLong()
}

// Uneven reports taps that are too uneven to tell a delay from.
func (r TapResult) Uneven() bool { return r.Spread > unevenTaps }

// Few reports too few taps to tell anything.
func (r TapResult) Few() bool { return r.Taps < fewestTaps }

// TooLong reports a delay that is no piano's.
func (r TapResult) TooLong() bool { return max(r.Mean, -r.Mean) > MostDelay }

// None reports a delay that is as good as none.
func (r TapResult) None() bool { return max(r.Mean, -r.Mean) <= noDelay }
