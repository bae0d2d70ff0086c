package pitch

import (
	"fmt"
	"strconv"
	"strings"
)

// Keyboard is how many keys an instrument has; 0 is a piano's 88.
type Keyboard int

// keyboards are the keyboards that are built, and their lowest keys (common practice,
// no source).
var keyboards = []struct {
	keys Keyboard
	low  Num
}{{49, 36}, {61, 36}, {76, 28}, {88, PianoLow}}

// ParseKeyboard reads a number of keys: 49, 61, 76 or 88.
func ParseKeyboard(s string) (Keyboard, error) {
	n, err := strconv.Atoi(strings.TrimSpace(s))
	for _, k := range keyboards {
		if err == nil && k.keys == Keyboard(n) {
			return k.keys, nil
		}
	}
	return 0, fmt.Errorf("%q is not how many keys a keyboard has: 49, 61, 76 or 88", s)
}

// Low is the lowest key.
func (k Keyboard) Low() Num {
	for _, b := range keyboards {
		if b.keys == k {
			return b.low
		}
	}
	return PianoLow
}

// High is the highest key.
func (k Keyboard) High() Num {
	if k == 0 {
		return PianoHigh
	}
	return k.Low() + Num(k) - 1
}

// Has reports whether a key is there.
func (k Keyboard) Has(n Num) bool { return n >= k.Low() && n <= k.High() }
