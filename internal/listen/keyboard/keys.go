// Package keyboard knows what the hands and feet do: which keys are down, which
// sound on by the pedals, and which sounded when.
package keyboard

import (
	"encoding/json"
	"fmt"
	"math/bits"
	"time"

	"undersong/internal/midi/event"
	"undersong/internal/music/pitch"
)

// Set is a set of MIDI keys 0 to 127.
type Set [2]uint64

// Has reports whether key k is in s.
func (s *Set) Has(k pitch.Num) bool { return s[k>>6]>>(uint(k)&63)&1 == 1 }

// Add puts key k in s.
func (s *Set) Add(k pitch.Num) { s[k>>6] |= 1 << (uint(k) & 63) }

// Remove takes key k out of s.
func (s *Set) Remove(k pitch.Num) { s[k>>6] &^= 1 << (uint(k) & 63) }

// Len is the number of keys in s.
func (s *Set) Len() int { return bits.OnesCount64(s[0]) + bits.OnesCount64(s[1]) }

// Lowest is the lowest key in s, or -1 where s is empty.
func (s *Set) Lowest() pitch.Num {
	for w, word := range s {
		if word != 0 {
			return pitch.Num(w*64 + bits.TrailingZeros64(word))
		}
	}
	return -1
}

// Next is the lowest key in s above k, or -1.
func (s *Set) Next(k pitch.Num) pitch.Num {
	for k++; k < 128; k++ {
		if s.Has(k) {
			return k
		}
	}
	return -1
}

// Classes is the pitch classes in s as bits, C at bit 0.
func (s *Set) Classes() uint16 {
	var c uint16
	for w, word := range s {
		for word != 0 {
			k := w*64 + bits.TrailingZeros64(word)
			c |= 1 << (k % 12)
			word &= word - 1
		}
	}
	return c
}

// Union is every key of s and t.
func (s Set) Union(t Set) Set { return Set{s[0] | t[0], s[1] | t[1]} }

// Minus is the keys of s that are not in t.
func (s Set) Minus(t Set) Set { return Set{s[0] &^ t[0], s[1] &^ t[1]} }

// Both is the keys that are in s and in t.
func (s Set) Both(t Set) Set { return Set{s[0] & t[0], s[1] & t[1]} }

// MarshalJSON lists the keys, low to high.
func (s Set) MarshalJSON() ([]byte, error) { return json.Marshal(append([]pitch.Num{}, s.Keys()...)) }

// UnmarshalJSON reads such a list.
func (s *Set) UnmarshalJSON(data []byte) error {
	var keys []pitch.Num
	if err := json.Unmarshal(data, &keys); err != nil {
		return err
	}
	*s = Set{}
	for _, k := range keys {
		if !k.Valid() {
			return fmt.Errorf("key %d is not from 0 to 127", k)
		}
		s.Add(k)
	}
	return nil
}

// Keys lists them, low to high.
func (s Set) Keys() []pitch.Num {
	var all []pitch.Num
	for k := s.Lowest(); k >= 0; k = s.Next(k) {
		all = append(all, k)
	}
	return all
}

// PedalOn is the damper value from which a pedal counts as down; values under
// it are half pedal or up (MIDI 1.0 Detailed Specification 4.2.1, controller 64).
const PedalOn = 64

// echo is how soon a second note-on of the same key on another channel is the
// same finger seen twice: keyboards with layered or split zones send each key
// on several channels, two three-byte messages at most 2 ms apart on a cable.
const echo = 5 * time.Millisecond

// Change says what an event did.
type Change uint8

// Changes.
const (
	Nothing Change = iota
	Struck
	Released
	PedalDown
	PedalUp
	Silenced // all notes off: nothing is held any more
)

// Keys follows the keyboard. The zero value is a keyboard at rest. It copes
// with note-ons that repeat, note-offs that never come or come twice, and keys
// that arrive on several channels.
type Keys struct {
	Down      Set // held by a finger
	damped    Set // held by the damper pedal alone
	sostenuto Set // held by the sostenuto pedal
	channels  [128]uint16
	struckAt  [128]time.Duration
	velocity  [128]uint8
	pedal     [16]uint8 // damper value per channel
	middle    bool      // sostenuto pedal down
}

// Feed takes an event and says what it changed. For Struck and Released the
// key is event Data1.
func (k *Keys) Feed(e event.Event) Change {
	key := pitch.Num(e.Data1 & 0x7F)
	switch {
	case e.IsNoteOn():
		return k.strike(key, e)
	case e.IsNoteOff():
		return k.release(key, e.Channel())
	case e.EndsAllNotes():
		k.Silence()
		return Silenced
	case e.Kind() == event.ControlChange && e.Data1 == event.Damper:
		return k.damper(e)
	case e.Kind() == event.ControlChange && e.Data1 == event.Sostenuto:
		k.setSostenuto(e.Data2 >= PedalOn)
	}
	return Nothing
}

func (k *Keys) strike(key pitch.Num, e event.Event) Change {
	bit := uint16(1) << e.Channel()
	others := k.channels[key] &^ bit
	k.channels[key] |= bit
	if others != 0 && e.At-k.struckAt[key] < echo {
		k.velocity[key] = max(k.velocity[key], e.Data2)
		return Nothing
	}
	k.Down.Add(key)
	k.damped.Remove(key)
	k.struckAt[key] = e.At
	k.velocity[key] = e.Data2
	return Struck
}

func (k *Keys) release(key pitch.Num, channel uint8) Change {
	bit := uint16(1) << channel
	if k.channels[key]&bit == 0 {
		return Nothing
	}
	k.channels[key] &^= bit
	if k.channels[key] != 0 {
		return Nothing
	}
	k.Down.Remove(key)
	if k.PedalIsDown() {
		k.damped.Add(key)
	}
	return Released
}

func (k *Keys) damper(e event.Event) Change {
	was := k.PedalIsDown()
	k.pedal[e.Channel()] = e.Data2
	switch now := k.PedalIsDown(); {
	case now && !was:
		return PedalDown
	case was && !now:
		k.damped = Set{}
		return PedalUp
	}
	return Nothing
}

func (k *Keys) setSostenuto(down bool) {
	switch {
	case down && !k.middle:
		k.sostenuto = k.Down
	case !down:
		k.sostenuto = Set{}
	}
	k.middle = down
}

// PedalIsDown reports a damper pedal held on any channel.
func (k *Keys) PedalIsDown() bool {
	for _, v := range k.pedal {
		if v >= PedalOn {
			return true
		}
	}
	return false
}

// Sounding is every key that is heard: held by a finger or by a pedal.
func (k *Keys) Sounding() Set { return k.Down.Union(k.damped).Union(k.sostenuto) }

// StruckAt is when the key was last struck.
func (k *Keys) StruckAt(key pitch.Num) time.Duration { return k.struckAt[key] }

// Velocity is how hard the key was last struck, 1 to 127.
func (k *Keys) Velocity(key pitch.Num) uint8 { return k.velocity[key] }

// Silence forgets every held note and pedal, as when a cable is pulled.
func (k *Keys) Silence() {
	k.Down, k.damped, k.sostenuto = Set{}, Set{}, Set{}
	k.channels = [128]uint16{}
	k.pedal = [16]uint8{}
	k.middle = false
}

// Pedalled is the keys that sound by the damper pedal alone, no finger on them.
func (k *Keys) Pedalled() Set { return k.damped }
