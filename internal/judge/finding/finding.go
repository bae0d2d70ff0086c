package finding

import (
	"time"

	"undersong/internal/music/pitch"
)

// Part is who a finding is for.
type Part uint8

// The parts of a player.
const (
	LeftHand Part = iota
	RightHand
	BothHands
	Foot // the pedal
)

var partNames = [...]string{"left", "right", "both", "pedal"}

func (p Part) String() string { return partNames[p] }

// MostKeys bounds the keys that one finding holds: two full hands and a palm.
const MostKeys = 16

// Keys is a short list of MIDI keys that needs no memory of its own.
type Keys struct {
	list [MostKeys]uint8
	n    uint8
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
	all := make([]pitch.Num, k.n)
	for i := range all {
		all[i] = k.At(i)
	}
	return all
}

// Finding is one thing that a judge noticed.
type Finding struct {
	Kind Kind
	Part Part
	Bar  int           // index into the score's bars
	Pass int           // through the score, from 0
	Beat float64       // in the bar, from 1
	At   time.Duration // when it was known
	Want int           // index into the score's wants; -1 where none is concerned

	Heard  Keys          // what was played, low to high
	Goal   Keys          // where the hand should be instead; empty for Right
	Offset time.Duration // Early and Late: from the beat, early negative
	Second int           // BothHands: the right hand's want, Want being the left's; else -1
	Share  float64       // Short: the part of its length that sounded
	Accent bool          // Balance: an accent was too soft, rather than the chords too loud
	Sung   bool          // Balance: the tune was too soft for what lies under it
}
