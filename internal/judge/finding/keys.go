package finding

import (
	"encoding/json"
	"fmt"

	"undersong/internal/music/pitch"
)

// Keys are the keys of a finding.
type Keys = pitch.Nums

// KeysOf is a list of keys.
func KeysOf(all ...pitch.Num) Keys { return pitch.NumsOf(all...) }

// mostFew is how many a Few holds: as many basses as there are, and as many notes of
// a tune as one names in a sentence.
const mostFew = 3

// Few is a list of at most three indexes.
type Few struct {
	list [mostFew]int32
	n    uint8
}

// FewOf is a list of the first three of some indexes.
func FewOf(all ...int) (f Few) {
	for _, i := range all[:min(mostFew, len(all))] {
		f.list[f.n] = int32(i)
		f.n++
	}
	return f
}

// Slice copies the indexes out.
func (f Few) Slice() []int {
	all := make([]int, f.n)
	for i := range all {
		all[i] = int(f.list[i])
	}
	return all
}

// MarshalJSON is a list of numbers.
func (f Few) MarshalJSON() ([]byte, error) { return json.Marshal(f.Slice()) }

// UnmarshalJSON reads one.
func (f *Few) UnmarshalJSON(data []byte) error {
	var all []int32
	if err := json.Unmarshal(data, &all); err != nil {
		return err
	}
	if len(all) > mostFew {
		return fmt.Errorf("%d indexes are more than the %d that a finding holds", len(all), mostFew)
	}
	*f = Few{n: uint8(len(all))}
	copy(f.list[:], all)
	return nil
}
