package finding

import (
	"encoding/json"
	"fmt"

	"undersong/internal/music/pitch"
)

// MostKeys bounds the keys that one finding holds: two full hands and a palm.
const MostKeys = 16

// Keys is a short list of MIDI keys that needs no memory of its own.
type Keys struct {
	list [MostKeys]uint8
	n    uint8
}

// KeysOf is a list of keys, at most MostKeys.
func KeysOf(all ...pitch.Num) (k Keys) {
	for _, key := range all {
		k.Add(key)
	}
	return k
}

// Len is the number of keys.
func (k *Keys) Len() int { return int(k.n) }

// At is key i, counted from 0.
func (k *Keys) At(i int) pitch.Num { return pitch.Num(k.list[i]) }

// Add appends a key; a full list stays as it is.
func (k *Keys) Add(key pitch.Num) {
	if k.n < MostKeys {
		k.list[k.n] = uint8(key)
		k.n++
	}
}

// Insert puts a key in its place in an ascending list.
func (k *Keys) Insert(key pitch.Num) {
	k.Add(key)
	for i := int(k.n) - 1; i > 0 && k.list[i] < k.list[i-1]; i-- {
		k.list[i], k.list[i-1] = k.list[i-1], k.list[i]
	}
}

// Has reports that a key is among them.
func (k *Keys) Has(key pitch.Num) bool {
	for i := 0; i < k.Len(); i++ {
		if k.At(i) == key {
			return true
		}
	}
	return false
}

// Split compares keys with those of a goal: those in both, and those in one alone.
func (k *Keys) Split(goal *Keys) (kept, from, to Keys) {
	for i := 0; i < k.Len(); i++ {
		if goal.Has(k.At(i)) {
			kept.Add(k.At(i))
		} else {
			from.Add(k.At(i))
		}
	}
	for i := 0; i < goal.Len(); i++ {
		if !k.Has(goal.At(i)) {
			to.Add(goal.At(i))
		}
	}
	return kept, from, to
}

// Fill copies the keys into room of the caller's and returns what it fills.
func (k *Keys) Fill(buf *[MostKeys]pitch.Num) []pitch.Num {
	for i := 0; i < k.Len(); i++ {
		buf[i] = k.At(i)
	}
	return buf[:k.Len()]
}

// Slice copies the keys out.
func (k *Keys) Slice() []pitch.Num {
	var buf [MostKeys]pitch.Num
	return append([]pitch.Num{}, k.Fill(&buf)...)
}

// MarshalJSON is a list of key numbers.
func (k Keys) MarshalJSON() ([]byte, error) { return json.Marshal(k.Slice()) }

// UnmarshalJSON reads one.
func (k *Keys) UnmarshalJSON(data []byte) error {
	var all []pitch.Num
	if err := json.Unmarshal(data, &all); err != nil {
		return err
	}
	if len(all) > MostKeys {
		return fmt.Errorf("%d keys are more than the %d that a finding holds", len(all), MostKeys)
	}
	for _, key := range all {
		if !key.Valid() {
			return fmt.Errorf("key %d is none of the 0 to 127 of MIDI", key)
		}
	}
	*k = KeysOf(all...)
	return nil
}

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
