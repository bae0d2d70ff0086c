package pitch

import (
	"encoding/json"
	"fmt"
)

// MostNums bounds a Nums: two full hands and a palm.
const MostNums = 16

// Nums is a short list of keys that needs no memory of its own.
type Nums struct {
	list [MostNums]uint8
	n    uint8
}

// NumsOf is a list of keys, the first MostNums of them.
func NumsOf(all ...Num) (k Nums) {
	for _, key := range all {
		k.Add(key)
	}
	return k
}

// Len is the number of keys.
func (k *Nums) Len() int { return int(k.n) }

// At is key i, counted from 0.
func (k *Nums) At(i int) Num { return Num(k.list[i]) }

// Last is the last key of a list that is not empty.
func (k *Nums) Last() Num { return k.At(k.Len() - 1) }

// Add appends a key; a full list stays as it is.
func (k *Nums) Add(key Num) {
	if k.n < MostNums {
		k.list[k.n] = uint8(key)
		k.n++
	}
}

// Insert puts a key in its place in an ascending list.
func (k *Nums) Insert(key Num) {
	k.Add(key)
	for i := int(k.n) - 1; i > 0 && k.list[i] < k.list[i-1]; i-- {
		k.list[i], k.list[i-1] = k.list[i-1], k.list[i]
	}
}

// InsertAll puts the keys of another list in their places in an ascending one.
func (k *Nums) InsertAll(others *Nums) {
	for i := 0; i < others.Len(); i++ {
		k.Insert(others.At(i))
	}
}

// Has reports that a key is among them.
func (k *Nums) Has(key Num) bool {
	for i := 0; i < k.Len(); i++ {
		if k.At(i) == key {
			return true
		}
	}
	return false
}

// Split compares keys with those of a goal: those in both, and those in one alone.
func (k *Nums) Split(goal *Nums) (kept, from, to Nums) {
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
func (k *Nums) Fill(buf *[MostNums]Num) []Num {
	for i := 0; i < k.Len(); i++ {
		buf[i] = k.At(i)
	}
	return buf[:k.Len()]
}

// Slice copies the keys out.
func (k *Nums) Slice() []Num {
	var buf [MostNums]Num
	return append([]Num{}, k.Fill(&buf)...)
}

// Clear takes all keys out.
func (k *Nums) Clear() { *k = Nums{} }

// MarshalJSON is a list of key numbers.
func (k Nums) MarshalJSON() ([]byte, error) { return json.Marshal(k.Slice()) }

// UnmarshalJSON reads one.
func (k *Nums) UnmarshalJSON(data []byte) error {
	var all []Num
	if err := json.Unmarshal(data, &all); err != nil {
		return err
	}
	if len(all) > MostNums {
		return fmt.Errorf("%d keys are more than the %d that a list holds", len(all), MostNums)
	}
	for _, key := range all {
		if !key.Valid() {
			return fmt.Errorf("key %d is none of the 0 to 127 of MIDI", key)
		}
	}
	*k = NumsOf(all...)
	return nil
}
